"""Feed and sensors in the house as it is served: from the service's answer to a warning heard."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import aiohttp
import pytest

from bot import doctor, environment
from bot.clock import StandingClock
from bot.environment import Environment, Listen, SettingsError, WeatherSettings
from bot.serving import sensor_doors, serving, web_servers, workroom
from bot.tally import Tally
from core.actions.weather import Service
from core.store import forecasts, sensors
from core.store.opening import open_store
from core.store.people import Address
from tests.faults.loopback import Loopback, until
from tests.weather.standin import START, hourly, standing_in

IDA = Address("loopback", "local", "dm:Ida", "Ida", "Ida", direct=True)
# A quarter to two in Berlin: nobody is told of the night yet.
BEFORE = START + timedelta(hours=6, minutes=45)


def _cold(at: datetime) -> float:
    return -6.0 if at.hour == 4 else 5.0


async def test_from_a_yes_to_a_warning_and_from_a_sensor_to_a_room(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'house.db'}"
    store, clock, tally, network = open_store(url), StandingClock(BEFORE), Tally(), Loopback()
    async with standing_in("open-meteo") as stand:
        stand.tells(hourly(_cold))
        weather = WeatherSettings(Service.OPEN_METEO, stand.base, "ida@example.org")
        web = Listen("127.0.0.1", 0)
        told = Environment(url, None, None, None, web, None, weather, "https://plants.example.org")
        room = workroom(store)
        at, doors = sensor_doors(told, store, room, clock, tally)
        servers = await web_servers([network], tally, web, None, doors)
        async with serving(
            store,
            clock,
            [network],
            tally,
            servers,
            zone="Europe/Berlin",
            weather=weather,
            sensors=at,
            room=room,
        ):
            heard = network.port.heard
            for said in (
                "/add Fig, fiddle-leaf fig, 25 cm pot, study, sill of the north window",
                "/settings place 52.52 13.41 yes",
                "/sensor new study",
            ):
                await network.ask(IDA, said, clock.now())
            address = heard[-1].text.splitlines()[1]
            assert address.startswith("https://plants.example.org/sensor/")
            host, port = servers[0].addresses[0][:2]
            here = address.replace("https://plants.example.org", f"http://{host}:{port}")
            reading = {"temperature": "17 C", "humidity": "50 %"}
            async with aiohttp.ClientSession() as session, session.post(here, json=reading) as got:
                assert (got.status, await got.json()) == (200, {"kept": True})
            await until(lambda: tally.counts["weather", "told"] == 1)
            clock.move_to(BEFORE + timedelta(minutes=20))
            await until(lambda: len(network.port.unasked) == 1)
        text = network.port.unasked[0].text
        assert text.startswith("Tonight -6 °C. By the forecast of Open-Meteo.com (CC BY 4.0)")
        # One night pane: 15 C at night, two below what the sensor says; 15 - 2.8 x 0.13 x 23.5.
        assert "about 6 °C there" in text
        assert len(stand.calls) == 1
        assert stand.calls[0][2]["Accept"].startswith("application/geo+json")
    with store.read() as tx:
        assert [one.room for one in sensors.of_household(tx, 1)] == ["study"]
        assert forecasts.standing(tx, "open-meteo").areas == 1
    store.close()
    findings = "\n".join(one.text for one in doctor._database(told))
    assert "weather: open-meteo is asked for 1 areas" in findings
    assert "sensors: 1 may send to https://plants.example.org/sensor/..." in findings
    other = replace(told, weather=replace(weather, service=Service.MET_NORWAY))
    assert "1 households allowed another service" in "\n".join(
        one.text for one in doctor._database(other)
    )


@pytest.mark.parametrize(
    ("variables", "why"),
    [
        ({"WEATHER": "crystal-ball"}, "there are open-meteo, met-norway, nws, or off"),
        ({"WEATHER": "met-norway"}, "needs POTSIDE_WEATHER_CONTACT"),
        ({"WEATHER": "nws", "WEATHER_CONTACT": "a\nb"}, "plain letters"),
        ({"WEATHER": "open-meteo", "WEATHER_URL": "weather"}, "is no URL"),
        ({"PUBLIC_URL": "plants"}, "is no URL"),
    ],
)
def test_settings_that_make_no_sense(variables: dict[str, str], why: str) -> None:
    with pytest.raises(SettingsError, match=why):
        environment.read({f"POTSIDE_{name}": value for name, value in variables.items()})


def test_settings_as_they_are_meant() -> None:
    told = environment.read(
        {
            "POTSIDE_WEATHER": "MET-Norway",
            "POTSIDE_WEATHER_CONTACT": "ida@example.org",
            "POTSIDE_PUBLIC_URL": "https://plants.example.org/",
        }
    )
    assert told.weather is not None
    assert told.weather.service is Service.MET_NORWAY
    assert told.weather.agent.endswith(" ida@example.org")
    assert told.public == "https://plants.example.org"
    assert environment.read({}).weather is None
