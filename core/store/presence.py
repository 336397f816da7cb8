"""Who works on a database for which network: all workers are counted, and one of them leads.

Each worker holds locks on a connection of its own; the server drops them with the connection, so
whoever died neither counts nor leads. An SQLite file has one worker.
"""

from __future__ import annotations

import contextlib
import threading
import zlib
from dataclasses import dataclass

from sqlalchemy import Connection, func, select, text
from sqlalchemy.exc import DBAPIError

from core.store.engine import Store, StoreFailedError
from core.store.reasons import cause


@dataclass(frozen=True, slots=True)
class Standing:
    """How a worker stands on a network: whether it does what only one may, and how many it has."""

    leads: bool
    workers: int

    @property
    def share(self) -> float:
        """Our part of what all of them may do. Half is the leader's, who says what is unasked."""
        return (self.workers * self.leads + 1) / (2 * self.workers)


ALONE = Standing(leads=True, workers=1)

# Nothing else in the database uses this number, with any second one, as an advisory lock.
_OURS = 0x706F7473
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
        self._here: set[str] = set()
        self._leads: set[str] = set()

    def look(self, network: str) -> Standing:
        """How we stand on a network; the first worker to ask leads there until it closes or dies.

        Raises StoreFailedError: then we neither count nor lead, until a later look.
        """
        if self._engine.dialect.name != "postgresql":
            return ALONE
        with self._one_at_a_time:
            try:
                return self._ask(self._connection or self._come(), network)
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
        return connection

    def _ask(self, connection: Connection, network: str) -> Standing:
        here, leader = _numbers(network)
        if network not in self._here:
            connection.execute(select(func.pg_advisory_lock_shared(_OURS, here)))
            self._here.add(network)
        if network not in self._leads and connection.scalar(
            select(func.pg_try_advisory_lock(_OURS, leader))
        ):
            self._leads.add(network)
        workers = connection.execute(_COUNT, {"ours": _OURS, "here": here}).scalar_one()
        return Standing(network in self._leads, int(workers))

    def _leave(self) -> None:
        """The connection is closed for good: given back to others, it would keep our locks."""
        if self._connection is not None:
            self._connection.invalidate()
            self._connection.close()
        self._connection = None
        self._here.clear()
        self._leads.clear()


def _numbers(network: str) -> tuple[int, int]:
    """What stands for being there and for leading, the same in every program."""
    even = zlib.crc32(network.encode()) & 0x7FFFFFFE
    return even, even + 1
