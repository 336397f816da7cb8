"""Statements that every message needs: written once, then given to SQLite's driver as they are.

SQLAlchemy writes them, and says how values go in and come out. What else it does at each execution
takes several times as long as SQLite's own work. A server is further away than that, so there a
statement is executed as any other.
"""

from __future__ import annotations

import sqlite3
from collections import namedtuple
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

from sqlalchemy import BindParameter, Connection, Dialect, Insert, Select, Update, bindparam
from sqlalchemy.exc import CompileError, DBAPIError
from sqlalchemy.sql.dml import ReturningInsert

Statement: TypeAlias = Select[Any] | Insert | ReturningInsert[Any] | Update
Values: TypeAlias = dict[str, object]
Process: TypeAlias = Callable[[Any], Any]


@dataclass(frozen=True, slots=True)
class Written:
    """A statement as the driver takes it.

    `told` are its values in their order, with what is done to them on the way in; of those `fixed`
    are always the same, and so many are `asked` for each time. `row` is the shape of what comes
    out, `read` what is done to that.
    """

    text: str
    told: Sequence[tuple[str, Process | None]]
    fixed: Values
    asked: int
    row: Callable[..., Any]
    read: Sequence[tuple[int, Process]]

    def done(self, tx: Connection, values: Values) -> tuple[list[Any], int]:
        """Have it done; what came out, and the key of what went in.

        Raises KeyError where a value isn't told or isn't asked for, and SQLAlchemy's own errors.
        """
        if len(values) != self.asked:
            asked = {name for name, _ in self.told} - self.fixed.keys()
            raise KeyError(", ".join(sorted(asked ^ values.keys())))
        given = self.fixed | values if self.fixed else values
        bound = [given[name] if into is None else into(given[name]) for name, into in self.told]
        cursor: sqlite3.Cursor = tx.connection.cursor()  # type: ignore[assignment]
        try:
            found = cursor.execute(self.text, bound).fetchall()
        except sqlite3.Error as error:
            raise DBAPIError.instance(
                self.text, None, error, sqlite3.Error, hide_parameters=True, dialect=tx.dialect
            ) from error
        return found, cursor.lastrowid or 0

    def made(self, found: Iterable[Any]) -> Any:
        """A row of what came out."""
        values = list(found)
        for place, process in self.read:
            values[place] = process(values[place])
        return self.row(*values)


def told(*names: str) -> dict[str, BindParameter[Any]]:
    """Columns of an insert or update that are told each time, by their own names."""
    return {name: bindparam(name) for name in names}


class Ready:
    """A statement that is told each of its values by name (`bindparam`)."""

    def __init__(self, statement: Statement) -> None:
        self.statement = statement
        self._on_sqlite: Written | None = None

    def all(self, tx: Connection, **values: object) -> Sequence[Any]:
        """What is found, in rows that name their columns."""
        if (written := self._written(tx)) is None:
            return tx.execute(self.statement, values).all()
        found, _ = written.done(tx, values)
        return [written.made(one) for one in found]

    def first(self, tx: Connection, **values: object) -> Any | None:
        """The first row of it; None when nothing is found."""
        return next(iter(self.all(tx, **values)), None)

    def one(self, tx: Connection, **values: object) -> Any:
        """The row that must be there. Raises LookupError when it isn't."""
        row = self.first(tx, **values)
        if row is None:
            raise LookupError("the database has no such row")
        return row

    def insert(self, tx: Connection, **values: object) -> int:
        """Insert a row; its key."""
        if (written := self._written(tx)) is None:
            key = tx.execute(self.statement, values).inserted_primary_key
            if key is None:
                raise LookupError("the database gave no key for a new row")
            return int(key[0])
        _, key = written.done(tx, values)
        return key

    def do(self, tx: Connection, **values: object) -> None:
        """Have it done."""
        self.do_each(tx, [values])

    def do_each(self, tx: Connection, heap: Sequence[Values]) -> None:
        """Have it done with each of these values in turn."""
        if (written := self._written(tx)) is not None:
            for values in heap:
                written.done(tx, values)
        elif heap:
            tx.execute(self.statement, heap)

    def _written(self, tx: Connection) -> Written | None:
        """How it is said to SQLite; None where another database is spoken to."""
        if tx.dialect.name != "sqlite":
            return None
        if self._on_sqlite is None:
            self._on_sqlite = write(self.statement, tx.dialect)
        return self._on_sqlite


def write(statement: Statement, dialect: Dialect) -> Written:
    """Write a statement for SQLite's driver.

    Raises CompileError where it would be another each time, or doesn't say all that it sets.
    """
    written = statement.compile(dialect=dialect)
    if written.insert_prefetch or written.update_prefetch:
        raise CompileError("a statement must say the value of each column that it sets")
    binds = {name: bind for bind, name in written.bind_names.items()}
    if any(bind.expanding for bind in binds.values()):
        raise CompileError("a list of values is written anew each time")
    columns = statement.exported_columns
    outwards = [one.type.dialect_impl(dialect).result_processor(dialect, None) for one in columns]
    fixed = {name: bind.value for name, bind in binds.items() if not bind.required}
    return Written(
        text=written.string,
        told=[
            (name, binds[name].type.dialect_impl(dialect).bind_processor(dialect))
            for name in written.positiontup or ()
        ],
        fixed=fixed,
        asked=len(binds) - len(fixed),
        row=namedtuple("Row", list(map(str, columns.keys()))),  # noqa: PYI024 - known only now
        read=[(place, process) for place, process in enumerate(outwards) if process is not None],
    )
