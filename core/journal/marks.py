"""Marks in a household's journal: what the events up to one came to, to read on from there.

Kept in the database, packed, the newest few of a household; an event whose number divides by
`EVERY` leaves one. A mark is gone as soon as something changes before it, and one that another
program left doesn't count: its rules may have been others.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from typing import Any, Final, TypeAlias

from pydantic import TypeAdapter
from sqlalchemy import ColumnElement, Connection, Row, Select, delete, insert, or_, select, true

from core.journal.common import Common, read_common, write_common
from core.journal.ledger import Entry
from core.journal.state import PlantState
from core.store.tables import Mark as MarkRow
from core.store.tables import table_of

MARK = table_of(MarkRow)

EVERY = 256
KEPT: Final = 3  # the newest: what is told late is rarely older (ours)

# An event's place in the order of the journal: when it happened, and its number.
Place: TypeAlias = tuple[datetime, int]


@dataclass(frozen=True, slots=True)
class Mark:
    """What the events up to a place came to: the plants by id, and what they have in common."""

    place: Place
    states: dict[int, PlantState]
    common: Common


def place_of(entry: Entry) -> Place:
    """Where an event stands in the journal."""
    return entry.happened_at, entry.id


def is_due(entry: Entry) -> bool:
    """Whether an event leaves a mark."""
    return entry.id % EVERY == 0


def leave(
    tx: Connection, household_id: int, place: Place, common: Common, states: Mapping[int, str]
) -> None:
    """Keep what the events up to a place came to; `states` as JSON text by plant."""
    plants = ",".join(f'"{one}":{state}' for one, state in states.items())
    row = {
        "household_id": household_id,
        "happened_at": place[0],
        "event_id": place[1],
        "rules": _rules(),
        "common": write_common(common),
        "plants": zlib.compress(f"{{{plants}}}".encode(), 1),
    }
    tx.execute(insert(MARK).values(row))
    whose = MARK.c.household_id == household_id
    kept = select(MARK.c.id).where(whose).order_by(*_NEWEST_FIRST).limit(KEPT)
    tx.execute(delete(MARK).where(whose, MARK.c.id.not_in(kept)))


def drop(tx: Connection, household_id: int, since: Place | None = None) -> None:
    """Give up the marks from a place on, where something changes; None: all of them."""
    changed: ColumnElement[bool] = true()
    if since is not None:
        at, number = since
        later = (MARK.c.happened_at == at) & (MARK.c.event_id >= number)
        changed = or_(MARK.c.happened_at > at, later, MARK.c.rules != _rules())
    tx.execute(delete(MARK).where(MARK.c.household_id == household_id, changed))


def newest(tx: Connection, household_id: int, by: datetime | None = None) -> Mark | None:
    """The mark to read on from: the last, or the last at a moment."""
    known = _that_count(household_id).limit(1)
    row = tx.execute(known if by is None else known.where(MARK.c.happened_at <= by)).first()
    return None if row is None else _mark(row)


def every(tx: Connection, household_id: int) -> list[Mark]:
    """All marks that count, the last first."""
    return [_mark(row) for row in tx.execute(_that_count(household_id))]


_NEWEST_FIRST = (MARK.c.happened_at.desc(), MARK.c.event_id.desc())


def _that_count(household_id: int) -> Select[Any]:
    mine = (MARK.c.household_id == household_id) & (MARK.c.rules == _rules())
    return select(MARK).where(mine).order_by(*_NEWEST_FIRST)


def _mark(row: Row[Any]) -> Mark:
    states = _adapter().validate_json(zlib.decompress(row.plants))
    return Mark((row.happened_at, row.event_id), states, read_common(row.common))


@cache
def _adapter() -> TypeAdapter[dict[int, PlantState]]:
    return TypeAdapter(dict[int, PlantState])


@cache
def _rules() -> str:
    """Stands for all that decides what events come to: our own code and data, and NumPy."""
    core = Path(__file__).parents[1]
    found = sha256(version("numpy").encode())
    for folder in ("care", "journal", "knowledge"):
        for file in sorted((core / folder).rglob("*")):
            if file.suffix in (".py", ".toml"):
                found.update(file.read_bytes())
    return found.hexdigest()[:16]
