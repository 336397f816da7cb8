"""Opening the database and running transactions on it.

SQLite runs in WAL with foreign keys on; a write begins IMMEDIATE, because a read that is
later upgraded to a write fails at once with "database is locked" whatever the time-out.
On PostgreSQL the household's row is locked first instead.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, make_url, select
from sqlalchemy.engine import URL
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.pool import StaticPool

from core.store.tables import Household, table_of

HOUSEHOLD = table_of(Household)


class StoreUnavailableError(Exception):
    """The database could not be opened; the message says why, fit for a person."""


def _sqlite_pragmas(connection: Any, _record: object) -> None:
    connection.isolation_level = None  # we say BEGIN ourselves
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode=WAL")
    cursor.execute("PRAGMA synchronous=FULL")  # acknowledged means on the disk, power cut included
    cursor.execute("PRAGMA foreign_keys=ON")
    cursor.execute("PRAGMA busy_timeout=10000")
    cursor.execute("PRAGMA secure_delete=ON")
    cursor.close()


def _sqlite_begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _make_folder(url: URL) -> None:
    if url.database and url.database != ":memory:" and not url.database.startswith("file:"):
        Path(url.database).expanduser().parent.mkdir(parents=True, exist_ok=True)


def create(url: str) -> Engine:
    """An engine for an SQLAlchemy URL. Raises StoreUnavailableError when it makes no sense."""
    try:
        parsed = make_url(url)
        if parsed.get_backend_name() != "sqlite":
            return create_engine(parsed, pool_pre_ping=True)
        _make_folder(parsed)
        memory = parsed.database in (None, "", ":memory:")
        options: dict[str, Any] = {"poolclass": StaticPool} if memory else {}
        engine = create_engine(parsed, connect_args={"check_same_thread": False}, **options)
    except (SQLAlchemyError, OSError, ImportError) as error:
        raise StoreUnavailableError(str(error)) from error
    event.listen(engine, "connect", _sqlite_pragmas)
    event.listen(engine, "begin", _sqlite_begin)
    return engine


class Store:
    """The one way to the database: `read()` and `write()` each give an open transaction."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self._one_at_a_time = isinstance(engine.pool, StaticPool)
        self._lock = threading.RLock()

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """A transaction that only reads."""
        with self._alone(), self.engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def write(self) -> Iterator[Connection]:
        """A transaction that commits when the block ends well and rolls back when it raises."""
        with self._alone(), self.engine.connect().execution_options(writes=True) as connection:
            with connection.begin():
                yield connection

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """An in-memory SQLite has a single connection, so threads take turns."""
        if not self._one_at_a_time:
            yield
            return
        with self._lock:
            yield

    def close(self) -> None:
        """Give back all connections."""
        self.engine.dispose()


def lock_household(tx: Connection, household_id: int) -> None:
    """Make this transaction the household's only writer (SQLite's BEGIN IMMEDIATE did already)."""
    if tx.dialect.name != "sqlite":
        tx.execute(
            select(HOUSEHOLD.c.id).where(HOUSEHOLD.c.id == household_id).with_for_update()
        ).one()
