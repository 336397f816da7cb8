"""Room sensors: a secret address, what is taken there and what is refused, and what it changes."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import timedelta
from typing import Any

import aiohttp
import pytest
from sqlalchemy import text as sql

from bot.duty.sensors import MOST_BYTES, PATH, route
from bot.duty.workroom import Workroom
from bot.environment import Listen
from bot.health import open_server
from bot.tally import Tally
from core.actions import lows, rebuilding, sensors
from core.actions.sensors import Heard, Reading
from core.care.drydown.vapour import deficit_kpa
from core.journal import record
from core.store import sensors as kept
from tests.conversation.talking import play
from tests.conversation.test_weather import Fed

GOOD = {"temperature": "21.5 C", "humidity": "45 %"}


class Room:
    """A household with a sensor in its kitchen, and the server that it sends to."""

    def __init__(self) -> None:
        self.stage = Fed()
        play(
            self.stage,
            """
Ida: /add Fern, Boston fern, 15 cm pot, kitchen, sill of the north window
  = arrived
""",
        )
        told = self.stage.say("Ida", "/sensor new kitchen")[0].text
        self.address = told.splitlines()[1]
        self.secret = self.address.rpartition("/")[2]

    async def send(self, base: str, body: Any, secret: str = "", **how: Any) -> tuple[int, Any]:
        async with aiohttp.ClientSession() as session:
            how = how or {"json": body}
            async with session.post(f"{base}{PATH}{secret or self.secret}", **how) as response:
                return response.status, await response.json()

    @property
    def sensor(self) -> kept.Known:
        with self.stage.store.read() as tx:
            return kept.of_household(tx, 1)[0]


@asynccontextmanager
async def _served(room: Room) -> AsyncIterator[str]:
    work = Workroom()
    door = route(room.stage.store, work, room.stage.clock.now, Tally())
    runner = await open_server(Listen("127.0.0.1", 0), [door])
    host, port = runner.addresses[0][:2]
    try:
        yield f"http://{host}:{port}"
    finally:
        await runner.cleanup()
        await asyncio.to_thread(work.close)
        room.stage.close()


async def test_a_reading_as_json_or_as_a_form() -> None:
    room = Room()
    async with _served(room) as base:
        assert room.address.startswith("https://potside.example.org/sensor/")
        assert await room.send(base, GOOD) == (200, {"kept": True})
        assert sensors.last_of(room.sensor) == Reading(21.5, 45.0)
        room.stage.wait(timedelta(minutes=1))
        form = {"temperature": "70", "unit": "F", "humidity": "40"}
        assert (await room.send(base, None, data=form))[0] == 200
        last = sensors.last_of(room.sensor)
        assert last is not None
        assert last.celsius == pytest.approx(21.11, abs=0.01)
        room.stage.wait(timedelta(minutes=1))
        assert (await room.send(base, {"temperature": 20.25, "unit": "°C"}))[0] == 200
        assert sensors.last_of(room.sensor) == Reading(20.25, None)


REFUSED = {
    "nothing": ({}, "temperature is missing"),
    "no unit": ({"temperature": 21.5}, "temperature 21.5: C or F?"),
    "another unit": ({"temperature": 294, "unit": "K"}, 'unit: "C" or "F"'),
    "too hot": ({"temperature": "71 C"}, "a room has -20 to 50 C"),
    "Fahrenheit for Celsius": ({"temperature": 70, "unit": "C"}, "a room has -20 to 50 C"),
    "no number": ({"temperature": "warm C"}, "temperature"),
    "not a number": ({"temperature": "nan C", "humidity": 40}, "temperature"),
    "a list": ({"temperature": [21]}, "temperature is missing"),
    "too humid": ({"temperature": "21 C", "humidity": 145}, "humidity 145: from 1 to 100 %"),
    "dry as nothing": ({"temperature": "21 C", "humidity": 0}, "humidity 0: from 1 to 100 %"),
    "humidity nan": ({"temperature": "21 C", "humidity": "nan"}, "humidity nan: from 1 to 100 %"),
    "humidity in words": ({"temperature": "21 C", "humidity": "high"}, "'high' is no number"),
}


async def test_what_can_not_be_is_refused_in_words() -> None:
    room = Room()
    async with _served(room) as base:
        for name, (body, why) in REFUSED.items():
            status, told = await room.send(base, body)
            assert (status, told["kept"]) == (400, False), name
            assert why in told["error"], name
        for body, why in ((b"21.5", "one object"), (b"\xff{", "neither JSON"), (b"", "neither")):
            status, told = await room.send(base, None, data=body)
            assert status == 400
            assert why in told["error"]
        assert room.sensor.heard_at is None


async def test_size_pace_and_secret() -> None:
    room = Room()
    async with _served(room) as base:
        status, told = await room.send(base, {**GOOD, "more": "x" * MOST_BYTES})
        assert (status, told["error"]) == (413, f"a reading has at most {MOST_BYTES} bytes")
        assert (await room.send(base, GOOD, "wrong"))[0] == 404
        assert (await room.send(base, GOOD, "x" * 5000))[0] == 404
        assert (await room.send(base, GOOD))[0] == 200
        status, told = await room.send(base, GOOD)
        assert (status, told["error"]) == (429, "once in 30 seconds is enough")
        room.stage.say("Ida", "/sensor off kitchen")
        room.stage.wait(timedelta(minutes=1))
        assert (await room.send(base, GOOD))[0] == 404


def test_only_a_digest_of_the_secret_is_kept_with_the_sensor() -> None:
    room = Room()
    with room.stage.store.read() as tx:
        row = tx.execute(sql("SELECT * FROM sensor")).one()
    assert room.secret not in json.dumps([str(value) for value in row])
    assert len(room.secret) >= 32
    room.stage.close()


def test_a_days_readings_are_one_entry_that_moves_the_drying_clock() -> None:
    """Mean of the deficits by FAO-56 equation 11; 288 readings make two entries, not 288."""
    room = Room()
    for number in range(289):
        told = Reading(26.0, 25.0) if number % 2 else Reading(18.0, 35.0)
        with room.stage.store.write() as tx:
            assert sensors.hear(tx, room.secret, told, room.stage.clock.now()) is Heard.KEPT
        room.stage.clock.move_to(room.stage.clock.now() + timedelta(minutes=5))
    assert room.stage.journal().count("aired") == 2
    with room.stage.store.read() as tx:
        found = tx.execute(sql("SELECT body FROM event WHERE kind = 'aired' ORDER BY id DESC"))
        body = json.loads(str(found.scalars().first()))
        house = record.common_of(tx, 1).house
        ways = lows.ways_of(tx, 1)
    mean = (deficit_kpa(26, 25) + deficit_kpa(18, 35)) / 2
    assert deficit_kpa(body["celsius"], body["humidity"]) == pytest.approx(mean, rel=0.02)
    assert house is not None
    assert house.clock.measured == 2
    assert house.clock.usual > 1.1
    assert ways.room("kitchen").night_c == 18.0
    assert ways.room("kitchen").celsius == pytest.approx(22, abs=0.2)
    with room.stage.store.write() as tx:
        assert not rebuilding.rebuild(tx, 1, write=False)
    room.stage.close()


def test_sensors_are_listed_and_ended() -> None:
    room = Room()
    play(
        room.stage,
        """
Ida: /sensor
  Kitchen: never heard yet.
Ida: /sensor new cellar
  In which room is it? There are kitchen
Ida: /sensor off cellar
  Which? There are sensors in kitchen
""",
    )
    with room.stage.store.write() as tx:
        sensors.hear(tx, room.secret, Reading(20.5, 51.0), room.stage.clock.now())
    play(
        room.stage,
        """
... 20 minutes
Tom: /sensor
  Kitchen: 20 °C, 51 %, 20 minutes ago.
Tom: /room kitchen
  20 °C by day
Tom: /sensor off
  kitchen: its address is dead now.
Tom: /sensor
  No sensor sends to me.
""",
    )
    room.stage.house.counter = room.stage.house.counter.__class__(room.stage.store, "UTC")
    assert "no web address" in room.stage.say("Ida", "/sensor new kitchen")[0].text
    room.stage.close()


def test_many_at_once_are_kept_apart() -> None:
    """Two households, each with its own sensor: what one tells never shows in the other."""
    room = Room()
    room.stage.say("Noor", "/add Ivy, ivy, 12 cm pot, kitchen, north window", "studio")
    told = room.stage.say("Noor", "/sensor new kitchen", "studio")[0].text
    other = told.splitlines()[1].rpartition("/")[2]
    with room.stage.store.write() as tx:
        sensors.hear(tx, other, Reading(11.0, 80.0), room.stage.clock.now())
    with room.stage.store.read() as tx:
        assert lows.ways_of(tx, 1).room("kitchen").celsius is None
        assert lows.ways_of(tx, 2).room("kitchen").celsius == 11.0
        assert record.common_of(tx, 1).house.clock.measured == 0  # type: ignore[union-attr]
    assert "never heard" in room.stage.say("Ida", "/sensor")[0].text
    room.stage.close()
