"""Walls: nothing said in a chat tells what another household holds, and nothing done changes it.

The property, for a town of households on three networks: whatever comes in by the port (commands,
sentences, forged stages, presses of any row, numbers, edits, codes and links, chats that go and
move) and whatever is said because of it or because time passes,

- a chat hears only what households may know whose part its person has now, or whose group it is;
- of a household that the speaker has no part in, no row changes;
- who speaks for a household was let in by a code that was made there, in time and once.

A generator walks the town; POTSIDE_STEPS=10000 for the long walk.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest

from bot.talk import answers
from bot.talk.message import Step
from core.journal import plants
from core.journal.plants import Named
from core.store import invites as kept_invites
from core.store.engine import Transaction
from tests.walls import walk as walks
from tests.walls.town import Account, everybody
from tests.walls.walk import Walk

STEPS = int(os.environ.get("POTSIDE_STEPS", "600"))


def test_nothing_passes_a_wall() -> None:
    walks.take(STEPS)


# --- the walk sees what it should -----------------------------------------------------------


def _names_theirs(walk: Walk) -> None:
    """Everybody asks for every plant there is."""
    for who in everybody():
        for number in range(1, walk.serial + 1):
            walk.said(who, 0, f"/plant Qplant{number}")


def _forges(walk: Walk) -> None:
    """Everybody answers every stage that is open, whosever it is."""
    for stage in walk.town.one("SELECT id FROM dialogue WHERE closed_at IS NULL"):
        for who in everybody():
            for said in ("/pour Qplant1 poured", "/pour Qplant1 cancel"):
                walk.said(who, 0, said, Step(stage, 1))


def _uses_twice(walk: Walk) -> None:
    """Everybody uses the same code."""
    walk.said(Account("telegram", 0), 0, "/invite")
    for who in everybody():
        walk.said(who, 0, f"/join {walk.town.codes[0].text}")


_names = plants.names


def _everybodys(tx: Transaction, _household_id: int) -> list[Named]:
    return [one for house in range(1, 5) for one in _names(tx, house)]


@dataclass(frozen=True)
class Hole:
    """A function that keeps a wall, what does in its place, and whoever goes through there."""

    module: object
    name: str
    instead: object
    goes: Callable[[Walk], None]


HOLES = {
    "names of everybody's plants are known": Hole(plants, "names", _everybodys, _names_theirs),
    "a forged stage counts": Hole(answers, "stale", lambda _turn, _step: None, _forges),
    "a code works twice": Hole(kept_invites, "use", lambda _tx, _id, _now: True, _uses_twice),
}


@pytest.fixture
def settled() -> Iterator[Walk]:
    """The town as each walk finds it."""
    walk = Walk()
    walk.settle()
    yield walk
    walk.teardown()


@pytest.mark.parametrize("hole", HOLES)
def test_what_goes_through_a_hole_stops_at_the_wall(hole: str, settled: Walk) -> None:
    HOLES[hole].goes(settled)


@pytest.mark.parametrize("hole", HOLES)
def test_a_hole_is_found(hole: str, settled: Walk, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same is noticed where the wall isn't there."""
    there = HOLES[hole]
    monkeypatch.setattr(there.module, there.name, there.instead)
    with pytest.raises(AssertionError):
        there.goes(settled)
