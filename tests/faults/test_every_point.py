"""Killed at each point there is: before every transaction, statement, commit and send, and after
every send. Kills at random seldom meet the short ones.

A new house then wakes up on the database, and the network delivers the message again, as networks
do. In the end everything is kept as if nothing had happened, and everything has been said.

An ordinary run takes every fourth point; with POTSIDE_KILLS it takes them all.
"""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from sqlalchemy import Engine, event, select

from bot.app import House
from bot.clock import StandingClock
from bot.talk.message import Message, Picture, Reply
from core.store.engine import Store
from core.store.opening import open_store
from core.store.outbox import Parcel
from core.store.people import Address
from core.store.tables import Base
from tests.driver import overheard
from tests.faults.conftest import BEGINS

EVERY = 1 if "POTSIDE_KILLS" in os.environ else 4
IDA = Address("terminal", "local", "main", "Ida", "Ida")
SCRIPT: tuple[str | int, ...] = (
    "/add Fern, Boston fern, 15 cm pot, bathroom, north window",
    "fern 3 4",
    "/help",
    "/pour fern",
    "/pour fern poured",
    8,
    "no",
    "poured",
    45,
    "/gave fern 100 ml yesterday",
    "/undo",
    "[photo] fern",
    "/undo",
    "/forget household",
    "/forget household {word}",
)
PHOTO = "[photo] "
OUTBOX = Base.metadata.tables["outbox"]
# What each table holds, but for who sends what when.
KEPT = {
    "household": ("id", "name", "settings", "forget_at"),
    "event": None,
    "plant": None,
    "dialogue": None,
    "membership": None,
    "inbox": ("id", "message", "payload", "state"),
    "photo": ("id", "inbox_id", "plant_id", "state", "ref", "size", "content"),
    "outbox": ("id", "kind", "occasion", "facts", "body", "due_at", "state"),
}


class KilledError(BaseException):
    """Nothing catches it; what it leaves open is rolled back, as after a kill."""


class Fuse:
    """Counts the points that are passed, and kills at one of them."""

    def __init__(self, at: int | None = None) -> None:
        self.passed = 0
        self._at = at

    def point(self, *_: Any) -> None:
        """Here it could happen."""
        self.passed += 1
        if self.passed == self._at:
            raise KilledError

    @contextmanager
    def laid(self, engine: Engine) -> Iterator[None]:
        """At each transaction, statement and commit of an engine."""
        with overheard(engine, self._said):
            yield

    def _said(self, text: str, _values: object) -> None:
        if text != "ROLLBACK":  # that is how a kill looks from outside
            self.point()


class Wall:
    """Hears what is said, and may be the last to do so."""

    network = "terminal"

    def __init__(self) -> None:
        self.fuse = Fuse()
        self.heard: list[tuple[str, str]] = []

    def send(self, parcel: Parcel, reply: Reply) -> None:
        """Take it down."""
        self.fuse.point()
        self.heard.append((parcel.kind, reply.text))
        self.fuse.point()


class Life:
    """One line of the script, on a file that holds what came before it."""

    def __init__(self, path: Path, number: int) -> None:
        self.path = path
        self.number = number
        self.wall = Wall()
        self.clock = StandingClock(_moment(number))
        self.said = self._said()

    def _said(self) -> str | int:
        """The line, with the word in it that was told last."""
        one = SCRIPT[self.number]
        if isinstance(one, int) or "{word}" not in one:
            return one
        store = _opened(self.path)
        with store.read() as tx:
            told = tx.execute(select(OUTBOX.c.body).order_by(OUTBOX.c.id.desc()).limit(1)).scalar()
        store.close()
        return one.format(word=re.findall(r"forget household (\w{5}) today", told or "")[0])

    def live(self, *fuses: Fuse) -> None:
        """To the end of the line, a house for each fuse; the last has to get there."""
        for fuse in fuses:
            store = _opened(self.path)
            self.wall.fuse = fuse
            try:
                with fuse.laid(store.engine):
                    self._line(House(store, self.clock, self.wall, "Europe/Berlin"))
            except KilledError:
                continue
            finally:
                store.close()
            return
        raise AssertionError("killed to the last")

    def _line(self, house: House) -> None:
        house.wake()
        one = self.said
        if isinstance(one, str):
            photo = Picture(str(self._leaf())) if one.startswith(PHOTO) else None
            words = one.removeprefix(PHOTO)
            message = Message(IDA, str(self.number), words, _moment(self.number), photo=photo)
            house.hear(message)
        else:
            house.wait_until(_moment(self.number + 1))

    def _leaf(self) -> Path:
        """A picture beside the database."""
        path = self.path.with_name("leaf.jpg")
        Image.new("RGB", (40, 30), (30, 120, 40)).save(path, "JPEG")
        return path

    def kept(self) -> dict[str, list[tuple[Any, ...]]]:
        """All that matters in the database."""
        store = _opened(self.path)
        found = {}
        with store.read() as tx:
            for name, columns in KEPT.items():
                table = Base.metadata.tables[name]
                wanted = select(*(table.c[one] for one in columns)) if columns else select(table)
                found[name] = [tuple(row) for row in tx.execute(wanted.order_by(table.c.id))]
        store.close()
        return found


def _moment(number: int) -> datetime:
    """Where the clock stands before a line."""
    waited = sum(one for one in SCRIPT[:number] if isinstance(one, int))
    return BEGINS + timedelta(minutes=waited)


def _opened(path: Path) -> Store:
    """Nobody pulls the plug here, so the disk need not be waited for."""
    store = open_store(f"sqlite:///{path}")

    def hurry(connection: sqlite3.Connection, _record: object) -> None:
        connection.execute("PRAGMA synchronous=OFF")

    event.listen(store.engine, "connect", hurry)
    store.engine.dispose()
    return store


@pytest.fixture(scope="module")
def before(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """A database as it stands before each line, and after the last."""
    folder = tmp_path_factory.mktemp("before")
    files = [folder / f"{number}.db" for number in range(len(SCRIPT) + 1)]
    _opened(files[0]).close()
    lives: list[Life] = []
    for number, (here, there) in enumerate(pairwise(files)):
        lives.append(Life(shutil.copyfile(here, there), number))
        lives[-1].live(Fuse())
    said = Counter(kind for life in lives for kind, _ in life.wall.heard)
    assert said == {"reply": 13, "reminder": 2}
    kept = lives[-1].kept()
    assert kept["event"] == kept["plant"] == []
    return files


@pytest.mark.parametrize("number", range(len(SCRIPT)))
def test_killed_at_each_point(before: list[Path], tmp_path: Path, number: int) -> None:
    """Once at each point; and once more soon after, while the next house wakes up or goes on."""
    like, counting = Life(shutil.copyfile(before[number], tmp_path / "like.db"), number), Fuse()
    like.live(counting)
    kept, said = like.kept(), Counter(like.wall.heard)
    assert counting.passed > 15
    for point in range(1 + number % EVERY, counting.passed + 1, EVERY):
        life = Life(shutil.copyfile(before[number], tmp_path / "killed.db"), number)
        life.live(Fuse(point), Fuse(1 + point * 7 % 23), Fuse())
        assert life.kept() == kept, point
        heard = Counter(life.wall.heard)
        assert heard.keys() == said.keys(), point
        assert heard.total() - said.total() <= 2, point
        life.path.unlink()
