"""Rows of living and departed plants: found by name, loaded with their state, saved."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any, NamedTuple

from sqlalchemy import Connection, bindparam, insert, select, update

from core.journal.state import PlantState, read_state, write_state
from core.store.ready import Ready, told
from core.store.tables import Plant as PlantRow
from core.store.tables import table_of

PLANT = table_of(PlantRow)


@dataclass(frozen=True, slots=True)
class Plant:
    """A plant as the household knows it, with what the journal makes of it."""

    id: int
    name: str
    room: str
    probe_at: datetime | None
    left_at: datetime | None
    state: PlantState

    @property
    def call(self) -> str:
        """The name as it stands in commands that we write ourselves."""
        return name_key(self.name)


class Named(NamedTuple):
    """Just enough of a plant to find it by name; a tuple, because a thousand come at once."""

    id: int
    name: str
    key: str
    room: str


@lru_cache(maxsize=1024)
def name_key(name: str) -> str:
    """A name as it is compared: no case, accents or punctuation, single spaces."""
    plain = unicodedata.normalize("NFKD", name.casefold())
    plain = "".join(char for char in plain if not unicodedata.combining(char))
    return re.sub(r"[^\w]+|_+", " ", plain.replace("'", "").replace("\u2019", "")).strip()


_WHOLE = (
    PLANT.c.id,
    PLANT.c.name,
    PLANT.c.room,
    PLANT.c.probe_at,
    PLANT.c.left_at,
    PLANT.c.state,
)


def _plant(row: Any) -> Plant:
    return Plant(row.id, row.name, row.room, row.probe_at, row.left_at, read_state(row.state))


_BY_ID = Ready(select(*_WHOLE).where(PLANT.c.id == bindparam("one")))
_NAMED = select(*_WHOLE, PLANT.c.name_key).where(
    PLANT.c.household_id == bindparam("household"), PLANT.c.left_at.is_(None)
)
_BY_KEY = Ready(_NAMED.where(PLANT.c.name_key == bindparam("key")))
_BY_KEYS = _NAMED.where(PLANT.c.name_key.in_(bindparam("keys", expanding=True)))


def get(tx: Connection, plant_id: int) -> Plant:
    """A plant by id. Raises LookupError when there is none."""
    return _plant(_BY_ID.one(tx, one=plant_id))


def by_keys(tx: Connection, household_id: int, keys: Sequence[str]) -> dict[str, Plant]:
    """Living plants whose name is exactly one of some keys.

    A server is asked once for all of them; for SQLite a list would have to be written anew.
    """
    if tx.dialect.name == "sqlite":
        rows = [row for key in keys for row in _BY_KEY.all(tx, household=household_id, key=key)]
    else:
        rows = [*tx.execute(_BY_KEYS, {"household": household_id, "keys": list(keys)})]
    return {row.name_key: _plant(row) for row in rows}


_NAMES = Ready(
    select(PLANT.c.id, PLANT.c.name, PLANT.c.name_key, PLANT.c.room)
    .where(PLANT.c.household_id == bindparam("household"), PLANT.c.left_at.is_(None))
    .order_by(PLANT.c.id)
)


def names(tx: Connection, household_id: int) -> list[Named]:
    """Names of all living plants of a household, in the order in which they came."""
    rows = _NAMES.all(tx, household=household_id)
    return [Named(*row) for row in rows]


def due_first(tx: Connection, household_id: int, limit: int) -> list[Named]:
    """Names of living plants in the order in which they are to be probed."""
    rows = tx.execute(
        select(PLANT.c.id, PLANT.c.name, PLANT.c.name_key, PLANT.c.room)
        .where(PLANT.c.household_id == household_id, PLANT.c.left_at.is_(None))
        .order_by(PLANT.c.probe_at.is_(None), PLANT.c.probe_at, PLANT.c.id)
        .limit(limit)
    )
    return [Named(*row) for row in rows]


_LIVING = Ready(
    select(*_WHOLE)
    .where(PLANT.c.household_id == bindparam("household"), PLANT.c.left_at.is_(None))
    .order_by(PLANT.c.room, PLANT.c.id)
)


def living(tx: Connection, household_id: int) -> list[Plant]:
    """All living plants of a household with their state, room by room."""
    return [_plant(row) for row in _LIVING.all(tx, household=household_id)]


def departed(tx: Connection, household_id: int) -> list[Plant]:
    """Plants that died or were given away, the latest first."""
    rows = tx.execute(
        select(*_WHOLE)
        .where(PLANT.c.household_id == household_id, PLANT.c.left_at.is_not(None))
        .order_by(PLANT.c.left_at.desc())
    )
    return [_plant(row) for row in rows]


def every_id(tx: Connection, household_id: int) -> list[int]:
    """Ids of all plants a household ever had."""
    rows = tx.execute(
        select(PLANT.c.id).where(PLANT.c.household_id == household_id).order_by(PLANT.c.id)
    )
    return [row.id for row in rows]


def texts(tx: Connection, household_id: int) -> dict[int, str]:
    """What is kept of all plants a household ever had, as JSON text by id."""
    rows = tx.execute(select(PLANT.c.id, PLANT.c.state).where(PLANT.c.household_id == household_id))
    return {row.id: row.state for row in rows}


def create(tx: Connection, household_id: int, name: str) -> int:
    """A row for a plant that is about to arrive; its id."""
    key = tx.execute(
        insert(PLANT).values(
            household_id=household_id, name=name, name_key=name_key(name), room="", state="{}"
        )
    ).inserted_primary_key
    if key is None:
        raise LookupError("the database gave no key for a new plant")
    return int(key[0])


_KEPT = ("name", "name_key", "room", "probe_at", "left_at", "state")
_THIS = update(PLANT).where(PLANT.c.id == bindparam("one"))
_SAVE = Ready(_THIS.values(**told(*_KEPT)))
_UNNAME = Ready(_THIS.values(name_key=bindparam("key")))


def save(tx: Connection, plant_id: int, state: PlantState) -> Plant:
    """Write what the journal makes of a plant, and the columns that are searched; the plant."""
    _SAVE.do(tx, one=plant_id, **columns_of(state))
    return _of_state(plant_id, state)


def _of_state(plant_id: int, state: PlantState) -> Plant:
    return Plant(plant_id, state.name, state.spot.room, state.probe_at, state.left_at, state)


def save_changed(tx: Connection, states: Mapping[int, PlantState]) -> dict[int, Plant]:
    """Write those of some plants whose state isn't kept like this already; all of them by id."""
    rows = tx.execute(select(PLANT.c.id, PLANT.c.state).where(PLANT.c.id.in_(list(states))))
    kept = {row.id: row.state for row in rows}
    changed = {one: state for one, state in states.items() if kept.get(one) != write_state(state)}
    for one in changed:
        # Two plants may each have to get the other's name.
        _UNNAME.do(tx, one=one, key=f"#{one}")
    for one, state in changed.items():
        _SAVE.do(tx, one=one, **columns_of(state))
    return {one: _of_state(one, state) for one, state in states.items()}


def restore(tx: Connection, household_id: int, plant_ids: Iterable[int]) -> None:
    """Give these plants a row if they have none, and names that nobody else can have."""
    for plant_id in plant_ids:
        free = {"name_key": f"#{plant_id}"}
        if tx.execute(update(PLANT).where(PLANT.c.id == plant_id).values(free)).rowcount == 0:
            row = {"id": plant_id, "household_id": household_id, "name": "", "room": ""}
            tx.execute(insert(PLANT).values(row | free | {"state": "{}"}))


def columns_of(state: PlantState) -> dict[str, object]:
    """A state as the columns of its row."""
    return {
        "name": state.name,
        "name_key": name_key(state.name),
        "room": state.spot.room,
        "probe_at": state.probe_at,
        "left_at": state.left_at,
        "state": write_state(state),
    }


def stored(tx: Connection, plant_ids: Iterable[int]) -> dict[int, dict[str, object]]:
    """The same columns as they stand in the table now."""
    rows = tx.execute(
        select(
            PLANT.c.id,
            PLANT.c.name,
            PLANT.c.name_key,
            PLANT.c.room,
            PLANT.c.probe_at,
            PLANT.c.left_at,
            PLANT.c.state,
        ).where(PLANT.c.id.in_(list(plant_ids)))
    )
    found: dict[int, dict[str, object]] = {}
    for row in rows:
        columns = dict(row._mapping)
        found[int(columns.pop("id"))] = columns
    return found
