"""The machine's own clock is set while it serves: the real sweeps go on, nothing comes twice.

Also the household's zone against the machine's, and both changes of the clocks in five zones,
against the IANA data as an independent library reads it (python-dateutil).
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import time_machine
from dateutil import tz  # type: ignore[import-untyped]

from bot.clock import RealClock
from bot.duty import schedule
from bot.serving import serving
from bot.tally import Tally
from core.store.engine import Store
from core.store.opening import open_store
from core.store.people import Address
from tests.faults.conftest import Home
from tests.faults.loopback import NETWORK, Loopback, until

BERLIN = ZoneInfo("Europe/Berlin")
ROOT = Path(__file__).resolve().parents[2]
FERN = "/add Fern, Boston fern, 15 cm pot, bathroom, north window"
IDA = Address(NETWORK, "bot", "home", "ida", "Ida", direct=True)
TOM = Address(NETWORK, "bot", "studio", "tom", "Tom", direct=True)
DAY = timedelta(days=1)


@pytest.fixture
def often(monkeypatch: pytest.MonkeyPatch) -> None:
    """Sweeps come ten times as often as they do."""
    monkeypatch.setattr(schedule, "SWEEP_SECONDS", 0.2)
    monkeypatch.setattr(schedule, "_STEP", timedelta(seconds=0.6))


@pytest.mark.usefixtures("often")
async def test_the_machines_clock_leaps_and_steps_back(sqlite_url: str) -> None:
    """apscheduler's sweeps would stand still for an hour, or be counted one by one for a year."""
    noon = datetime(2026, 3, 2, 12, tzinfo=BERLIN)
    store, network = open_store(sqlite_url), Loopback()

    def mornings() -> int:
        return sum("Good morning" in one.text for one in network.port.unasked)

    with time_machine.travel(noon, tick=True) as machine:
        async with serving(store, RealClock(), [network], Tally(), zone="Europe/Berlin"):
            await network.ask(IDA, FERN, RealClock().now())
            await until(lambda: _is_planned(store))
            for said, moment in enumerate(
                (
                    datetime(2026, 3, 5, 8, 0, tzinfo=BERLIN),
                    datetime(2026, 3, 6, 9, 0, tzinfo=BERLIN),  # a day forward
                    datetime(2026, 3, 13, 9, 0, tzinfo=BERLIN),  # a week asleep
                    datetime(2027, 3, 13, 9, 0, tzinfo=BERLIN),  # a year
                ),
                1,
            ):
                machine.move_to(moment)
                await until(lambda said=said: mornings() == said)  # type: ignore[misc]
            machine.move_to(datetime(2027, 3, 13, 8, 0, tzinfo=BERLIN))  # an hour back
            await network.ask(TOM, "/add Ivy, English ivy, 12 cm pot, hall", RealClock().now())
            await until(lambda: _is_planned(store, 2))  # a sweep came by
            machine.move_to(datetime(2027, 3, 13, 8, 30, tzinfo=BERLIN))
            await network.ask(IDA, "/plants", RealClock().now())
            assert mornings() == 4
    assert len(network.port.unasked) == 4
    store.close()


def _is_planned(store: Store, household: int = 1) -> bool:
    with store.read() as tx:
        found = tx.exec_driver_sql(
            "SELECT round_rule FROM household WHERE id = ?", (household,)
        ).first()
    return found is not None and found[0] is not None


def test_a_server_in_another_zone_than_the_household() -> None:
    """Two weeks over a change of the clocks, said alike wherever the machine stands."""
    assert _fortnight("Pacific/Auckland") == _fortnight("Europe/Berlin")


def _fortnight(machine_zone: str) -> list[str]:
    lines = [FERN, "/low 3C tonight", "fern 6 7 yesterday", "/round", ":wait 14d", "/why fern"]
    command = [sys.executable, "-m", "bot.cli", "chat", "--json", "--db", "sqlite://"]
    command += ["--as", "Ida", "--start", "2026-03-20T23:30", "--tz", "Europe/Berlin"]
    done = subprocess.run(
        command,
        cwd=ROOT,
        input="\n".join(lines),
        env=os.environ | {"TZ": machine_zone},
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    said = done.stdout.splitlines()
    assert sum('"kind": "reminder"' in one or '"kind":"reminder"' in one for one in said) > 5
    return said


# (zone, the day its clocks go forward, the day they go back) in 2026. Lord Howe moves by half an
# hour; it and Santiago are southern; Santiago's clocks jump at midnight.
CHANGES = [
    ("Europe/Berlin", date(2026, 3, 29), date(2026, 10, 25)),
    ("America/New_York", date(2026, 3, 8), date(2026, 11, 1)),
    ("Australia/Lord_Howe", date(2026, 10, 4), date(2026, 4, 5)),
    ("America/Santiago", date(2026, 9, 6), date(2026, 4, 5)),
    ("Asia/Beirut", date(2026, 3, 29), date(2026, 10, 25)),
]
# Hours that some of these days lack or have twice, and one that all have once.
HOURS = [time(0, 15), time(1, 45), time(2, 15), time(8)]


@pytest.fixture
def home() -> Iterator[Home]:
    store = open_store("sqlite://")
    yield Home(store, rounds=True)
    store.close()


@pytest.mark.parametrize("hour", HOURS)
@pytest.mark.parametrize(("zone", "forward", "back"), CHANGES)
def test_the_round_is_said_once_on_each_day_of_a_change(
    home: Home, zone: str, forward: date, back: date, hour: time
) -> None:
    for change in sorted((forward, back)):
        home.clock.move_to(datetime.combine(change - 5 * DAY, time(12), ZoneInfo(zone)))
        if "Fern" not in home.say("/plants"):
            home.say(FERN)
            home.say(f"/settings zone {zone}")
            home.say(f"/settings morning {hour:%H:%M}")
            home.say("/settings quiet off")
            home.say("/settings evening off")
        heard = home.wait(days=9)
        said = [one.at for one in heard if "Good morning" in one.text]
        days = [change + n * DAY for n in (-1, 0, 1, 2)]
        wanted = [_by_dateutil(day, hour, zone) for day in days]
        assert [at for at in said if wanted[0] <= at <= wanted[-1]] == wanted


def _by_dateutil(day: date, hour: time, zone: str) -> datetime:
    """The moment by another library: a skipped hour by the offset before, a double one early."""
    there = tz.gettz(zone)
    naive = datetime.combine(day, hour)
    if not tz.datetime_exists(naive, there):
        before = (naive - timedelta(hours=3)).replace(tzinfo=there).utcoffset()
        assert before is not None
        return (naive - before).replace(tzinfo=UTC)
    return naive.replace(tzinfo=there, fold=0).astimezone(tz.UTC).astimezone(UTC)
