"""What the tables themselves forbid, on both engines, whatever the code above them does."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from typing import Any

import pytest
from sqlalchemy import Connection, insert, select, update
from sqlalchemy.exc import IntegrityError

from core.store.engine import Store
from core.store.tables import Base, Event, Inbox, Outbox, Plant, table_of

Rows = Callable[[Connection], dict[str, int]]

AT = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
INBOX, EVENT, OUTBOX, PLANT = (table_of(model) for model in (Inbox, Event, Outbox, Plant))

MESSAGE = {
    "network": "terminal",
    "account": "",
    "chat": "main",
    "message": "17",
    "edit": 0,
    "payload": "{}",
    "told_at": AT,
    "state": "new",
    "attempts": 0,
}
FACT = {
    "household_id": 1,
    "chat_id": 1,
    "kind": "reminder",
    "occasion": "probe 1 2026-03-02",
    "topic": "round",
    "facts": "{}",
    "due_at": AT,
    "state": "waiting",
    "attempts": 0,
}
CHECK = {
    "household_id": 1,
    "kind": "check",
    "version": 1,
    "happened_at": AT,
    "told_at": AT,
    "body": "{}",
    "inbox_id": 1,
    "ordinal": 40,
}
FERN = {"household_id": 1, "name": "Fern", "name_key": "fern", "room": "", "state": "{}"}


@pytest.fixture
def filled(store: Store, fill: Rows) -> Store:
    """A store with three rows in every table."""
    with store.write() as tx:
        fill(tx)
    return store


def _add(store: Store, table: str, row: Mapping[str, Any]) -> None:
    """In a transaction of its own. Ids from 100 on: the rows already there came with theirs."""
    with store.write() as tx:
        taken = tx.execute(select(Base.metadata.tables[table].c.id)).scalars().all()
        tx.execute(insert(Base.metadata.tables[table]).values(id=max(100, *taken) + 1, **row))


@pytest.mark.parametrize(
    ("table", "row", "apart"),
    [
        ("inbox", MESSAGE, [{"edit": 1}, {"account": "another of ours"}, {"network": "matrix"}]),
        ("event", CHECK, [{"ordinal": 41}, {"inbox_id": 2}]),
        ("outbox", FACT, [{"occasion": "another day"}, {"kind": "warning"}, {"chat_id": 2}]),
        ("plant", FERN, [{"name_key": "fig"}, {"household_id": 2}]),
    ],
)
def test_the_same_twice_is_refused_and_the_nearly_same_is_not(
    filled: Store, table: str, row: dict[str, Any], apart: list[dict[str, Any]]
) -> None:
    _add(filled, table, row)
    with pytest.raises(IntegrityError):
        _add(filled, table, row)
    for other in apart:
        _add(filled, table, row | other)


def test_events_without_a_message_may_be_many(filled: Store) -> None:
    """What the program itself notes comes from no message."""
    for _ in range(2):
        _add(filled, "event", CHECK | {"inbox_id": None})


def test_a_name_is_free_again_when_its_plant_has_left(filled: Store) -> None:
    _add(filled, "plant", FERN)
    with filled.write() as tx:
        tx.execute(update(PLANT).where(PLANT.c.name_key == "fern").values(left_at=AT))
    _add(filled, "plant", FERN)
    with pytest.raises(IntegrityError):
        _add(filled, "plant", FERN)
    with filled.write() as tx:
        tx.execute(update(PLANT).where(PLANT.c.name_key == "fern").values(left_at=AT))


def test_a_row_must_point_at_something(filled: Store) -> None:
    """Every reference of every table, one after the other."""
    references = [
        (table, key.parent) for table in Base.metadata.sorted_tables for key in table.foreign_keys
    ]
    assert len(references) >= 17
    for table, column in references:
        with pytest.raises(IntegrityError, match=r"(?i)foreign key"), filled.write() as tx:
            tx.execute(update(table).values({column: 4711 + table.c.id}))


def test_every_id_that_names_a_row_is_a_reference() -> None:
    """A household's home chat is the exception: each would have to exist before the other."""
    bare = {
        f"{table.name}.{column.name}"
        for table in Base.metadata.sorted_tables
        for column in table.columns
        if column.name.endswith("_id") and not column.foreign_keys
    }
    assert bare == {"household.home_chat_id"}


def test_every_constraint_and_index_has_a_name() -> None:
    """Without one, SQLite can never drop it again."""
    nameless = [
        f"{table.name}: {rule!r}"
        for table in Base.metadata.sorted_tables
        for rule in [*table.constraints, *table.indexes]
        if not getattr(rule, "name", None)
    ]
    assert not nameless
