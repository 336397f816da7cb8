"""Inserts that do nothing where the row stands already, as each database words them."""

from __future__ import annotations

from functools import cache
from importlib import import_module

from sqlalchemy import Insert, Table


@cache
def insert_once(table: Table, dialect: str) -> Insert:
    """An insert that leaves alone whatever a unique constraint says is there already.

    Only the dialect that is spoken is imported: the other would cost every start 20 ms.
    """
    words = import_module(f"sqlalchemy.dialects.{dialect}")
    statement: Insert = words.insert(table).on_conflict_do_nothing()
    return statement
