"""The same on either database and on the real clock: each line counts once and is answered."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import select

from core.store.opening import open_store
from core.store.tables import Event, Outbox, table_of
from tests.faults.child import ROOT, Child

if TYPE_CHECKING:
    from tests.faults.kills.conftest import Tally

EVENT, OUTBOX = table_of(Event), table_of(Outbox)
FERN = "/add Fern, Boston fern, 15 cm pot, bathroom, north window"
LINES = (FERN, *(f"/gave fern {number} ml" for number in range(20, 80)))
KILLS = max(2, int(os.environ.get("POTSIDE_KILLS", "0")) // 10)


def _amounts(url: str) -> list[int]:
    """Millilitres of every watering in the journal, as they were told."""
    store = open_store(url)
    with store.read() as tx:
        bodies = tx.execute(select(EVENT.c.body).where(EVENT.c.kind == "poured")).scalars().all()
        states = set(tx.execute(select(OUTBOX.c.state)).scalars())
    store.close()
    assert states == {"sent"}
    return [round(1000 * json.loads(body)["litres"]) for body in bodies]


class Person:
    """Says the lines; after a kill says again what was not answered."""

    def __init__(self, url: str, errors: Path, tally: Tally) -> None:
        self.answered = 0
        self._in_flight = False  # a line was said and not answered
        self._doubtful = False  # one was answered, and its process may not have noted that
        self._url, self._errors, self._tally = url, errors, tally

    def sit_down(self, rng: random.Random | None) -> None:
        """Say what is left; killed somewhere, with dice."""
        child = Child(self._url, None, self._errors)
        child.feed("")
        child.until_done(1)
        came = sum(one["event"] == "message" for one in child.said)
        self._after_a_kill(came)
        left = LINES[self.answered :]
        child.feed(*left)
        if rng is None:
            child.until_done(len(left) + 1)
            child.leave()
        else:
            some = rng.randrange(len(left))
            child.wait_for(lambda said: len(said) > some)
            time.sleep(rng.uniform(0, 0.02))
            child.kill()
            self._tally.kills += 1
        said = child.said[came + 1 :]
        replies = sum(one["event"] == "message" for one in said)
        self.answered += replies
        self._doubtful = replies > sum(one["event"] == "done" for one in said)
        self._in_flight = not self._doubtful and self.answered < len(LINES)

    def _after_a_kill(self, came: int) -> None:
        """What comes by itself is the answer to the line in hand, or said a second time."""
        assert came <= self._in_flight + self._doubtful
        self._tally.recovered += came
        if self._doubtful:
            self._tally.doubled += came
        else:
            self.answered += came
            self._tally.resent += self._in_flight and not came


def test_a_burst_on_the_real_clock(db_url: str, tmp_path: Path, tally: Tally) -> None:
    person = Person(db_url, tmp_path / "stderr", tally)
    rng = random.Random(1)  # noqa: S311 - to be the same again
    while tally.kills < KILLS and person.answered < len(LINES):
        person.sit_down(rng)
    person.sit_down(None)
    tally.lines += len(LINES)
    assert person.answered == len(LINES)
    assert _amounts(db_url) == list(range(20, 80))
    command = [sys.executable, "-m", "bot.cli", "rebuild", "--db", db_url]
    assert subprocess.run(command, cwd=ROOT, capture_output=True, check=False).returncode == 0
