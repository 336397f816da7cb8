"""What somebody who takes over needs: what is open, what falls due in some days, who did what."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from core.actions import coldwatch, pouring
from core.actions.roundplan import in_walking_order
from core.care.wallclock import day_of
from core.journal import plants
from core.journal.plants import Plant
from core.store import belonging, dialogues
from core.store.dialogues import Talk
from core.store.people import SITTER

# Without dates a page speaks of so many days, today among them (ours).
USUAL = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Sitting:
    """Somebody's time as a sitter: first and last day."""

    name: str
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Deed:
    """The last thing done to a plant: by whom, when; `watered`, or else probed."""

    plant: Plant
    by: int | None
    at: datetime
    watered: bool


@dataclass(frozen=True, slots=True)
class Handing:
    """A household as it is handed over, its plants in walking order.

    `due`: those whose probe is expected by the last day, or whose verdict stands open.
    `moved`: those that stand elsewhere because of a cold night.
    """

    plants: tuple[Plant, ...]
    due: frozenset[int]
    pours: tuple[Talk, ...]
    moved: tuple[Plant, ...]


def hand_over(
    tx: Connection,
    household_id: int,
    last: date,
    zone: ZoneInfo,
    rooms: tuple[str, ...],
) -> Handing:
    """A household as it stands now, with what falls due up to a day."""
    known = in_walking_order(plants.living(tx, household_id), rooms)
    return Handing(
        plants=tuple(known),
        due=frozenset(one.id for one in known if _falls_due(one, last, zone)),
        pours=tuple(dialogues.open_about(tx, household_id, pouring.SUBJECT)),
        moved=tuple(_moved(tx, household_id, known)),
    )


def _falls_due(plant: Plant, last: date, zone: ZoneInfo) -> bool:
    return plant.probe_at is not None and day_of(plant.probe_at, zone) <= last


def _moved(tx: Connection, household_id: int, known: Iterable[Plant]) -> list[Plant]:
    talks = dialogues.open_about(tx, household_id, coldwatch.SUBJECT)
    ids = {
        one
        for talk in talks
        if talk.stage == coldwatch.MOVED
        for one in json.loads(talk.state)["plants"]
    }
    return [one for one in known if one.id in ids]


def last_deeds(known: Iterable[Plant], most: int) -> list[Deed]:
    """Who did what last, the newest first: each plant's last watering or probe."""
    deeds = []
    for plant in known:
        watered, probed = plant.state.watered, plant.state.probed
        if watered is not None and (probed is None or watered.at >= probed.at):
            deeds.append(Deed(plant, watered.by, watered.at, watered=True))
        elif probed is not None:
            deeds.append(Deed(plant, probed.by, probed.at, watered=False))
    return sorted(deeds, key=lambda one: one.at, reverse=True)[:most]


def sittings(tx: Connection, household_id: int, now: datetime, zone: ZoneInfo) -> list[Sitting]:
    """Times of sitters that aren't over, the nearest first."""
    found = [
        Sitting(one.name, day_of(one.since, zone), day_of(one.until - timedelta(seconds=1), zone))
        for one in belonging.of_household(tx, household_id)
        if one.role == SITTER and one.until is not None and one.until > now
    ]
    return sorted(found, key=lambda one: one.first)
