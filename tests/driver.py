"""Hears what a store says to SQLite's driver, whichever way it is said."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from typing import Any, TypeAlias

from sqlalchemy import Engine, event

Hear: TypeAlias = Callable[[str, Any], object]


class _Connection(sqlite3.Connection):
    """A connection whose every word is heard."""

    def __init__(self, hear: Hear, *told: Any, **options: Any) -> None:
        super().__init__(*told, **options)
        self.hear = hear

    def cursor(self, _factory: object = None) -> Any:
        return _Cursor(self)

    def commit(self) -> None:
        self.hear("COMMIT", ())
        super().commit()

    def rollback(self) -> None:
        if self.in_transaction:
            self.hear("ROLLBACK", ())
        super().rollback()


class _Cursor(sqlite3.Cursor):
    connection: _Connection

    def execute(self, text: str, values: Any = ()) -> sqlite3.Cursor:  # type: ignore[override]
        if not text.startswith("PRAGMA"):
            self.connection.hear(text, values)
        return super().execute(text, values)

    def executemany(self, text: str, values: Any) -> sqlite3.Cursor:  # type: ignore[override]
        heap = list(values)
        for one in heap:
            self.connection.hear(text, one)
        return super().executemany(text, heap)


@contextmanager
def overheard(engine: Engine, hear: Hear) -> Iterator[None]:
    """Call `hear(text, values)` before each statement; BEGIN and COMMIT are among them.

    What it raises comes out of the statement, which then isn't executed. Settings of a new
    connection aren't heard.
    """

    def connecting(_dialect: object, _record: object, _told: object, options: Any) -> None:
        options["factory"] = partial(_Connection, hear)

    event.listen(engine, "do_connect", connecting)
    engine.dispose()
    try:
        yield
    finally:
        event.remove(engine, "do_connect", connecting)
        engine.dispose()
