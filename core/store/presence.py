"""Who works on a database: all workers are counted, and one of them leads.

Each worker holds locks on a connection of its own; the server drops them with the connection, so
whoever died neither counts nor leads. An SQLite file has one worker.
"""

from __future__ import annotations

import contextlib
import threading
from dataclasses import dataclass

from sqlalchemy import Connection, func, select, text
from sqlalchemy.exc import DBAPIError

from core.store.engine import Store, StoreFailedError
from core.store.reasons import cause


@dataclass(frozen=True, slots=True)
class Standing:
    """How a worker stands: whether it does what only one may, and how many there are."""

    leads: bool
    workers: int


ALONE = Standing(leads=True, workers=1)

# Two numbers that nothing else in the database uses as an advisory lock.
_OURS, _HERE, _LEADER = 0x706F7473, 1, 2
# A machine that went away without a word is noticed after a minute, not after two hours.
_KEEPALIVE = (
    "SET tcp_keepalives_idle = 30",
    "SET tcp_keepalives_interval = 10",
    "SET tcp_keepalives_count = 3",
)
_COUNT = text(
    "SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND granted AND classid = :ours "
    "AND objid = :here AND objsubid = 2 "
    "AND database = (SELECT oid FROM pg_database WHERE datname = current_database())"
)


class Presence:
    """One worker among those on its database; from any thread, until `close`."""

    def __init__(self, store: Store) -> None:
        self._engine = store.engine
        self._one_at_a_time = threading.Lock()
        self._connection: Connection | None = None
        self._leads = False

    def look(self) -> Standing:
        """How we stand now; the first worker to ask leads until it closes or dies.

        Raises StoreFailedError: then we neither count nor lead, until a later look.
        """
        if self._engine.dialect.name != "postgresql":
            return ALONE
        with self._one_at_a_time:
            try:
                return self._ask(self._connection or self._come())
            except DBAPIError as error:
                self._leave()
                raise StoreFailedError(cause(self._engine.url, error)) from error

    def close(self) -> None:
        """Be here no more: at once somebody else may lead."""
        with self._one_at_a_time:
            if self._connection is not None:
                with contextlib.suppress(DBAPIError):
                    self._connection.execute(select(func.pg_advisory_unlock_all()))
            self._leave()

    def _come(self) -> Connection:
        connection = self._engine.connect().execution_options(isolation_level="AUTOCOMMIT")
        self._connection = connection
        for line in _KEEPALIVE:
            connection.exec_driver_sql(line)
        connection.execute(select(func.pg_advisory_lock_shared(_OURS, _HERE)))
        return connection

    def _ask(self, connection: Connection) -> Standing:
        if not self._leads:
            self._leads = bool(
                connection.execute(select(func.pg_try_advisory_lock(_OURS, _LEADER))).scalar()
            )
        workers = connection.execute(_COUNT, {"ours": _OURS, "here": _HERE}).scalar_one()
        return Standing(self._leads, int(workers))

    def _leave(self) -> None:
        """The connection is closed for good: given back to others, it would keep our locks."""
        if self._connection is not None:
            self._connection.invalidate()
            self._connection.close()
        self._connection, self._leads = None, False
