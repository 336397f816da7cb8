"""Telling the journal something about a plant, and keeping what follows from it up to date."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from sqlalchemy import Connection, select

from core.journal import ledger, plants, settings
from core.journal.events import Body
from core.journal.fold import fold, fold_all
from core.journal.ledger import Teller
from core.journal.plants import Plant
from core.journal.portrait import Home
from core.store.tables import Household, table_of

HOUSEHOLD = table_of(Household)


def home_of(tx: Connection, household_id: int) -> Home:
    """What of a household bears on care."""
    text = tx.execute(
        select(HOUSEHOLD.c.settings).where(HOUSEHOLD.c.id == household_id)
    ).scalar_one()
    return Home(settings.read(text).hemisphere)


def tell(
    tx: Connection,
    teller: Teller,
    home: Home,
    plant: Plant,
    body: Body,
    happened_at: datetime | None = None,
    *,
    late: bool | None = None,
) -> Plant:
    """Write one event about a plant as it stands now; the plant as it stands afterwards.

    An event with newer ones behind it makes the plant's journal be read again: it was told late,
    or its message waited while another's was worked on. `late` None: it is looked up.
    """
    if late is None:
        late = ledger.has_newer(tx, plant.id, happened_at or teller.told_at)
    entry = ledger.append(tx, teller, plant.id, body, happened_at)
    if late:
        return replay(tx, home, plant.id)
    return plants.save(tx, plant.id, fold(plant.state, entry, home))


def arrive(
    tx: Connection,
    teller: Teller,
    home: Home,
    name: str,
    body: Body,
    happened_at: datetime | None = None,
) -> Plant:
    """A plant comes into the household's care."""
    plant_id = plants.create(tx, teller.household_id, name)
    entry = ledger.append(tx, teller, plant_id, body, happened_at)
    return plants.save(tx, plant_id, fold_all([entry], home))


def replay(tx: Connection, home: Home, plant_id: int) -> Plant:
    """Read a plant's standing events from the first and keep what they add up to."""
    return plants.save(tx, plant_id, fold_all(ledger.of_plant(tx, plant_id), home))


def take_back(
    tx: Connection, teller: Teller, home: Home, entries: Iterable[ledger.Entry]
) -> list[Plant]:
    """Undo events and read the journals of their plants again."""
    taken = list(entries)
    ledger.take_back(tx, teller, taken)
    ids = dict.fromkeys(entry.plant_id for entry in taken if entry.plant_id is not None)
    return [replay(tx, home, plant_id) for plant_id in ids]
