"""Faults of storage that others met and wrote down: that they are real, and that we avoid them.

Each test names where the fault was reported and whether that was read (SEEN) or is from memory.
"""

from __future__ import annotations

import ast
import sqlite3
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Column, DateTime, Engine, MetaData, Table, create_engine, insert, select
from sqlalchemy.exc import StatementError
from sqlmodel import UTCDateTime

from core.store.engine import Store
from core.store.opening import open_store
from core.store.tables import Base, Household, table_of

ROOT = Path(__file__).resolve().parents[2]
HOUSEHOLD = table_of(Household)


@pytest.fixture
def store(db_url: str) -> Iterator[Store]:
    opened = open_store(db_url)
    yield opened
    opened.close()


def _move_in(store: Store, created_at: datetime) -> None:
    row = {"name": "Birch Street", "zone": "Europe/Berlin", "settings": "0"}
    with store.write() as tx:
        tx.execute(insert(HOUSEHOLD).values(created_at=created_at, **row))


# Reading and then writing in a deferred transaction.
# jentic/jentic-one pull request 529 (SEEN) and python/cpython 124510 (SEEN): "database is locked"
# at once, in spite of WAL and a busy time-out, because a read that becomes a write cannot wait.
# https://www.sqlite.org/rescode.html#busy_snapshot (SEEN-2ND) names the code.


def test_a_read_that_becomes_a_write_fails_at_once_when_deferred(tmp_path: Path) -> None:
    path = tmp_path / "counter.db"
    with closing(_counter(path)) as first, closing(_counter(path)) as second:
        first.execute("CREATE TABLE counter (n INTEGER)")
        first.execute("INSERT INTO counter VALUES (0)")
        first.execute("BEGIN")
        second.execute("BEGIN")
        for one in (first, second):
            one.execute("SELECT n FROM counter").fetchall()
        first.execute("UPDATE counter SET n = n + 1")
        first.execute("COMMIT")
        began = time.perf_counter()
        with pytest.raises(sqlite3.OperationalError, match="locked") as refused:
            second.execute("UPDATE counter SET n = n + 1")
        assert refused.value.sqlite_errorname == "SQLITE_BUSY_SNAPSHOT"
        assert time.perf_counter() - began < 5  # of the 10 s that it was given


def _counter(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, timeout=10, isolation_level=None, check_same_thread=False)
    connection.execute("PRAGMA journal_mode=WAL")
    return connection


def test_our_writes_wait_for_each_other_in_the_same_case(sqlite_url: str) -> None:
    """Two that both read first: the second starts when the first is done, and sees its work."""
    store = open_store(sqlite_url)
    _move_in(store, datetime(2026, 3, 2, tzinfo=UTC))
    inside, seen = threading.Event(), []

    def second() -> None:
        inside.wait(10)
        with store.write() as tx:
            seen.append(tx.execute(select(HOUSEHOLD.c.settings)).scalar_one())

    with ThreadPoolExecutor(1) as pool:
        with store.write() as tx:
            waiting = pool.submit(second)
            tx.execute(select(HOUSEHOLD.c.settings)).scalar_one()
            inside.set()
            time.sleep(0.1)
            tx.execute(HOUSEHOLD.update().values(settings="1"))
        waiting.result(timeout=10)
    assert seen == ["1"]
    store.close()


# Aware times that are not in UTC.
# MemMachine/MemMachine 1558 (SEEN): 13:30:45-08:00 written to a DateTime(timezone=True) on SQLite
# is read back as 13:30:45Z, eight hours off, and comparisons go by the wall clock.

THERE = datetime(2024, 1, 1, 13, 30, 45, tzinfo=timezone(timedelta(hours=-8)))


def test_the_plain_column_type_loses_the_offset_on_sqlite() -> None:
    table = Table("note", MetaData(), Column("at", DateTime(timezone=True)))
    engine: Engine = create_engine("sqlite://")
    with engine.begin() as connection:
        table.create(connection)
        connection.execute(insert(table).values(at=THERE))
        assert connection.execute(select(table.c.at)).scalar() == datetime(2024, 1, 1, 13, 30, 45)  # noqa: DTZ001
    engine.dispose()


def test_our_times_come_back_as_the_same_instant_in_utc(store: Store) -> None:
    _move_in(store, THERE)
    with store.read() as tx:
        back = tx.execute(select(HOUSEHOLD.c.created_at)).scalar_one()
    assert back == THERE
    assert back.utcoffset() == timedelta(0)
    assert back.isoformat() == "2024-01-01T21:30:45+00:00"


def test_our_times_are_compared_by_instant(store: Store) -> None:
    """One hour before and after, each said in a zone whose wall clock says the opposite."""
    _move_in(store, THERE)
    before = (THERE - timedelta(hours=1)).astimezone(timezone(timedelta(hours=14)))
    after = (THERE + timedelta(hours=1)).astimezone(timezone(timedelta(hours=-12)))
    with store.read() as tx:
        for bound, later in ((before, True), (after, False)):
            found = tx.execute(select(HOUSEHOLD.c.created_at > bound)).scalar_one()
            assert bool(found) is later


def test_naive_times_are_refused(store: Store) -> None:
    with pytest.raises(StatementError, match="timezone"):
        _move_in(store, datetime(2026, 3, 2, 7, 30))  # noqa: DTZ001


def test_no_column_of_ours_is_of_the_plain_type() -> None:
    times = [
        column
        for table in Base.metadata.tables.values()
        for column in table.columns
        if isinstance(column.type, DateTime | UTCDateTime)
    ]
    assert len(times) >= 15
    assert all(isinstance(column.type, UTCDateTime) for column in times)


def test_no_revision_makes_a_column_of_the_plain_type() -> None:
    for path in (ROOT / "core/store/migrations/versions").glob("*.py"):
        assert "DateTime(" not in path.read_text(), path.name


# Models that are tables do not validate.
# fastapi/sqlmodel 453 and 406 (SEEN): with table=True a wrong value is accepted. So what the
# program thinks with are plain objects of its own, and table models only describe tables.


def test_a_table_model_accepts_anything() -> None:
    wrong: Any = {"name": ["not", "a", "name"], "zone": 7, "created_at": "some day"}
    row = Household(**wrong)
    assert {key: getattr(row, key) for key in wrong} == wrong


SOURCES = [path for folder in ("bot", "core") for path in (ROOT / folder).rglob("*.py")]
STORING = ("core/store/", "core/journal/", "core/actions/")


def _place(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _imports(path: Path) -> Iterator[tuple[str, str]]:
    """(module, name in the file) of everything that a file imports, inside functions too."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from ((alias.name, "") for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield from ((node.module, alias.asname or alias.name) for alias in node.names)


def test_only_the_store_knows_sqlmodel() -> None:
    found = {
        _place(path) for path in SOURCES for module, _ in _imports(path) if "sqlmodel" in module
    }
    assert "core/store/tables.py" in found
    assert all(place.startswith("core/store/") for place in found)


def test_only_store_journal_and_actions_speak_sql() -> None:
    """Others hold an open transaction, to hand it on, by the store's own name for it."""
    found = {
        f"{_place(path)}: {module} {name}"
        for path in SOURCES
        if not _place(path).startswith(STORING)
        for module, name in _imports(path)
        if module.partition(".")[0] in {"sqlalchemy", "sqlmodel", "alembic", "sqlite3", "psycopg"}
    }
    assert not found


def test_nobody_makes_objects_of_table_models() -> None:
    """They are passed to `table_of` and never called."""
    made = []
    for path in SOURCES:
        models = {name for module, name in _imports(path) if module == "core.store.tables"}
        made += [
            f"{_place(path)}:{node.lineno} {node.func.id}"
            for node in ast.walk(ast.parse(path.read_text()))
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
            if node.func.id in models - {"table_of"}
        ]
    assert not made


# Constraints without a name.
# sqlalchemy/alembic 1195 and 1625 (from memory), and Alembic's guide to batch migrations
# (alembic.sqlalchemy.org/en/latest/batch.html, SEEN-2ND): what has no name cannot be dropped
# on SQLite. So the metadata names everything, from the first revision on.


def test_every_name_in_the_database_is_one_that_we_gave(store: Store) -> None:
    from sqlalchemy import inspect

    with store.read() as tx:
        seen = inspect(tx)
        for table, made in Base.metadata.tables.items():
            # SQLite takes no name for a key whose numbers are never given out again.
            counted = made.dialect_options["sqlite"]["autoincrement"]
            nameless = counted and tx.dialect.name == "sqlite"
            named = None if nameless else f"pk_{table}"
            assert seen.get_pk_constraint(table)["name"] == named
            for key in seen.get_foreign_keys(table):
                (column,) = key["constrained_columns"]
                assert key["name"] == f"fk_{table}_{column}_{key['referred_table']}"
            for rule in seen.get_unique_constraints(table):
                assert rule["name"] == f"uq_{table}_{'_'.join(rule['column_names'])}"


def test_a_rule_with_our_names_can_be_dropped_and_made_again_on_sqlite(sqlite_url: str) -> None:
    from alembic.operations import Operations
    from alembic.runtime.migration import MigrationContext
    from sqlalchemy import inspect

    from core.store.opening import alone

    store = open_store(sqlite_url)
    with alone(store.engine) as connection:
        operations = Operations(MigrationContext.configure(connection))
        with operations.batch_alter_table("chat") as chat:
            chat.drop_constraint("uq_chat_network_account_address", type_="unique")
        assert inspect(connection).get_unique_constraints("chat") == []
        with operations.batch_alter_table("chat") as chat:
            columns = ["network", "account", "address"]
            chat.create_unique_constraint("uq_chat_network_account_address", columns)
        (rule,) = inspect(connection).get_unique_constraints("chat")
        assert rule["name"] == "uq_chat_network_account_address"
    store.close()


def test_a_rule_without_a_name_cannot_be_dropped_on_sqlite() -> None:
    from alembic.operations import Operations
    from alembic.runtime.migration import MigrationContext

    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        connection.exec_driver_sql("CREATE TABLE chat (id INTEGER PRIMARY KEY, a TEXT, UNIQUE (a))")
        operations = Operations(MigrationContext.configure(connection))
        with pytest.raises(ValueError, match="No such constraint"):  # noqa: SIM117
            with operations.batch_alter_table("chat") as chat:
                chat.drop_constraint("uq_chat_a", type_="unique")
    engine.dispose()
