"""An open store on either engine, and rows for whatever tables a database has."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Column, Connection, MetaData, func, insert, select

from core.store.engine import Store
from core.store.opening import MIGRATIONS, open_store

START = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)


def _value(column: Column[Any], number: int) -> Any:
    """Something for the nth row of a column, different in each row where it can be."""
    if column.foreign_keys:
        return number
    return {
        bool: number % 2 == 0,
        int: number,
        str: f"{column.name} {number}",
        bytes: bytes([number]),
        datetime: START + timedelta(hours=number),
    }[column.type.python_type]


def fill(connection: Connection, rows: int = 3) -> dict[str, int]:
    """Put rows into every table there is, whatever its revision; how many each has."""
    found = MetaData()
    found.reflect(connection)
    tables = [table for table in found.sorted_tables if table.name != "alembic_version"]
    for table in tables:
        for number in range(1, rows + 1):
            values = {column.name: _value(column, number) for column in table.columns}
            connection.execute(insert(table).values(values))
    return count(connection)


def count(connection: Connection) -> dict[str, int]:
    """How many rows each table has."""
    found = MetaData()
    found.reflect(connection)
    return {
        name: connection.execute(select(func.count()).select_from(table)).scalar_one()
        for name, table in found.tables.items()
        if name != "alembic_version"
    }


@pytest.fixture(name="fill")
def _fill() -> Callable[[Connection], dict[str, int]]:
    return fill


@pytest.fixture(name="count")
def _count() -> Callable[[Connection], dict[str, int]]:
    return count


@pytest.fixture
def store(db_url: str) -> Iterator[Store]:
    """A new store, once on SQLite and once on PostgreSQL."""
    opened = open_store(db_url)
    yield opened
    opened.close()


@pytest.fixture
def sqlite_store(sqlite_url: str) -> Iterator[Store]:
    """A new store in an SQLite file."""
    opened = open_store(sqlite_url)
    yield opened
    opened.close()


@pytest.fixture
def later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The program as it may be one revision later: a folder of migrations that the store uses.

    Its last revision does what hurts on SQLite, where it means copying the table: it changes one
    that others point at, and the one with the partial index.
    """
    folder = tmp_path / "migrations"
    shutil.copytree(MIGRATIONS, folder, ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "versions" / "9999_later.py").write_text(_LATER)
    monkeypatch.setattr("core.store.opening.MIGRATIONS", folder)
    monkeypatch.setattr("core.store.opening.HEAD", "9999")
    return folder


_LATER = """
import sqlalchemy as sa
from alembic import op

revision = "9999"
down_revision = "0001"


def upgrade():
    with op.batch_alter_table("household") as table:
        table.add_column(sa.Column("greeting", sa.String(), nullable=False, server_default="hi"))
    with op.batch_alter_table("household") as table:
        table.alter_column("greeting", server_default=None)
    with op.batch_alter_table("plant") as table:
        table.alter_column("room", existing_type=sa.String(), nullable=True)


def downgrade():
    with op.batch_alter_table("plant") as table:
        table.alter_column("room", existing_type=sa.String(), nullable=False)
    with op.batch_alter_table("household") as table:
        table.drop_column("greeting")
"""
