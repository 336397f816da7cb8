"""Comparing what is kept of the plants, and of what was undone, with the journal."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, select

from core.journal import ledger, marks, plants, record
from core.journal.common import Common, write_common
from core.journal.ledger import Entry
from core.journal.plants import columns_of
from core.journal.state import UNBORN, PlantState
from core.store.engine import lock_household
from core.store.tables import Event, Household, table_of

HOUSEHOLD = table_of(Household)
EVENT = table_of(Event)


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that is kept otherwise than the journal says.

    `what`: "plant 3 (Fern)" or "event 12"; `column`: which of its columns, or which part of the
    state; `heals`: whether keeping the journal's version is possible.
    """

    what: str
    column: str
    kept: object
    journal: object
    heals: bool = True


def households(tx: Connection) -> list[int]:
    """Ids of all households."""
    return list(tx.execute(select(HOUSEHOLD.c.id).order_by(HOUSEHOLD.c.id)).scalars())


def rebuild(tx: Connection, household_id: int, *, write: bool) -> list[Difference]:
    """Every difference in a household; with `write` the journal's version is kept instead."""
    lock_household(tx, household_id)
    try:
        found = _undo_marks(tx, household_id, write=write)
    except (ValueError, LookupError) as error:
        return [_unread(f"household {household_id}", error)]
    entries, unread = ledger.readable(tx, household_id)
    states, common = record.added_up(entries, record.home_of(tx, household_id))
    wrong: dict[int, PlantState] = {}
    for plant_id in _every_plant(tx, household_id):
        bad, state = unread.get(plant_id), states.get(plant_id, UNBORN)
        differences = _compare(tx, plant_id, state, bad)
        found += differences
        if differences and bad is None:
            wrong[plant_id] = state
    if not unread:
        found += _compare_common(tx, household_id, common, write=write)
        found += _compare_marks(tx, household_id, entries, write=write)
    if write:
        _put_right(tx, household_id, wrong)
    return found


def _compare_common(
    tx: Connection, household_id: int, common: Common, *, write: bool
) -> list[Difference]:
    """What the plants have in common, which is of all of them or of none."""
    kept = tx.execute(select(HOUSEHOLD.c.drying).where(HOUSEHOLD.c.id == household_id)).scalar_one()
    journal = write_common(common)
    if kept == journal:
        return []
    if write:
        tx.execute(HOUSEHOLD.update().where(HOUSEHOLD.c.id == household_id).values(drying=journal))
    return [Difference(f"household {household_id}", "drying", kept, journal)]


def _compare_marks(
    tx: Connection, household_id: int, entries: Sequence[Entry], *, write: bool
) -> list[Difference]:
    """Marks that say otherwise than the events up to them; none is kept then."""
    home = record.home_of(tx, household_id)
    found = []
    for mark in marks.every(tx, household_id):
        before = [one for one in entries if marks.place_of(one) <= mark.place]
        states, common = record.added_up(before, home)
        if (_standing(states), common) != (_standing(mark.states), mark.common):
            what = f"mark at event {mark.place[1]}"
            found.append(Difference(what, "state", "otherwise", "what its events come to"))
    if write and found:
        marks.drop(tx, household_id)
    return found


def _standing(states: Mapping[int, PlantState]) -> dict[int, PlantState]:
    """Plants that ever were; a row without one is nothing."""
    return {one: state for one, state in states.items() if state != UNBORN}


def _every_plant(tx: Connection, household_id: int) -> list[int]:
    """Plants with a row, and plants that only the journal knows."""
    told = tx.execute(
        select(EVENT.c.plant_id)
        .where(EVENT.c.household_id == household_id, EVENT.c.plant_id.is_not(None))
        .distinct()
    ).scalars()
    return sorted({*plants.every_id(tx, household_id), *told})


def _compare(
    tx: Connection, plant_id: int, state: PlantState, error: Exception | None
) -> list[Difference]:
    """What differs in a plant from what the journal makes of it."""
    kept = plants.stored(tx, [plant_id]).get(plant_id, {})
    what = f"plant {plant_id} ({kept.get('name', 'no row')})"
    if error is not None:
        return [_unread(what, error)]
    return [
        Difference(what, *part)
        for column, value in columns_of(state).items()
        if kept.get(column) != value
        for part in _parts(column, kept.get(column), value)
    ]


def _parts(column: str, kept: object, journal: object) -> Iterator[tuple[str, object, object]]:
    """A column that differs; of the state only those of its parts that do."""
    before, after = _object(kept), _object(journal)
    if column != "state" or before is None or after is None:
        yield column, _plain(kept), _plain(journal)
        return
    for key in sorted(before.keys() | after.keys()):
        if before.get(key) != after.get(key):
            yield f"state.{key}", before.get(key), after.get(key)


def _object(text: object) -> dict[str, Any] | None:
    try:
        found = json.loads(str(text))
    except ValueError:
        return None
    return found if isinstance(found, dict) else None


def _plain(value: object) -> object:
    return value.isoformat() if isinstance(value, datetime) else value


def _unread(what: str, error: Exception) -> Difference:
    reason = str(error).partition("\n")[0]
    return Difference(what, "journal", "not compared", f"cannot be read ({reason})", heals=False)


def _put_right(tx: Connection, household_id: int, wrong: dict[int, PlantState]) -> None:
    """Names are freed first: two plants may each have to get the other's."""
    plants.restore(tx, household_id, wrong)
    for plant_id, state in wrong.items():
        plants.save(tx, plant_id, state)


def _undo_marks(tx: Connection, household_id: int, *, write: bool) -> list[Difference]:
    says = ledger.undone_ids(tx, household_id)
    rows = tx.execute(
        select(EVENT.c.id, EVENT.c.undone_by)
        .where(EVENT.c.household_id == household_id)
        .order_by(EVENT.c.id)
    ).all()
    wrong = [row for row in rows if row.undone_by != says.get(row.id)]
    if write:
        for row in wrong:
            ledger.mark_undone(tx, row.id, says.get(row.id))
    return [
        Difference(f"event {row.id}", "undone_by", row.undone_by, says.get(row.id)) for row in wrong
    ]
