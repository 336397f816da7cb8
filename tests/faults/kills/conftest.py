"""Driving `potside chat` from outside, killing it, and comparing with a run that nobody killed.

A script's lines are fed to a child process. The clock stands except for `:wait`, so everything
that a script leads to is the same every time: an undisturbed run gives the answers to each line
and what the database holds after it. A run that is killed has to come to the same.

What the driver does after a kill is what a chat network does: a line without any answer is sent
again, once, unless its answer comes by itself at the next start.
"""

from __future__ import annotations

import json
import random
import shutil
import sqlite3
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from tests.faults.child import BEGINS, Child, Said

FIGURES = pytest.StashKey[list[str]]()

# --- scripts ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Line:
    """One line of input, and where the clock stands once it is done."""

    text: str
    then: datetime
    waits: bool = False


def _script(*lines: str | int) -> list[Line]:
    """Texts to say, and minutes to wait."""
    now, script = BEGINS, []
    for line in lines:
        if isinstance(line, int):
            now += timedelta(minutes=line)
            # Not `:wait 8m`: after a kill the clock may have come half of the way.
            script.append(Line(f":wait until {now:%H:%M}", now, waits=True))
        else:
            script.append(Line(line, now))
    return script


# --- what was said ------------------------------------------------------------------------------


def _by_line(said: Sequence[Said]) -> list[list[Said]]:
    """Messages by the input line that they came before the `done` of; the last has no `done`."""
    found: list[list[Said]] = [[]]
    for one in said:
        if one["event"] == "done":
            found.append([])
        else:
            found[-1].append(one)
    return found


# --- what a database holds ----------------------------------------------------------------------

_KEPT = {
    "event": "id, household_id, plant_id, person_id, kind, version, happened_at, told_at, body,"
    " inbox_id, ordinal, undone_by",
    "mark": "event_id, happened_at, rules, common, plants",
    "plant": "id, name, name_key, room, probe_at, left_at, state",
    "dialogue": "id, chat_id, person_id, plant_id, subject, stage, version, state, options, due_at,"
    " opened_at, closed_at",
    "membership": "id, person_id, role, asked",
    "outbox": "id, chat_id, kind, occasion, topic, facts, body, due_at",
    "inbox": "id, chat, told_at",
}

Kept: TypeAlias = dict[str, list[tuple[Any, ...]]]


def _kept(path: Path) -> Kept:
    """All that matters in a database file, but for who was told and when."""
    with sqlite3.connect(path) as connection:
        return {
            table: connection.execute(f"SELECT {columns} FROM {table} ORDER BY id").fetchall()  # noqa: S608
            for table, columns in _KEPT.items()
        }


def _moment(path: Path, folder: Path) -> str:
    """How far the newest message had come when the process was killed, from a copy of the file."""
    copy = folder / "as-it-was.db"
    for end in ("", "-wal", "-journal"):
        if path.with_name(path.name + end).exists():
            shutil.copyfile(path.with_name(path.name + end), copy.with_name(copy.name + end))
        else:
            copy.with_name(copy.name + end).unlink(missing_ok=True)
    connection = sqlite3.connect(copy)
    try:
        newest = connection.execute("SELECT state FROM inbox ORDER BY id DESC LIMIT 1").fetchone()
        sent = connection.execute("SELECT state FROM outbox ORDER BY id DESC LIMIT 1").fetchone()
    except sqlite3.OperationalError:
        return "no tables yet"
    finally:
        connection.close()
    if newest is None:
        return "nothing kept yet"
    return "kept, not worked on" if newest[0] == "new" else f"worked on, answer {sent[0]}"


# --- the undisturbed run ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Undisturbed:
    """Answers and database after each line of a script; index 0 is before the first."""

    script: list[Line]
    answers: list[list[Said]]
    kept: list[Kept]
    path: Path


def _play(script: list[Line], folder: Path) -> Undisturbed:
    folder.mkdir()
    path = folder / "undisturbed.db"
    child = Child(f"sqlite:///{path}", BEGINS, folder / "stderr")
    child.feed("")
    child.until_done(1)
    kept = [_kept(path)]
    for number, line in enumerate(script, 2):
        child.feed(line.text)
        child.until_done(number)
        kept.append(_kept(path))
    child.leave()
    assert (folder / "stderr").read_text() == ""
    return Undisturbed(script, _by_line(child.said)[:-1], kept, path)


# --- a run that is killed -----------------------------------------------------------------------


@dataclass(slots=True)
class Tally:
    """What happened in the runs that were killed."""

    kills: int = 0
    lines: int = 0
    resent: int = 0
    recovered: int = 0
    doubled: int = 0
    moments: Counter[str] = field(default_factory=Counter)

    def __str__(self) -> str:
        moments = "; ".join(f"{what} {count}" for what, count in sorted(self.moments.items()))
        return (
            f"{self.kills} kills in {self.lines} lines: {self.resent} lines sent again, "
            f"{self.recovered} answers at the next start, {self.doubled} messages said twice. "
            f"The newest message when killed: {moments or 'not looked at'}"
        )


class Trial:
    """One script, played with kills. The first `done` of its lines are acknowledged."""

    def __init__(self, like: Undisturbed, folder: Path, rng: random.Random, tally: Tally) -> None:
        folder.mkdir()
        self.path = folder / "killed.db"
        self.done = 0
        self.tally = tally
        self._like = like
        self._folder = folder
        self._rng = rng
        self._clock = BEGINS
        self._fed = 0  # lines that a child was given
        self._seen: list[list[Said]] = [[] for _ in range(len(like.script) + 2)]
        self._child = self._new()

    @property
    def left(self) -> int:
        """How many lines are not done."""
        return len(self._like.script) - self.done

    def _new(self) -> Child:
        """A child that tells by the `done` of a blank line that it has woken up."""
        child = Child(f"sqlite:///{self.path}", self._clock, self._folder / "stderr")
        child.feed("")
        self._given = 1
        self._taken = 0
        return child

    def wake(self) -> None:
        """Wait until what was left undone is done, and see that nothing was lost or doubled."""
        self._child.until_done(1)
        self._take(greeting=True)
        line = self._like.script[self.done] if self._fed > self.done else None
        if line is not None and self._seen[self.done + 1] and not line.waits:
            self._acknowledge()
        elif line is not None:
            self.tally.resent += 1
        self._fed = self.done
        if line is None or not line.waits:  # the timers of a wait may have run or not
            self._holds(self._like.kept[self.done])

    def kill_while_starting(self) -> None:
        """Kill the child before it has woken up, or soon after, and start another."""
        time.sleep(self._rng.uniform(0, 1.2))
        self._kill(greeting=True)

    def step(self, *, killed: bool = False) -> None:
        """Feed one line; wait until it is done, or kill the child at some moment of it."""
        self._feed(1)
        if killed:
            time.sleep(self._rng.uniform(0, 0.03))
            self._kill()
        else:
            self._child.until_done(self._given)
            self._take()
            self._holds(self._like.kept[self.done])

    def rush(self, *, killed: bool = False) -> None:
        """Feed all that is left at once; wait until it is done, or kill somewhere in it."""
        left = self.left
        self._feed(left)
        if killed:
            some = self._rng.randrange(2 * left)
            self._child.wait_for(lambda said: len(said) > some)
            time.sleep(self._rng.uniform(0, 0.012))
            self._kill()
        else:
            self._child.until_done(self._given)
            self._take()
            self._holds(self._like.kept[self.done])

    def finish(self) -> None:
        """Every line was answered as in the undisturbed run, and everything was kept once."""
        self._child.leave()
        self.tally.lines += self.done
        assert self.left == 0
        assert not self._seen.pop()
        self._holds(self._like.kept[-1])
        for line, seen, wanted in zip(
            [None, *self._like.script], self._seen, self._like.answers, strict=True
        ):
            self.tally.doubled += _doubled(line, seen, wanted)
        with sqlite3.connect(self.path) as connection:
            assert connection.execute("SELECT DISTINCT state FROM inbox").fetchall() == [("done",)]
            assert connection.execute("SELECT DISTINCT state FROM outbox").fetchall() == [("sent",)]

    def _feed(self, lines: int) -> None:
        texts = [line.text for line in self._like.script[self._fed : self._fed + lines]]
        self._fed += lines
        self._given += lines
        self._child.feed(*texts)

    def _take(self, *, greeting: bool = False) -> None:
        """Sort what the child said since by the line that it answers."""
        new, self._taken = self._child.said[self._taken :], len(self._child.said)
        for one in new:
            if one["event"] == "message":
                self._seen[self.done + 1].append(one)
                self.tally.recovered += greeting
            elif greeting and one["line"] == 1:
                continue
            else:
                self._acknowledge()

    def _acknowledge(self) -> None:
        self._clock = self._like.script[self.done].then
        self.done += 1

    def _kill(self, *, greeting: bool = False) -> None:
        self._child.kill()
        self._take(greeting=greeting)
        self.tally.kills += 1
        self.tally.moments[_moment(self.path, self._folder)] += 1
        self._child = self._new()

    def _holds(self, wanted: Kept) -> None:
        found = _kept(self.path)
        for table, rows in wanted.items():
            assert found[table] == rows, (table, self.done)


def _doubled(line: Line | None, seen: Sequence[Said], wanted: Sequence[Said]) -> int:
    """Messages said more than once; each has to be said, and no other."""
    found, right = (Counter(_essence(line, one) for one in many) for many in (seen, wanted))
    assert found.keys() == right.keys(), line
    return found.total() - right.total()


def _essence(line: Line | None, said: Said) -> str:
    """A message to be compared; its moment only where a kill can't have moved it."""
    timeless = {} if line is None or not line.waits else {"at": ""}
    return json.dumps(said | timeless, sort_keys=True)


# --- fixtures -----------------------------------------------------------------------------------


@pytest.fixture(scope="session")
def script() -> Callable[..., list[Line]]:
    """Makes a script of texts to say and minutes to wait."""
    return _script


@pytest.fixture(scope="session")
def play(tmp_path_factory: pytest.TempPathFactory) -> Callable[[list[Line]], Undisturbed]:
    """Plays a script with nobody killing it."""
    return lambda script: _play(script, tmp_path_factory.mktemp("undisturbed") / "run")


@pytest.fixture
def trial(tmp_path: Path) -> Callable[[Undisturbed, random.Random, Tally], Trial]:
    """Begins a run of the same script that may be killed."""
    count = iter(range(10_000))
    return lambda like, rng, tally: Trial(like, tmp_path / str(next(count)), rng, tally)


@pytest.fixture
def tally(request: pytest.FixtureRequest) -> Iterator[Tally]:
    """Counts what happens; told at the end of the run."""
    counted = Tally()
    yield counted
    told = request.config.stash.setdefault(FIGURES, [])
    told.append(f"{request.node.name}: {counted}")


@pytest.fixture
def tell(request: pytest.FixtureRequest) -> Callable[[str], None]:
    """Says something at the end of the run."""
    return request.config.stash.setdefault(FIGURES, []).append


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    """Tell what the kills met."""
    for line in config.stash.get(FIGURES, []):
        terminalreporter.write_line(line)
