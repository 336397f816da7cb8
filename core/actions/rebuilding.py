"""Comparing what is kept of the plants, and of what was undone, with the journal."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, select

from core.journal import ledger, plants, record
from core.journal.fold import fold_all
from core.journal.plants import columns_of
from core.journal.portrait import Home
from core.store.tables import Event, Household, table_of

HOUSEHOLD = table_of(Household)
EVENT = table_of(Event)


@dataclass(frozen=True, slots=True)
class Difference:
    """One column of a plant (or one event's undo mark) that isn't what the journal says."""

    plant_id: int
    name: str
    column: str
    kept: object
    journal: object


def rebuild(tx: Connection, *, write: bool) -> list[Difference]:
    """Every difference; with `write` the journal's version is kept instead."""
    found: list[Difference] = []
    for household_id in tx.execute(select(HOUSEHOLD.c.id)).scalars().all():
        found += _undo_marks(tx, household_id, write=write)
        home = record.home_of(tx, household_id)
        for plant_id in plants.every_id(tx, household_id):
            found += _plant(tx, home, plant_id, write=write)
    return found


def _plant(tx: Connection, home: Home, plant_id: int, *, write: bool) -> list[Difference]:
    kept = plants.stored(tx, [plant_id])[plant_id]
    state = fold_all(ledger.of_plant(tx, plant_id), home)
    journal = columns_of(state)
    found = [
        Difference(plant_id, str(kept["name"]), column, kept[column], value)
        for column, value in journal.items()
        if kept[column] != value
    ]
    if found and write:
        plants.save(tx, plant_id, state)
    return found


def _undo_marks(tx: Connection, household_id: int, *, write: bool) -> list[Difference]:
    says = ledger.undone_ids(tx, household_id)
    rows = tx.execute(
        select(EVENT.c.id, EVENT.c.plant_id, EVENT.c.undone_by).where(
            EVENT.c.household_id == household_id
        )
    ).all()
    wrong = [row for row in rows if row.undone_by != says.get(row.id)]
    if write:
        for row in wrong:
            ledger.mark_undone(tx, row.id, says.get(row.id))
    return [
        Difference(
            row.plant_id or 0, f"event {row.id}", "undone_by", row.undone_by, says.get(row.id)
        )
        for row in wrong
    ]
