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
from dataclasses import dataclass, replace

import pytest

from bot.talk import answers
from bot.talk.message import Step
from core.actions import rooms
from core.journal import plants
from core.journal.plants import Named
from core.store import invites as kept_invites
from core.store import photos, whole
from core.store import sensors as kept_sensors
from core.store.engine import Transaction
from core.store.photos import Row
from core.store.sensors import Known
from core.store.whole import Fact
from tests.walls import walk as walks
from tests.walls.town import NETWORKS, Account, everybody
from tests.walls.walk import Walk

STEPS = int(os.environ.get("POTSIDE_STEPS", "600"))


@pytest.fixture
def settled() -> Iterator[Walk]:
    """The town as each walk finds it."""
    walk = Walk()
    walk.settle()
    yield walk
    walk.teardown()


def test_nothing_passes_a_wall() -> None:
    walks.take(STEPS)


def test_one_person_on_three_networks(settled: Walk) -> None:
    """What is one's own on each is one's own on all; what is another's stays so."""
    town, first = settled.town, Account("telegram", 0)
    for other in (Account("matrix", 0), Account("terminal", 0)):
        settled.link(first, other)
    one = [Account(network, 0) for network in NETWORKS]
    assert {town.root(who) for who in one} == {first}
    theirs = {frozenset(town.own(who)) for who in one}
    assert len(theirs) == 1
    assert {len(town.houses - houses) for houses in theirs} == {1}
    for who in one:
        settled.said(who, 0, "/household")
        for house in sorted(town.houses):
            settled.said(who, 0, f"/household Qhouse{house - 1}")
            settled.said(who, 0, "/plants")
    _names_theirs(settled)


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


def _uses_anothers_own(walk: Walk) -> None:
    """Two use a code by which one becomes its maker."""
    walk.link(Account("telegram", 0), Account("matrix", 1))
    walk.said(Account("terminal", 1), 0, f"/join {walk.town.codes[-1].text}")


def _tells_of_air(walk: Walk) -> None:
    """Somebody sends to an address near a sensor's."""
    walk.push(0)


def _asks_for_rooms(walk: Walk) -> None:
    """Everybody asks for every room there is."""
    for who in everybody():
        for number in range(1, walk.serial + 1):
            walk.said(who, 0, f"/room qroom{number}")


def _keeps_pictures(walk: Walk) -> None:
    """Somebody sends a picture, and everybody says of which plant of theirs it is."""
    sender = Account("telegram", 0)
    walk.said(sender, 0, "/pour Qplant1 cancel")
    walk.plant(sender, 0)
    walk.picture(sender, 0, 0)
    for who in everybody():
        walk.plant(who, 0)
        walk.said(who, 0, f"/photo Qplant{walk.serial} keep 1")


def _takes_along(walk: Walk) -> None:
    """Everybody asks for a file of all that was told."""
    for who in everybody():
        walk.said(who, 0, "/export")


_names, _rooms, _facts = plants.names, rooms.names, whole.facts


def _anybodys_rooms(tx: Transaction, _household_id: int) -> dict[str, str]:
    return {key: name for house in range(1, 5) for key, name in _rooms(tx, house).items()}


def _anybodys_facts(tx: Transaction, _household_id: int) -> list[Fact]:
    return [one for house in range(1, 5) for one in _facts(tx, house)]


def _any_sensor(tx: Transaction, digest: str) -> Known:
    return replace(kept_sensors.of_household(tx, 1)[0], digest=digest)


def _any_picture(tx: Transaction, _household_id: int, photo_id: int) -> list[Row]:
    found = photos.find(tx, photo_id)
    return [found] if found is not None else []


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
    "a code of one's own works twice": Hole(
        kept_invites, "use", lambda _tx, _id, _now: True, _uses_anothers_own
    ),
    "any address is a sensor's": Hole(kept_sensors, "by_digest", _any_sensor, _tells_of_air),
    "everybody's rooms are known": Hole(rooms, "names", _anybodys_rooms, _asks_for_rooms),
    "everybody's journal is taken along": Hole(whole, "facts", _anybodys_facts, _takes_along),
    "a picture is found by its number": Hole(
        photos, "with_its_album", _any_picture, _keeps_pictures
    ),
}


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
