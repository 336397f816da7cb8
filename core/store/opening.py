"""Opening the store: a new database is made, an older one brought up to date, a newer one refused.

Every start comes through here, so the common case is one look at the revision. Alembic, which
takes a third of a second to import, is loaded only when an older database needs it; a new one
is made from the tables directly, to the same schema (a test compares the two).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Table,
    func,
    insert,
    inspect,
    make_url,
    select,
)
from sqlalchemy.exc import SQLAlchemyError

from core.store.engine import Store, StoreUnavailableError, create, use_wal, writing
from core.store.reasons import cause, shown, why
from core.store.tables import Base

HEAD = "0001"
"""The revision this code works with: the newest in migrations/versions."""

MIGRATIONS = Path(__file__).parent / "migrations"

# Alembic's own table, spelled out so that it can be read and stamped without Alembic.
_VERSION = Table(
    "alembic_version",
    MetaData(),
    Column("version_num", String(32), nullable=False),
    PrimaryKeyConstraint("version_num", name="alembic_version_pkc"),
)

# Any number will do for pg_advisory_xact_lock as long as nothing else in the database uses it.
_LOCK = 0x706F7473696465


def open_store(url: str, *, new: bool = True) -> Store:
    """Open the database at an SQLAlchemy URL, making or upgrading it first where needed.

    Without `new`, one that isn't there yet is refused instead of made: a mistyped address should
    not look like an empty household.

    Raises:
        StoreUnavailableError: it cannot be opened, is not ours, or is newer than this program.
    """
    engine = create(url)
    try:
        if not new:
            _refuse_absent(engine)
        _settle(engine)
        use_wal(engine)  # not before it is known to be ours: another program's file stays as it is
    except StoreUnavailableError:
        engine.dispose()
        raise
    except (SQLAlchemyError, sqlite3.Error, OSError, TypeError, ValueError) as error:
        engine.dispose()
        raise StoreUnavailableError(why(make_url(url), error)) from error
    return Store(engine)


def _settle(engine: Engine) -> None:
    with engine.connect() as connection, connection.begin():
        if _revision(connection) == HEAD:
            return
    with alone(engine) as connection:
        found = _revision(connection)  # again: another process may have been quicker
        if found is None:
            _make(connection)
        elif found != HEAD:
            _upgrade(connection, found)


def _refuse_absent(engine: Engine) -> None:
    file = engine.dialect.name == "sqlite" and not (engine.url.database or "").startswith("file:")
    if not file or Path(engine.url.database or "").is_file():
        with engine.connect() as connection:
            if _revision(connection) is not None:
                return
    raise StoreUnavailableError(f"There is no database of Potside's at {shown(engine.url)}.")


def _revision(connection: Connection) -> str | None:
    if not inspect(connection).has_table(_VERSION.name):
        return None
    found: str | None = connection.execute(select(_VERSION.c.version_num)).scalar()
    return found


def _make(connection: Connection) -> None:
    """Every table at once, and the note that says so, in the caller's transaction."""
    _refuse_strangers(connection)
    Base.metadata.create_all(connection, checkfirst=False)
    _VERSION.create(connection, checkfirst=True)
    connection.execute(insert(_VERSION).values(version_num=HEAD))


def _refuse_strangers(connection: Connection) -> None:
    """A mistyped address must not spread our tables among another program's.

    A server's database may be shared, as long as no name clashes; a file belongs to one program.
    """
    found = set(inspect(connection).get_table_names()) - {_VERSION.name}
    if connection.dialect.name != "sqlite":
        found &= set(Base.metadata.tables)
    if found:
        raise StoreUnavailableError(
            f"The database {shown(connection.engine.url)} holds tables of something else "
            f"({', '.join(sorted(found)[:3])}). Please name another one."
        )


def _upgrade(connection: Connection, found: str) -> None:
    place = shown(connection.engine.url)
    if found > HEAD:
        raise StoreUnavailableError(
            f"The database {place} was last used by a newer Potside (its tables are at {found}, "
            f"this program knows {HEAD}). Nothing was changed; please update the program."
        )
    from core.store.migrations.running import UnknownRevisionError, upgrade  # noqa: PLC0415

    try:
        upgrade(connection, HEAD, MIGRATIONS)
    except UnknownRevisionError as error:
        raise StoreUnavailableError(
            f"The database {place} is at revision {found}, which Potside never had."
        ) from error
    except SQLAlchemyError as error:
        raise StoreUnavailableError(
            f"The database {place} cannot be brought from revision {found} to {HEAD}: "
            f"{cause(connection.engine.url, error)}. Nothing was changed."
        ) from error


@contextmanager
def alone(engine: Engine) -> Iterator[Connection]:
    """A transaction that no other process's `alone` overlaps, fit for changing tables.

    SQLite changes a table by copying it and dropping the old one, which foreign keys would
    forbid; the switch works only outside a transaction, and all is checked before the commit.
    """
    with (
        engine.connect() as connection,
        _foreign_keys_off(connection),
        writing(connection),
    ):
        if connection.dialect.name == "postgresql":
            connection.execute(select(func.pg_advisory_xact_lock(_LOCK)))
        yield connection
        _check_foreign_keys(connection)


@contextmanager
def _foreign_keys_off(connection: Connection) -> Iterator[None]:
    if connection.dialect.name != "sqlite":
        yield
        return
    raw = connection.connection.cursor()
    raw.execute("PRAGMA foreign_keys=OFF")
    try:
        yield
    finally:
        raw.execute("PRAGMA foreign_keys=ON")
        raw.close()


def _check_foreign_keys(connection: Connection) -> None:
    if connection.dialect.name != "sqlite":
        return
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").first()
    if broken:
        raise StoreUnavailableError(
            f"Changing the tables of {shown(connection.engine.url)} left {broken[0]} with a row "
            f"that points at nothing in {broken[2]}; everything was put back as it was."
        )
