"""What the benches share: a house to measure in, figures with their goals, a table at the end."""

from __future__ import annotations

import contextlib
import os
import platform
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median, quantiles

import pytest
from sqlalchemy import event

from bot.app import House
from bot.clock import StandingClock
from bot.talk.message import Message, Reply
from core.store.opening import open_store
from core.store.outbox import Parcel
from core.store.people import Address

BEGINS = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
# Between two messages, so that plants dry and are watered as the checks go on.
PACE = timedelta(minutes=20)
LINES_AT_ONCE = 80  # of /add in one message
ME = Address("terminal", "local", "main", "Ida", "Ida")


# --- figures --------------------------------------------------------------------------------


@dataclass(slots=True)
class Figures:
    """One bench's lines of the table; a missed goal fails the bench once all are measured."""

    title: str
    lines: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)

    def note(self, what: str, figure: str) -> None:
        """A line without a goal."""
        self.lines.append(f"  {what:<58} {figure}")

    def goal(self, what: str, figure: float, most: float, unit: str = "") -> None:
        """A line that should stay under `most`."""
        met = figure <= most
        told = f"{figure:8.2f} {unit:<4} goal {most:g} {unit}"
        self.note(what, f"{told.rstrip()}: {'met' if met else 'MISSED'}")
        if not met:
            self.missed.append(what)

    def settle(self) -> None:
        """Fail if a goal was missed."""
        assert not self.missed, f"goals missed: {', '.join(self.missed)}"


_TABLE = pytest.StashKey[list[Figures]]()


@pytest.fixture
def figures(request: pytest.FixtureRequest) -> Figures:
    """An empty part of the table, titled by the bench's docstring."""
    lines = (request.function.__doc__ or request.node.name).strip().splitlines()
    made = Figures(lines[0])
    request.config.stash.setdefault(_TABLE, []).append(made)
    return made


def _machine() -> str:
    """What it ran on, and how busy that was: with more load than cores, times are others' too."""
    loads = ", ".join(f"{load:.1f}" for load in os.getloadavg())
    return (
        f"{os.cpu_count()} cores, load {loads} over 1, 5, 15 minutes; "
        f"Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}"
    )


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    parts = terminalreporter.config.stash.get(_TABLE, [])
    if parts:
        terminalreporter.section("Benches", sep="=")
        terminalreporter.write_line(_machine())
    for part in parts:
        terminalreporter.section(part.title, sep="-")
        for line in part.lines:
            terminalreporter.write_line(line)


# --- a house --------------------------------------------------------------------------------


@dataclass(slots=True)
class Wall:
    """A network whose messages go nowhere; the last one is kept."""

    network: str = "terminal"
    said: str = ""

    def send(self, _parcel: Parcel, reply: Reply) -> None:
        self.said = reply.text


@dataclass(slots=True)
class Home:
    """A whole house on an SQLite file: it hears messages, works, commits, sends.

    Told the same texts from the same file, two of them issue the same statements.
    """

    path: Path
    house: House
    wall: Wall
    clock: StandingClock
    told: int = 0

    def say(self, text: str) -> str:
        """Tell it something; its answer."""
        self.told += 1
        message = Message(ME, f"m{self.told}", text, self.clock.now())
        self.house.hear(message)
        self.clock.move_to(self.clock.now() + PACE)
        return self.wall.said


OpenHome = Callable[..., contextlib.AbstractContextManager[Home]]


@contextlib.contextmanager
def _open(path: Path, *, synchronous: str = "FULL", told: int = 0) -> Iterator[Home]:
    store = open_store(f"sqlite:///{path}")

    def set_level(connection: sqlite3.Connection, _record: object) -> None:
        connection.execute(f"PRAGMA synchronous={synchronous}")

    event.listen(store.engine, "connect", set_level)
    store.engine.dispose()
    wall, clock = Wall(), StandingClock(BEGINS + told * PACE)
    try:
        yield Home(path, House(store, clock, wall, "Europe/Berlin"), wall, clock, told)
    finally:
        store.close()


@pytest.fixture
def open_home() -> OpenHome:
    """Opens a house: `open_home(path, synchronous="FULL", told=0)`; `told` messages came before."""
    return _open


@pytest.fixture
def furnish(tmp_path: Path) -> Callable[[Sequence[str]], tuple[Path, int]]:
    """Makes a database file of a household with these plants, given as lines of /add.

    Returns the file and how many messages were told.
    """

    def make(lines: Sequence[str]) -> tuple[Path, int]:
        path = tmp_path / f"{len(lines)}.db"
        with _open(path, synchronous="OFF") as home:
            for first in range(0, len(lines), LINES_AT_ONCE):
                answer = home.say("/add\n" + "\n".join(lines[first : first + LINES_AT_ONCE]))
                assert answer.startswith("Added"), answer
            return path, home.told

    return make


# --- arithmetic -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Spread:
    """Seconds that many repetitions took."""

    p50: float
    p99: float
    rate: float

    def __str__(self) -> str:
        return f"p50 {self.p50 * 1e3:6.2f} ms  p99 {self.p99 * 1e3:6.2f} ms  {self.rate:6.0f}/s"


def _spread(seconds: Sequence[float]) -> Spread:
    return Spread(median(seconds), quantiles(seconds, n=100)[98], len(seconds) / sum(seconds))


@pytest.fixture
def spread() -> Callable[[Sequence[float]], Spread]:
    """Sums up the seconds of many repetitions: p50, p99, rate."""
    return _spread
