"""Telling the journal something about a plant, and keeping what follows from it up to date."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from sqlalchemy import Connection, bindparam, select

from core.journal import ledger, marks, plants, settings
from core.journal.common import Common, read_common, write_common
from core.journal.events import Body
from core.journal.ledger import Entry, Teller
from core.journal.marks import Place
from core.journal.plants import Plant
from core.journal.portrait import Home
from core.journal.state import UNBORN, PlantState, write_state
from core.store.ready import Ready
from core.store.tables import Household, table_of

HOUSEHOLD = table_of(Household)

_SETTINGS = Ready(select(HOUSEHOLD.c.settings).where(HOUSEHOLD.c.id == bindparam("one")))
_COMMON = Ready(select(HOUSEHOLD.c.drying).where(HOUSEHOLD.c.id == bindparam("one")))
_KEEP = Ready(
    HOUSEHOLD.update().where(HOUSEHOLD.c.id == bindparam("one")).values(drying=bindparam("text"))
)


def home_of(tx: Connection, household_id: int) -> Home:
    """What of a household bears on care."""
    return Home.of(settings.read(_SETTINGS.one(tx, one=household_id).settings))


def common_of(tx: Connection, household_id: int) -> Common:
    """What the drying of a household's pots has in common, and up to when it was told."""
    return read_common(_COMMON.one(tx, one=household_id).drying)


def housed(tx: Connection, household_id: int, home: Home) -> Home:
    """The same home with what its pots have in common."""
    return replace(home, house=common_of(tx, household_id).house)


def tell(
    tx: Connection,
    teller: Teller,
    home: Home,
    plant: Plant,
    body: Body,
    happened_at: datetime | None = None,
) -> Plant:
    """Write one event about a plant as it stands now; the plant as it stands afterwards.

    An event with newer ones behind it makes its household's journal be read again: it was told
    late, or its message waited while another's was worked on.
    """
    entry = ledger.append(tx, teller, plant.id, body, happened_at)
    common = common_of(tx, teller.household_id)
    if common.knows_newer(entry.happened_at):
        return replay(tx, home, teller.household_id, marks.place_of(entry))[plant.id]
    return _step(tx, teller.household_id, home, common, plant.state, entry)


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
    common = common_of(tx, teller.household_id)
    if common.knows_newer(entry.happened_at):
        return replay(tx, home, teller.household_id, marks.place_of(entry))[plant_id]
    return _step(tx, teller.household_id, home, common, UNBORN, entry)


def tell_home(
    tx: Connection, teller: Teller, home: Home, body: Body, happened_at: datetime | None = None
) -> None:
    """Write one event about the household itself, and keep what it taught of its pots' drying."""
    from core.journal.fold import fold_home  # noqa: PLC0415 - brings numpy, for which no start waits

    entry = ledger.append(tx, teller, None, body, happened_at)
    common = common_of(tx, teller.household_id)
    if common.knows_newer(entry.happened_at):
        replay(tx, home, teller.household_id, marks.place_of(entry))
        return
    after = fold_home(entry, replace(home, house=common.house))
    _keep_common(tx, teller.household_id, common, Common(after.house, entry.happened_at))


def _step(
    tx: Connection, household_id: int, home: Home, common: Common, state: PlantState, entry: Entry
) -> Plant:
    """Add the newest event to what is kept."""
    from core.journal.fold import fold  # noqa: PLC0415 - brings numpy, for which no start waits

    state, after = fold(state, entry, replace(home, house=common.house))
    return keep(tx, household_id, common, entry, state, after)


def keep(
    tx: Connection, household_id: int, before: Common, entry: Entry, state: PlantState, home: Home
) -> Plant:
    """Keep plant and household as the newest event has left them; the plant."""
    if entry.plant_id is None:
        raise LookupError("an event about no plant")
    common = Common(home.house, entry.happened_at)
    _keep_common(tx, household_id, before, common)
    plant = plants.save(tx, entry.plant_id, state)
    if marks.is_due(entry):
        place = marks.place_of(entry)
        marks.leave(tx, household_id, place, common, plants.texts(tx, household_id))
    return plant


def _keep_common(tx: Connection, household_id: int, before: Common, after: Common) -> None:
    if after != before:
        _KEEP.do(tx, one=household_id, text=write_common(after))


def added_up(entries: Sequence[Entry], home: Home) -> tuple[dict[int, PlantState], Common]:
    """What a household's events add up to: its plants, and what they have in common."""
    from core.journal.fold import fold_household  # noqa: PLC0415 - as above

    states, after = fold_household(entries, home)
    return states, Common(after.house, entries[-1].happened_at if entries else None)


def replay(
    tx: Connection, home: Home, household_id: int, since: Place | None = None
) -> dict[int, Plant]:
    """Read a household's standing events again and keep what they add up to.

    `since` is the first place in the journal where something changed; None: what all of it means
    did. A plant of which nothing stands any more never was. Every plant that changed, by id.
    """
    from core.journal.fold import fold_on  # noqa: PLC0415 - as above

    marks.drop(tx, household_id, since)
    begun = marks.newest(tx, household_id)
    states, common = (dict(begun.states), begun.common) if begun else ({}, Common())
    entries = ledger.of_household(tx, household_id, begun.place if begun else None)
    done, home = 0, replace(home, house=common.house)
    for end in (*_places_to_mark(entries), len(entries)):
        home = fold_on(states, entries[done:end], home)
        common = Common(home.house, entries[end - 1].happened_at) if end else common
        if end > done and marks.is_due(entries[end - 1]):
            place, texts = marks.place_of(entries[end - 1]), _texts(states)
            marks.leave(tx, household_id, place, common, texts)
        done = end
    _keep_common(tx, household_id, common_of(tx, household_id), common)
    ids = plants.every_id(tx, household_id)
    return plants.save_changed(tx, {one: states.get(one, UNBORN) for one in ids})


def _places_to_mark(entries: Sequence[Entry]) -> list[int]:
    """After how many of some events a mark is left; only the last marks would be kept."""
    due = [count for count, entry in enumerate(entries, start=1) if marks.is_due(entry)]
    return due[-marks.KEPT :]


def _texts(states: Mapping[int, PlantState]) -> dict[int, str]:
    return {one: write_state(state) for one, state in states.items()}


def take_back(tx: Connection, teller: Teller, home: Home, entries: Sequence[Entry]) -> list[Plant]:
    """Undo events and read the household's journal again; the plants they were about."""
    changed = [*entries, *ledger.taken_by(tx, entries)]
    ledger.take_back(tx, teller, entries)
    after = replay(tx, home, teller.household_id, min(map(marks.place_of, changed), default=None))
    ids = dict.fromkeys(entry.plant_id for entry in changed if entry.plant_id is not None)
    return [after[plant_id] for plant_id in ids]
