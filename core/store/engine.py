"""Opening the database and running transactions on it.

SQLite runs in WAL with foreign keys on; a write begins IMMEDIATE, because a read that is
later upgraded to a write fails at once with "database is locked" whatever the time-out.
On PostgreSQL the household's row is locked first instead.
"""

from __future__ import annotations

import contextlib
import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any, TypeAlias

from sqlalchemy import Connection, Engine, bindparam, create_engine, event, make_url, select
from sqlalchemy.engine import URL, RootTransaction
from sqlalchemy.exc import DBAPIError, OperationalError, SQLAlchemyError
from sqlalchemy.pool import PoolProxiedConnection, StaticPool

from core.store.reasons import NOT_AN_ADDRESS, failure, no_driver, why
from core.store.tables import Household, table_of

HOUSEHOLD = table_of(Household)

# What `Store.read` and `Store.write` give; those above the store need not know more of it.
Transaction: TypeAlias = Connection

WRITES = "writes"
"""The mark on a connection whose next transaction writes."""

_PATIENCE = timedelta(seconds=10)
"""How long to wait for a lock on an SQLite file, or for a server to answer."""


class StoreUnavailableError(Exception):
    """The database could not be opened; the message says why, fit for a person."""


class StoreFailedError(Exception):
    """The database stopped working under way: a full disk, a server gone, a lock that stays.

    Nothing of the transaction was kept. The message says why, as half a sentence for a person.
    """


def _sqlite_pragmas(connection: Any, _record: object) -> None:
    connection.isolation_level = None  # we say BEGIN ourselves
    cursor = connection.cursor()
    cursor.execute("PRAGMA synchronous=FULL")  # acknowledged means on the disk, power cut included
    cursor.execute("PRAGMA foreign_keys=ON")
    cursor.execute(f"PRAGMA busy_timeout={_PATIENCE // timedelta(milliseconds=1)}")
    cursor.execute("PRAGMA secure_delete=ON")
    cursor.close()


def use_wal(engine: Engine) -> None:
    """Give an SQLite file its write-ahead log, which it then keeps.

    Of several programs that open a new file one must do it, and the others may be told "locked"
    at once, whatever the time-out; so they ask again.
    """
    if engine.dialect.name != "sqlite":
        return
    pause = timedelta(milliseconds=10)
    with contextlib.closing(engine.raw_connection()) as connection:
        cursor = connection.cursor()
        cursor.execute("PRAGMA busy_timeout=0")  # the waiting is done here
        for tries_left in reversed(range(_PATIENCE // pause)):
            try:
                cursor.execute("PRAGMA journal_mode=WAL")
                break
            except sqlite3.OperationalError as error:
                if not tries_left or error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
                    raise
                time.sleep(pause.total_seconds())
        cursor.execute(f"PRAGMA busy_timeout={_PATIENCE // timedelta(milliseconds=1)}")


def _sqlite_begin(connection: PoolProxiedConnection) -> None:
    """Said to the driver itself: SQLAlchemy would take as long over it as over a select."""
    begin = "BEGIN IMMEDIATE" if connection.info.pop(WRITES, False) else "BEGIN"
    try:
        connection.cursor().execute(begin)
    except sqlite3.OperationalError as error:
        raise OperationalError(begin, None, error) from error


def create(url: str) -> Engine:
    """An engine for an SQLAlchemy URL. Raises StoreUnavailableError when it makes no sense."""
    try:
        parsed = make_url(url)
    except (SQLAlchemyError, ValueError) as error:
        raise StoreUnavailableError(NOT_AN_ADDRESS) from error
    try:
        return _engine(parsed)
    except (SQLAlchemyError, OSError, ImportError, TypeError, ValueError) as error:
        raise StoreUnavailableError(why(parsed, error)) from error


def _engine(url: URL) -> Engine:
    dialect = url.get_dialect()
    if dialect.name not in {"sqlite", "postgresql"} or dialect.is_async:
        raise StoreUnavailableError(no_driver(url))
    if dialect.name == "sqlite":
        return _sqlite(url)
    wait = {} if "connect_timeout" in url.query else {"connect_timeout": _PATIENCE.seconds}
    return create_engine(url, pool_pre_ping=True, connect_args=wait, hide_parameters=True)


def _sqlite(url: URL) -> Engine:
    place = url.database or ""
    memory = place in {"", ":memory:"} or place.startswith("file::memory:")
    if not memory and not place.startswith("file:"):
        path = Path(place).expanduser()
        path.parent.mkdir(parents=True, exist_ok=True)
        url = url.set(database=str(path))
    options: dict[str, Any] = {"poolclass": StaticPool} if memory else {}
    options["hide_parameters"] = True  # else errors and logs would quote what people wrote
    engine = create_engine(url, connect_args={"check_same_thread": False}, **options)
    event.listen(engine, "connect", _sqlite_pragmas)
    # In the dialect, where it belongs: a listener for it would make every statement ask for more.
    setattr(engine.dialect, "do_begin", _sqlite_begin)  # noqa: B010 - mypy forbids the assignment
    return engine


def writing(connection: Connection) -> RootTransaction:
    """Begin a transaction that writes; on SQLite it waits here until nobody else does."""
    connection.info[WRITES] = True
    return connection.begin()


class Store:
    """The one way to the database: `read()` and `write()` each give an open transaction."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self._one_at_a_time = isinstance(engine.pool, StaticPool)
        self._lock = threading.RLock()

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """A transaction that only reads. Raises StoreFailedError when the database gives way."""
        with (
            self._alone(),
            self._failures_named(),
            self.engine.connect() as connection,
            connection.begin(),
        ):
            yield connection

    @contextmanager
    def write(self) -> Iterator[Connection]:
        """A transaction that commits when the block ends well and rolls back when it raises.

        Raises StoreFailedError when the database gives way; then nothing was kept.
        """
        with (
            self._alone(),
            self._failures_named(),
            self.engine.connect() as connection,
            writing(connection),
        ):
            yield connection

    @contextmanager
    def _failures_named(self) -> Iterator[None]:
        try:
            yield
        except DBAPIError as error:
            reason = _trouble(self.engine.url, error)
            if reason is None:
                raise
            raise StoreFailedError(reason) from error

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """An in-memory SQLite has a single connection, so threads take turns."""
        if not self._one_at_a_time:
            yield
            return
        with self._lock:
            yield

    def scrub(self) -> None:
        """What was deleted is overwritten in an SQLite file; have its log end, where copies stand.

        Done as far as nobody reads just now; the log is begun anew often enough by itself.
        """
        if self.engine.dialect.name != "sqlite" or self._one_at_a_time:
            return
        with contextlib.closing(self.engine.raw_connection()) as connection:
            connection.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)").close()

    def close(self) -> None:
        """Give back all connections."""
        self.engine.dispose()


def gave_way(tx: Transaction, error: Exception) -> bool:
    """Whether an error comes from the database's own trouble, and not from what was asked of it."""
    return isinstance(error, DBAPIError) and _trouble(tx.engine.url, error) is not None


def _trouble(url: URL, error: BaseException) -> str | None:
    """What keeps the database from working, of an error or of one that it came after.

    When a disk is full, SQLite undoes the whole transaction; going back to a savepoint of it then
    fails with an error of its own, which says nothing of disks.
    """
    chain: list[BaseException] = [error]
    for one in chain:
        reason = failure(url, one) if isinstance(one, DBAPIError) else None
        if reason is not None:
            return reason
        chain += [more for more in (one.__cause__, one.__context__) if more and more not in chain]
    return None


_LOCK = select(HOUSEHOLD.c.id).where(HOUSEHOLD.c.id == bindparam("one")).with_for_update()


def lock_household(tx: Connection, household_id: int) -> bool:
    """Make this transaction the household's only writer; True when it may have had to wait.

    Then what it read before may be old, and the household may be gone. On SQLite BEGIN IMMEDIATE
    has done it already.
    """
    if tx.dialect.name == "sqlite":
        return False
    tx.execute(_LOCK, {"one": household_id}).first()
    return True
