"""What a person tells about a plant besides probing and pouring."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime

from sqlalchemy import Connection

from core.journal import plants, record
from core.journal.events import (
    Arrived,
    Described,
    Drained,
    Left,
    Looked,
    Moved,
    Postponed,
    Poured,
    Repotted,
    Spot,
    Tended,
)
from core.journal.ledger import Teller
from core.journal.plants import Plant, name_key
from core.journal.portrait import Home
from core.store import dialogues


class NameTakenError(ValueError):
    """A living plant of the household has that name already."""

    def __init__(self, other: Plant) -> None:
        """Keep the plant that has it."""
        super().__init__(other.name)
        self.other = other


def _free(tx: Connection, household_id: int, name: str, but: int | None = None) -> None:
    other = plants.by_keys(tx, household_id, [name_key(name)]).get(name_key(name))
    if other is not None and other.id != but:
        raise NameTakenError(other)


def add(
    tx: Connection, teller: Teller, home: Home, arrived: Arrived, at: datetime | None = None
) -> Plant:
    """Put a plant on the list. Raises NameTakenError."""
    _free(tx, teller.household_id, arrived.name)
    return record.arrive(tx, teller, home, arrived.name, arrived, at)


def copy(tx: Connection, teller: Teller, home: Home, plant: Plant, name: str) -> Plant:
    """A second plant of the same kind in the same pot and place. Raises NameTakenError."""
    state = plant.state
    body = Arrived(
        name=name,
        species_id=state.species_id,
        species_said=state.species_said,
        pot=state.pot,
        mix=state.mix,
        spot=state.spot,
    )
    return add(tx, teller, home, body)


def free_name(tx: Connection, household_id: int, name: str) -> str:
    """The first of `Fern 2`, `Fern 3`, ... that nobody has; after `Fern 2` comes `Fern 3`."""
    base = re.sub(r"\s+\d{1,3}$", "", name)
    number = 2
    while plants.by_keys(tx, household_id, [name_key(f"{base} {number}")]):
        number += 1
    return f"{base} {number}"


def unused_name(tx: Connection, household_id: int, name: str) -> str:
    """The name itself where nobody has it, else the first with a number."""
    taken = plants.by_keys(tx, household_id, [name_key(name)])
    return free_name(tx, household_id, name) if taken else name


def rename(tx: Connection, teller: Teller, home: Home, plant: Plant, name: str) -> Plant:
    """Give a plant another name. Raises NameTakenError."""
    _free(tx, teller.household_id, name, but=plant.id)
    return record.tell(tx, teller, home, plant, Described(name=name))


def describe(tx: Connection, teller: Teller, home: Home, plant: Plant, what: Described) -> Plant:
    """Tell or correct what a plant is, its pot or its mix."""
    return record.tell(tx, teller, home, plant, what)


def move(
    tx: Connection,
    teller: Teller,
    home: Home,
    plant: Plant,
    spot: Spot,
    at: datetime | None = None,
) -> Plant:
    """A plant stands somewhere else; what wasn't said about the room stays.

    So does the window, where only the distance from it is another: `1 m back from the window`.
    """
    before = plant.state.spot
    if not spot.room:
        facing = spot.facing or (before.facing if spot.distance_m is not None else "")
        spot = replace(spot, room=before.room, facing=facing)
    return record.tell(tx, teller, home, plant, Moved(spot), at)


def tend(
    tx: Connection,
    teller: Teller,
    home: Home,
    plant: Plant,
    act: str,
    note: str,
    at: datetime | None = None,
    *,
    found: bool = False,
) -> Plant:
    """Turned, wiped, fed, rinsed or scouted; `found`: there were pests."""
    return record.tell(tx, teller, home, plant, Tended(act, note, found), at)


def looked(
    tx: Connection,
    teller: Teller,
    home: Home,
    plant: Plant,
    found: str,
    at: datetime | None = None,
) -> Plant:
    """Somebody looked into a pot that dries unlike itself; `found`: moved, fine, soft, full."""
    return record.tell(tx, teller, home, plant, Looked(found), at)


def repot(
    tx: Connection,
    teller: Teller,
    home: Home,
    plant: Plant,
    body: Repotted,
    at: datetime | None = None,
) -> Plant:
    """A new pot or fresh mix."""
    return record.tell(tx, teller, home, plant, body, at)


def gave(
    tx: Connection,
    teller: Teller,
    home: Home,
    plant: Plant,
    body: Poured,
    at: datetime | None = None,
) -> Plant:
    """Water that was given without being coached."""
    return record.tell(tx, teller, home, plant, body, at)


def drained(
    tx: Connection,
    teller: Teller,
    home: Home,
    plant: Plant,
    litres: float | None,
    at: datetime | None = None,
) -> Plant:
    """Standing water taken away: a removal, not a watering."""
    return record.tell(tx, teller, home, plant, Drained(litres), at)


def postpone(
    tx: Connection,
    teller: Teller,
    home: Home,
    plant: Plant,
    until: datetime,
    *,
    act: str = "",
    reason: str = "",
) -> Plant:
    """Probe again at a moment that a person chose, or do an act then; this one time."""
    return record.tell(tx, teller, home, plant, Postponed(until, act, reason))


def retire(
    tx: Connection,
    teller: Teller,
    home: Home,
    plant: Plant,
    reason: str,
    at: datetime | None = None,
) -> Plant:
    """A plant left: died, given away, sold. Its story stays; a pour under way ends."""
    dialogues.close_about_plant(tx, plant.id, teller.told_at)
    return record.tell(tx, teller, home, plant, Left(reason), at)
