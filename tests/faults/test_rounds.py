"""Rounds through sleep, kills and clocks that jump: one sensible catch-up, nothing twice.

Reports of other projects that each test answers: agronholm/apscheduler #296, #292, #273, #146,
#160, #218, #766, #1021, #980, #606, #372; python-telegram-bot #1381, #1693, #3263;
matrix-reminder-bot #44.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from bot.clock import StandingClock
from bot.duty.schedule import start_sweeps, stop_sweeps, sweeps_on_loop
from core.actions import rounds
from core.actions.here import Here
from core.store.opening import open_store
from tests.faults.conftest import Home

BERLIN = ZoneInfo("Europe/Berlin")
PLANT = "/add Fern, Boston fern, 15 cm pot, bathroom, north window"
DAY = timedelta(days=1)


class FreeClock(StandingClock):
    """One that can be set back, as a machine's can."""

    def set_to(self, at: datetime) -> None:
        """Stand somewhere else."""
        self._at = at.astimezone(UTC)


@pytest.fixture
def waiting(db_url: str) -> Iterator[Home]:
    """A household with one plant that nobody probes, at noon before its first round."""
    store = open_store(db_url)
    home = Home(store, rounds=True)
    home.clock = FreeClock(datetime(2026, 3, 2, 12, tzinfo=BERLIN))
    home.wall.clock = home.clock
    home.house = home.built()
    home.say(PLANT)
    home.house.tick()
    yield home
    store.close()


def _mornings(home: Home) -> list[str]:
    occasions = (str(one) for (one,) in home.rows("outbox", "occasion"))
    return [one for one in occasions if one.endswith(".morning")]


def _at(home: Home, day: int, hour: int, minute: int = 0) -> list[Any]:
    """The clock is set, and a sweep comes by; what is said."""
    before = len(home.wall.heard)
    assert isinstance(home.clock, FreeClock)
    home.clock.set_to(datetime(2026, 3, day, hour, minute, tzinfo=BERLIN))
    home.house.tick()
    return home.wall.heard[before:]


def test_a_week_asleep_is_one_round(waiting: Home) -> None:
    """apscheduler #296, #292, #273: late is not lost; and a week late is not seven."""
    assert len(_at(waiting, 12, 10)) == 1
    assert _mornings(waiting) == ["round.1.2026-03-12.morning"]
    assert _at(waiting, 12, 12) == []


def test_awake_again_in_the_night_waits_for_the_morning(waiting: Home) -> None:
    assert _at(waiting, 12, 23) == []
    assert len(_at(waiting, 13, 8)) == 1


def test_a_clock_that_steps_back_says_nothing_twice(waiting: Home) -> None:
    assert len(_at(waiting, 5, 8)) == 1
    assert _at(waiting, 5, 7) == []
    assert _at(waiting, 5, 8, 30) == []
    assert len(_at(waiting, 6, 8)) == 1


def test_a_clock_a_day_ahead_and_put_right_goes_on_the_same_way(waiting: Home) -> None:
    assert len(_at(waiting, 6, 9)) == 1
    assert _at(waiting, 5, 9) == []
    assert _at(waiting, 6, 9) == []
    assert len(_at(waiting, 7, 8)) == 1


def test_a_clock_that_was_a_year_ahead_costs_no_year_of_silence(waiting: Home) -> None:
    assert isinstance(waiting.clock, FreeClock)
    waiting.clock.set_to(datetime(2027, 3, 6, 9, tzinfo=BERLIN))
    waiting.house.tick()
    _at(waiting, 7, 9)
    assert len(_at(waiting, 8, 8)) == 1


def test_a_restart_between_the_sweep_and_the_send_says_it_once(waiting: Home) -> None:
    """The row is there and the process dies; then it dies again after it was sent."""
    assert isinstance(waiting.clock, FreeClock)
    waiting.clock.set_to(datetime(2026, 3, 5, 8, tzinfo=BERLIN))
    waiting.house.sweeper.sweep(waiting.clock.now())  # died here
    before = len(waiting.wall.heard)
    waiting.restart()
    waiting.restart()
    waiting.house.tick()
    assert len(waiting.wall.heard) - before == 1


def test_old_rounds_that_were_never_sent_are_dropped(waiting: Home) -> None:
    """The network is away for a week: when it is back it hears of today only."""
    assert isinstance(waiting.clock, FreeClock)
    for day in range(5, 12):
        waiting.clock.set_to(datetime(2026, 3, day, 8, tzinfo=BERLIN))
        while waiting.house.sweeper.sweep(waiting.clock.now()):
            pass
    before = len(waiting.wall.heard)
    waiting.house.tick()
    assert len(waiting.wall.heard) - before == 1
    assert _mornings(waiting)[-1] == "round.1.2026-03-11.morning"


def test_two_processes_on_one_database_say_it_once(waiting: Home) -> None:
    """apscheduler #160, #218, #766."""
    assert isinstance(waiting.clock, FreeClock)
    waiting.clock.set_to(datetime(2026, 3, 5, 8, tzinfo=BERLIN))
    before = len(waiting.wall.heard)
    others = [waiting.house, *(waiting.built() for _ in range(2))]
    threads = [threading.Thread(target=other.tick) for other in others]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert len(waiting.wall.heard) - before == 1


def test_zone_and_hour_are_read_anew_after_a_restart(waiting: Home) -> None:
    """python-telegram-bot #1693, #3263, matrix-reminder-bot #44: set, restart, move the zone."""
    waiting.say("/settings morning 9:30")
    waiting.restart()
    assert _at(waiting, 5, 9, 29) == []
    assert len(_at(waiting, 5, 9, 30)) == 1
    waiting.say("/settings zone America/New_York")
    waiting.restart()
    assert _at(waiting, 6, 9, 30) == []
    assert len(_at(waiting, 6, 15, 30)) == 1


def test_the_column_follows_the_wall_through_the_change(waiting: Home) -> None:
    """apscheduler #372, #1021, #980, #606, python-telegram-bot #1381: eight stays eight."""
    for day in (27, 28, 29, 30):
        _at(waiting, day, 8)
    ((due, rule),) = waiting.rows("household", "round_at", "round_rule")
    assert due == datetime(2026, 3, 31, 6, tzinfo=UTC)
    assert rule == "08:00 Europe/Berlin"
    assert [one[8:18] for one in _mornings(waiting)] == [f"2026-03-{day}" for day in range(27, 31)]


def test_a_round_that_cannot_be_made_keeps_no_other_from_its_moment(
    waiting: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    where = waiting.message(PLANT)
    other = where.address
    second = type(other)(other.network, other.account, "studio", "Tom", "Tom")
    waiting.house.hear(type(where)(second, "x1", PLANT, waiting.clock.now()))
    waiting.house.tick()
    real = rounds.round_of

    def broken(tx: Any, here: Here, *, unasked: bool = False) -> Any:
        if here.household_id == 1:
            raise ZeroDivisionError
        return real(tx, here, unasked=unasked)

    monkeypatch.setattr(rounds, "round_of", broken)
    assert [one.parcel.chat for one in _at(waiting, 5, 8)] == ["studio"]
    monkeypatch.undo()
    assert len(_at(waiting, 6, 8)) == 2


def test_nothing_is_due_without_a_morning(waiting: Home) -> None:
    waiting.say("/settings morning off")
    assert _at(waiting, 5, 8) == []
    assert waiting.rows("household", "round_at") == [(None,)]


def test_the_live_job_on_the_loop_is_so_too() -> None:
    async def serve() -> tuple[bool, object, int]:
        came = asyncio.Event()

        async def tick() -> None:
            came.set()

        scheduler = sweeps_on_loop(tick)
        (job,) = scheduler.get_jobs()
        async with asyncio.timeout(30):
            await came.wait()
        scheduler.shutdown(wait=False)
        return job.coalesce, job.misfire_grace_time, job.max_instances

    assert asyncio.run(serve()) == (True, None, 1)


def test_the_live_job_is_coalesced_never_dropped_and_alone() -> None:
    """apscheduler #146: what counts is what the live job has, not where it was asked for."""
    came = threading.Event()
    scheduler = start_sweeps(came.set)
    (job,) = scheduler.get_jobs()
    try:
        assert (job.coalesce, job.misfire_grace_time, job.max_instances) == (True, None, 1)
        assert came.wait(30)
    finally:
        stop_sweeps(scheduler)


def test_a_week_down_with_a_pour_and_an_evening_open_is_no_burst(waiting: Home) -> None:
    """The pour asks once how it went, today's round is said; the evening of then is over."""
    assert len(_at(waiting, 5, 8)) == 1
    waiting.say("fern 2 3")
    waiting.say("/low -6 tonight")
    waiting.say("/pour fern")
    waiting.say("/pour fern poured")
    waiting.say("/round evening")
    assert isinstance(waiting.clock, FreeClock)
    waiting.clock.set_to(datetime(2026, 3, 13, 10, 30, tzinfo=BERLIN))
    before = len(waiting.wall.heard)
    waiting.restart()
    waiting.restart()
    said = [one.text for one in waiting.wall.heard[before:]]
    assert len(said) == 2
    assert "saucer" in said[0]
    assert "Good morning. One to probe" in said[1]
