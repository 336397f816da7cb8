"""Taking turns on one database, across threads and across processes.

Several terminals may talk on one file at once. Each has to show the answers to its own lines, so
none may send what another has written and not yet sent: whoever handles a line has the turn until
the answer is out. The turn of a process that was killed is given back by the system, so whatever
is found waiting by the next one is truly left over.
"""

from __future__ import annotations

import contextlib
import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta

from sqlalchemy import Connection, func, select

from core.store.engine import Store

# Somebody whose output nobody reads keeps the turn; the others then go on without. Data stays
# right (the database has locks of its own), an answer may come out at the wrong terminal.
PATIENCE = timedelta(seconds=10)
_PAUSE = timedelta(milliseconds=5)

# For pg_advisory_lock, as long as nothing else in the database uses the number.
_KEY = 0x706F747475726E


class Turns:
    """The turns on one store. `with turns.mine():` may be nested."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._thread = threading.RLock()
        self._depth = 0
        self._file = _open_beside(store)

    @contextmanager
    def mine(self) -> Iterator[None]:
        """Wait for the turn, and keep it for the length of the block."""
        with self._thread:
            self._depth += 1
            try:
                with self._among_processes() if self._depth == 1 else contextlib.nullcontext():
                    yield
            finally:
                self._depth -= 1

    def close(self) -> None:
        """Stop taking part."""
        if self._file is not None:
            os.close(self._file)
            self._file = None

    @contextmanager
    def _among_processes(self) -> Iterator[None]:
        if self._store.engine.dialect.name == "postgresql":
            with _on_server(self._store):
                yield
        elif self._file is None:
            yield
        else:
            with _on_file(self._file):
                yield


def _open_beside(store: Store) -> int | None:
    """A file beside the database's, to lock; None in memory or where none can be made.

    Not the database's own file: closing a second handle of that would drop SQLite's locks.
    """
    if store.engine.dialect.name != "sqlite":
        return None
    with store.read() as tx:
        path = str(tx.exec_driver_sql("PRAGMA database_list").all()[0][2])
    if not path:
        return None
    try:
        return os.open(f"{path}-turn", os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    except OSError:
        return None


@contextmanager
def _on_file(file: int) -> Iterator[None]:
    import fcntl  # noqa: PLC0415 - where there is none, only memory and servers work

    def try_lock() -> bool:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True

    got = _patiently(try_lock)
    try:
        yield
    finally:
        if got:
            fcntl.flock(file, fcntl.LOCK_UN)


@contextmanager
def _on_server(store: Store) -> Iterator[None]:
    with store.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        got = _patiently(lambda: _try_server(connection))
        try:
            yield
        finally:
            if got:
                connection.execute(select(func.pg_advisory_unlock(_KEY)))


def _try_server(connection: Connection) -> bool:
    return bool(connection.execute(select(func.pg_try_advisory_lock(_KEY))).scalar())


def _patiently(attempt: Callable[[], bool]) -> bool:
    """Ask again until it works or patience ends; whether it worked."""
    for _ in range(PATIENCE // _PAUSE):
        if attempt():
            return True
        time.sleep(_PAUSE.total_seconds())
    return False
