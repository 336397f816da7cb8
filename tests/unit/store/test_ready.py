"""Statements that are ready: what they give is what SQLAlchemy gives for the same statement."""

from __future__ import annotations

import importlib
import pkgutil
from contextlib import suppress
from datetime import UTC, datetime, timedelta, timezone
from typing import TYPE_CHECKING, Any

import pytest
from sqlalchemy import bindparam, func, insert, literal, select, update
from sqlalchemy.dialects import sqlite
from sqlalchemy.exc import CompileError, IntegrityError, OperationalError

import core
from core.store.ready import Ready, write
from core.store.tables import Chat, Event, Household, Membership, Person, table_of

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from core.store.engine import Store

HOUSEHOLD, PERSON = table_of(Household), table_of(Person)
MEMBERSHIP, CHAT, EVENT = table_of(Membership), table_of(Chat), table_of(Event)
NOON = datetime(2026, 3, 2, 12, 0, 0, 250000, tzinfo=UTC)

FOUND = Ready(
    insert(HOUSEHOLD).values(
        name=bindparam("name"), zone="Europe/Berlin", settings="{}", drying="{}",
        created_at=bindparam("now"), round_at=bindparam("round_at"),
    )
)  # fmt: skip
BY_NAME = select(HOUSEHOLD).where(HOUSEHOLD.c.name == bindparam("name")).order_by(HOUSEHOLD.c.id)
LATEST = BY_NAME.order_by(None).order_by(HOUSEHOLD.c.round_at.desc()).limit(1)


def _found(tx: Connection, name: str, round_at: datetime | None = None) -> int:
    return FOUND.insert(tx, name=name, now=NOON, round_at=round_at)


def test_rows_are_those_of_an_ordinary_execution(store: Store) -> None:
    """Names, order, aware times, NULLs, constants, a limit."""
    with store.write() as tx:
        keys = [_found(tx, "ours"), _found(tx, "ours", NOON), _found(tx, "theirs")]
        assert len(set(keys)) == 3
        named = select(func.count().label("many")).where(HOUSEHOLD.c.name == bindparam("name"))
        for statement in (BY_NAME, LATEST, named, LATEST.where(
            HOUSEHOLD.c.zone == "Europe/Berlin", literal(value=True)
        )):  # fmt: skip
            ready, told = Ready(statement), {"name": "ours"}
            expected = tx.execute(statement, told).all()
            assert expected
            assert [one._asdict() for one in ready.all(tx, **told)] == [
                one._asdict() for one in expected
            ]
            assert tuple(ready.one(tx, **told)) == tuple(expected[0])


def test_booleans_and_foreign_times_come_back_as_they_went_in(store: Store) -> None:
    """As the tables' types say: a time in UTC, a boolean a boolean."""
    chat = Ready(
        insert(CHAT).values(
            household_id=bindparam("household"),
            network="n",
            account="a",
            address="c",
            direct=True,
            title="",
            created_at=NOON,
        )
    )
    seen = Ready(select(CHAT.c.direct, HOUSEHOLD.c.round_at).join_from(CHAT, HOUSEHOLD))
    with store.write() as tx:
        east = NOON.astimezone(timezone(timedelta(hours=9)))
        chat.insert(tx, household=_found(tx, "ours", east))
        row = seen.one(tx)
        assert row.direct is True
        assert row.round_at == NOON
        assert row.round_at.tzinfo is UTC


def test_nothing_found(store: Store) -> None:
    """None from `first`, an error where there had to be a row."""
    with store.read() as tx:
        assert Ready(BY_NAME).first(tx, name="nobody") is None
        assert Ready(BY_NAME).all(tx, name="nobody") == []
        with pytest.raises(LookupError):
            Ready(BY_NAME).one(tx, name="nobody")


def test_changes_are_made_and_undone_with_the_transaction(store: Store) -> None:
    """It is the transaction's own connection that it speaks to, savepoints included."""
    rename = Ready(
        update(HOUSEHOLD).where(HOUSEHOLD.c.id == bindparam("one")).values(name=bindparam("called"))
    )
    with store.write() as tx:
        first, second = _found(tx, "one"), _found(tx, "two")
        rename.do_each(tx, [])
        rename.do_each(tx, [{"one": first, "called": "a"}, {"one": second, "called": "b"}])
        nested = tx.begin_nested()
        rename.do(tx, one=first, called="c")
        nested.rollback()
    with suppress(ZeroDivisionError), store.write() as tx:
        rename.do(tx, one=second, called="c")
        raise ZeroDivisionError
    with store.read() as tx:
        assert tx.execute(select(HOUSEHOLD.c.name).order_by(HOUSEHOLD.c.id)).scalars().all() == [
            "a",
            "b",
        ]


def test_errors_are_sqlalchemys(store: Store) -> None:
    """So that whoever catches the database's trouble catches this too."""
    join = Ready(insert(MEMBERSHIP).values(household_id=1, person_id=7, role="member", since=NOON))
    with store.write() as tx, pytest.raises(IntegrityError, match=r"(?i)foreign key"):
        join.insert(tx)


def test_a_missing_table_is_an_operational_error(sqlite_store: Store) -> None:
    """And its text shows nobody's words."""
    with store_without(sqlite_store, "household") as tx, pytest.raises(OperationalError) as told:
        Ready(BY_NAME).all(tx, name="a secret")
    assert "secret" not in str(told.value)


def store_without(store: Store, table: str) -> Any:
    """A transaction on a store that lost a table."""
    with store.write() as tx:
        tx.exec_driver_sql("PRAGMA defer_foreign_keys=ON")
        tx.exec_driver_sql(f"DROP TABLE {table}")
    return store.read()


def test_an_error_under_way_is_one_as_well(sqlite_store: Store) -> None:
    """The first row comes with the execution, the others when they are fetched."""
    numbers = select(literal(1).label("number")).cte(recursive=True)
    numbers = numbers.union_all(select(numbers.c.number + 1).where(numbers.c.number < 1_000_000))
    with sqlite_store.read() as tx:
        driver: Any = tx.connection.dbapi_connection
        driver.set_progress_handler(lambda: 1, 1_000_000)
        with pytest.raises(OperationalError, match="interrupted"):
            Ready(select(numbers.c.number)).all(tx)
        driver.set_progress_handler(None, 0)


def test_each_value_must_be_told(sqlite_store: Store) -> None:
    """A value that is left out isn't taken for NULL."""
    with sqlite_store.read() as tx, pytest.raises(KeyError, match="name"):
        Ready(BY_NAME).all(tx)
    with sqlite_store.read() as tx, pytest.raises(KeyError, match="name"):
        Ready(BY_NAME).all(tx, called="ours")


def test_no_value_is_left_lying(sqlite_store: Store) -> None:
    """A column that its statement doesn't set would be lost without a word."""
    rename = Ready(
        update(HOUSEHOLD).where(HOUSEHOLD.c.id == bindparam("one")).values(name=bindparam("called"))
    )
    with pytest.raises(KeyError, match="area"), sqlite_store.write() as tx:
        rename.do(tx, one=_found(tx, "ours"), called="a", areas="52.5 13.4")


def test_naive_times_are_refused(sqlite_store: Store) -> None:
    """As everywhere."""
    with sqlite_store.write() as tx, pytest.raises(ValueError, match="timezone"):
        FOUND.insert(tx, name="x", now=datetime(2026, 3, 2), round_at=None)  # noqa: DTZ001


@pytest.mark.parametrize(
    "statement",
    [
        select(PERSON.c.id).where(PERSON.c.id.in_(bindparam("these", expanding=True))),
        insert(EVENT).values(household_id=1),
    ],
)
def test_what_it_cannot_do_it_refuses(sqlite_store: Store, statement: Any) -> None:
    """A list of values, and columns that nobody tells."""
    with sqlite_store.read() as tx, pytest.raises(CompileError):
        Ready(statement).do(tx, these=[1])


def test_every_one_of_them_can_be_written() -> None:
    """All that the core has ready."""
    modules = [
        importlib.import_module(one.name)
        for one in pkgutil.walk_packages(core.__path__, "core.")
        if one.name.startswith(("core.store.", "core.journal.")) and "migrations" not in one.name
    ]
    ready = [one for module in modules for one in vars(module).values() if isinstance(one, Ready)]
    assert len(ready) > 15
    for one in ready:
        assert write(one.statement, sqlite.dialect()).text
