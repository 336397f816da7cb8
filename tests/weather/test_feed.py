"""The feed against a stand-in: each service's shape, its terms, and everything that goes wrong."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import aiohttp
import pytest

from bot.clock import StandingClock
from bot.duty.weather import asking
from bot.duty.weather.feed import ALONE_FOR, Feed
from bot.duty.workroom import Workroom
from bot.environment import WeatherSettings
from bot.tally import Tally
from core.actions import lows, weather
from core.actions.weather import Outlook, Service
from core.store import forecasts, people
from core.store.engine import Store
from core.store.opening import open_store
from core.store.people import Address
from tests.weather.standin import START, StandIn, hourly, http_date, standing_in

AREA, BERLIN = "52.5,13.4", ZoneInfo("Europe/Berlin")
MONDAY = date(2026, 3, 2)
COLD = datetime(2026, 3, 3, 4, tzinfo=UTC)


@dataclass(slots=True)
class World:
    """A feed, what it asks, and a clock that stands still."""

    feed: Feed
    stand: StandIn
    store: Store
    clock: StandingClock
    session: aiohttp.ClientSession

    async def ask(self, times: int = 1) -> None:
        for _ in range(times):
            assert await self.feed.once(self.session)

    async def quiet(self) -> bool:
        return not await self.feed.once(self.session)

    def wait(self, span: timedelta) -> None:
        self.clock.move_to(self.clock.now() + span)

    @property
    def outlook(self) -> Outlook | None:
        with self.store.read() as tx:
            return weather.outlook(tx, 1, self.clock.now())

    @property
    def row(self) -> forecasts.Kept:
        with self.store.read() as tx:
            found = forecasts.kept(tx, self.stand.service, AREA)
        assert found is not None
        return found

    def low(self) -> lows.Known | None:
        with self.store.read() as tx:
            return lows.known(tx, 1, MONDAY, BERLIN, self.clock.now())


def _household(store: Store, service: str, name: str = "Ida") -> None:
    with store.write() as tx:
        where = Address("terminal", "local", f"dm:{name}", name, name, direct=True)
        who = people.welcome(tx, where, START, zone="Europe/Berlin", settings="{}", name=name)
        weather.allow(tx, who.household_id, AREA, service, START)


@asynccontextmanager
async def _world(service: str, **told: Any) -> AsyncIterator[World]:
    store, clock, room = open_store("sqlite://"), StandingClock(START), Workroom()
    _household(store, service)
    contact = told.pop("contact", "ida@example.org")
    async with standing_in(service) as stand:
        settings = WeatherSettings(Service(service), stand.base, contact)
        feed = Feed(settings, store, room, clock.now, Tally(), chance=lambda: 0.0)
        async with aiohttp.ClientSession(headers={"User-Agent": settings.agent}) as session:
            yield World(feed, stand, store, clock, session)
    room.close()
    store.close()


@pytest.fixture(autouse=True)
def _patience(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(asking, "TIMEOUT", 0.3)


SERVICES = [service.value for service in Service]


@pytest.mark.parametrize("service", SERVICES)
async def test_a_night_out_of_each_services_own_shape(service: str) -> None:
    """-6 C at five on Tuesday morning by Berlin's clocks; 21.2 F is told as 21, -6.1 C."""
    async with _world(service) as world:
        world.stand.tells(hourly(lambda at: -6.0 if at == COLD else 5.0))
        await world.ask()
        found = world.low()
        assert found is not None
        assert found.celsius == pytest.approx(-6, abs=0.12)
        assert found.reckoned_c == pytest.approx(-8.5, abs=0.12)
        assert found.credit
        clouds = {hour.cloud for hour in world.outlook.hours} if world.outlook else None
        assert clouds == ({None} if service == "nws" else {40.0})


@pytest.mark.parametrize("service", SERVICES)
async def test_who_asks_is_named_and_tells_no_more_than_the_area(service: str) -> None:
    async with _world(service) as world:
        await world.ask()
        for path, query, headers in world.stand.calls:
            assert headers["User-Agent"].startswith("potside")
            assert headers["User-Agent"].endswith(" ida@example.org")
            said = {key: query[key] for key in query if key[:3] in ("lat", "lon")}
            assert sorted(said.values()) in (["13.4", "52.5"], [])
            assert said or path in ("/points/52.5,13.4", "/gridpoints/OKX/33,35/forecast/hourly")


async def test_an_address_has_no_zeros_at_the_end() -> None:
    """The NWS redirects places with such zeros (maintainers' threads, SEEN-2ND)."""
    async with _world("nws") as world:
        with world.store.write() as tx:
            weather.allow(tx, 1, "40.0,-75.0", "nws", START)
        while await world.feed.once(world.session):
            pass
        assert "/points/40,-75" in [path for path, _, _ in world.stand.calls]


async def test_the_way_to_the_grid_is_asked_once_and_again_when_it_has_moved() -> None:
    async with _world("nws") as world:
        await world.ask()
        world.wait(timedelta(hours=4))
        await world.ask()
        assert [path[:7] for path, _, _ in world.stand.calls] == ["/points", "/gridpo", "/gridpo"]
        world.wait(timedelta(hours=4))
        world.stand.faults = [(404, '{"title": "Not Found"}', {})]
        await world.ask()
        world.wait(timedelta(minutes=2))
        await world.ask()
        assert [path[:7] for path, _, _ in world.stand.calls][-2:] == ["/points", "/gridpo"]


async def test_a_grid_on_another_server_is_not_asked() -> None:
    async with _world("nws") as world:
        elsewhere = '{"properties": {"forecastHourly": "http://192.0.2.1/gridpoints"}}'
        world.stand.faults = [(200, elsewhere, {})]
        await world.ask()
        assert "points at another server" in world.row.trouble


async def test_one_call_for_all_households_of_an_area_and_none_before_it_is_due() -> None:
    async with _world("open-meteo") as world:
        for name in ("Tom", "Noor"):
            _household(world.store, "open-meteo", name)
        await world.ask()
        for _ in range(17):
            assert await world.quiet()
            world.wait(timedelta(minutes=10))
        assert len(world.stand.calls) == 1
        world.wait(timedelta(minutes=15))
        await world.ask()
        mine = world.outlook
        with world.store.read() as tx:
            theirs = {weather.outlook(tx, one, world.clock.now()) for one in (1, 2, 3)}
        assert theirs == {mine}


async def test_what_has_not_changed_is_not_fetched_again() -> None:
    """Expires is honoured and If-Modified-Since sent: api.met.no's terms, SEEN."""
    async with _world("met-norway") as world:
        world.stand.last_modified = http_date(START)
        world.stand.headers = {"Expires": http_date(START + timedelta(hours=5))}
        await world.ask()
        world.wait(timedelta(hours=4))
        assert await world.quiet()
        world.wait(timedelta(hours=1))
        await world.ask()
        assert world.stand.calls[-1][2]["If-Modified-Since"] == http_date(START)
        assert world.row.fetched_at == world.clock.now()
        assert world.feed.tally.counts["weather", "unchanged"] == 1
        assert world.low() is not None


async def test_a_tag_is_sent_back_and_a_new_forecast_replaces_the_old() -> None:
    """ETag and Cache-Control, as RFC 9110 and 9111 have them (FROM MEMORY)."""
    async with _world("nws") as world:
        world.stand.headers = {"ETag": '"a1"', "Cache-Control": "public, max-age=14400"}
        await world.ask()
        world.wait(timedelta(hours=3, minutes=50))
        assert await world.quiet()
        world.wait(timedelta(minutes=10))
        world.stand.tells(hourly(lambda _: 1.0))
        await world.ask()
        assert world.stand.forecasts[-1][2]["If-None-Match"] == '"a1"'
        assert "If-None-Match" not in world.stand.calls[0][2]
        found = world.low()
        assert found is not None
        assert found.celsius == pytest.approx(1, abs=0.3)


async def test_off_is_off_at_once_and_on_again_asks_nobody_anew() -> None:
    async with _world("open-meteo") as world:
        await world.ask()
        for _ in range(3):
            with world.store.write() as tx:
                weather.disallow(tx, 1)
                assert weather.outlook(tx, 1, world.clock.now()) is None
            with world.store.write() as tx:
                weather.allow(tx, 1, AREA, "open-meteo", world.clock.now())
            assert await world.quiet()
        with world.store.write() as tx:
            weather.disallow(tx, 1)
        world.wait(timedelta(days=1))
        assert await world.quiet()
        assert len(world.stand.calls) == 1
        with world.store.read() as tx:
            assert forecasts.kept(tx, "open-meteo", AREA) is None


async def test_another_service_is_told_nothing_without_a_new_yes() -> None:
    async with _world("open-meteo") as world:
        with world.store.write() as tx:
            weather.allow(tx, 1, AREA, "met-norway", START)
        assert await world.quiet()
        assert world.stand.calls == []


PROBLEM = '{"title": "ForecastGridExpired", "status": 503, "detail": "..."}'
FAULTS = {
    "slow": (1.0, "no answer in time"),
    "too fast": ((429, '{"error": true, "reason": "Minutely limit exceeded"}', {}), "429 Minutely"),
    "broken": ((500, "<html>oh</html>", {}), "500"),
    "expired": ((503, PROBLEM, {}), "503 ForecastGridExpired"),
    "no json": ((200, "<html>", {}), "not understood"),
    "cut short": ((200, '{"hourly": {"time": [1', {}), "not understood"),
    "nothing in it": ((200, "{}", {}), "not understood"),
}


@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize("service", SERVICES)
async def test_a_fault_leaves_the_last_good_answer(service: str, fault: str) -> None:
    async with _world(service) as world:
        await world.ask()
        before = world.outlook
        world.wait(timedelta(hours=4))
        what, why = FAULTS[fault]
        world.stand.faults = [what]
        await world.ask()
        assert world.outlook == before
        assert why in world.row.trouble
        assert await world.quiet()
        world.wait(timedelta(hours=2))
        await world.ask()
        assert world.row.trouble == ""
        assert world.row.failures == 0


@pytest.mark.parametrize(
    ("service", "unit"), [("open-meteo", "°F"), ("met-norway", "fahrenheit"), ("nws", "K")]
)
async def test_another_unit_is_not_taken_for_ours(service: str, unit: str) -> None:
    async with _world(service) as world:
        world.stand.tells(hourly(lambda _: 40.0), unit=unit)
        await world.ask()
        assert repr(unit) in world.row.trouble
        assert world.low() is None


@pytest.mark.parametrize("service", SERVICES)
async def test_missing_values_are_missing_and_never_nought(service: str) -> None:
    async with _world(service) as world:
        world.stand.tells(hourly(lambda at: None if at.hour in (1, 4) else 5.0))
        await world.ask()
        found = world.low()
        assert found is not None
        assert found.celsius == pytest.approx(5, abs=0.01)
        world.wait(timedelta(hours=4))
        world.stand.tells(hourly(lambda at: None if at.hour < 6 else 5.0))
        await world.ask()
        assert world.low() is None


async def test_short_arrays_and_impossible_values() -> None:
    async with _world("open-meteo") as world:
        world.stand.tells(hourly(lambda at: -999.0 if at == COLD else 5.0))
        world.stand.body["hourly"]["temperature_2m"] = world.stand.body["hourly"]["temperature_2m"][
            :30
        ]
        await world.ask()
        outlook = world.outlook
        assert outlook is not None
        assert len(outlook.hours) == 29
        assert {hour.celsius for hour in outlook.hours} == {5.0}


@pytest.mark.parametrize("headers", [{"Retry-After": "600"}, {"Retry-After": "%date"}])
async def test_a_pause_that_is_asked_for_is_kept(headers: dict[str, str]) -> None:
    told = {key: value.replace("%date", http_date(START + timedelta(minutes=10)))
            for key, value in headers.items()}  # fmt: skip
    async with _world("met-norway") as world:
        world.stand.faults = [(429, "", told)]
        await world.ask()
        world.wait(timedelta(minutes=9))
        assert await world.quiet()
        world.wait(timedelta(minutes=2))
        await world.ask()
        assert world.outlook is not None


async def test_who_is_refused_does_not_insist() -> None:
    """Without a contact in the User-Agent: 403 (api.met.no's terms, SEEN)."""
    async with _world("met-norway", contact="") as world:
        await world.ask()
        assert "403 Forbidden" in world.row.trouble
        world.wait(timedelta(hours=5))
        assert await world.quiet()


async def test_failures_grow_apart_and_after_three_the_service_is_left_alone() -> None:
    async with _world("open-meteo") as world:
        world.stand.faults = [(500, "", {})] * 3
        await world.ask()
        world.wait(timedelta(minutes=1))
        await world.ask()
        world.wait(timedelta(minutes=1))
        assert await world.quiet()
        world.wait(timedelta(minutes=1))
        await world.ask()
        with world.store.write() as tx:
            weather.allow(tx, 1, "1.0,1.0", "open-meteo", world.clock.now())
        assert await world.quiet()
        world.wait(ALONE_FOR)
        await world.ask()
        assert world.outlook is not None


async def test_an_answer_without_end_is_cut_off(monkeypatch: pytest.MonkeyPatch) -> None:
    async with _world("open-meteo") as world:
        monkeypatch.setattr(asking, "MOST_BYTES", 10_000)
        world.stand.faults = [(200, " " * 20_000, {})]
        await world.ask()
        assert world.row.trouble == "the answer has no end"


async def test_a_forecast_is_good_for_twelve_hours() -> None:
    async with _world("open-meteo") as world:
        await world.ask()
        world.wait(timedelta(hours=12))
        assert world.outlook is not None
        world.wait(timedelta(minutes=1))
        assert world.outlook is None


async def test_of_two_workers_one_asks(tmp_path: Any) -> None:
    store = open_store(f"sqlite:///{tmp_path / 'house.db'}")
    _household(store, "open-meteo")
    claimed = []
    for _ in range(2):
        with store.write() as tx:
            claimed += forecasts.claim(tx, "open-meteo", START, START + timedelta(minutes=5))
    assert len(claimed) == 1
    with store.read() as tx:
        standing = forecasts.standing(tx, "open-meteo")
    assert (standing.areas, standing.failing) == (1, 0)
    store.close()
