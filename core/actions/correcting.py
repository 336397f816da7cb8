"""Taking entries back."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection

from core.journal import ledger, record
from core.journal.ledger import Entry, Teller
from core.journal.plants import Plant
from core.journal.portrait import Home


def take_back(tx: Connection, teller: Teller, home: Home, entries: Sequence[Entry]) -> list[Plant]:
    """Undo entries; the plants they were about, as they stand without them."""
    return record.take_back(tx, teller, home, entries)


def latest_entry(tx: Connection, household_id: int) -> Entry | None:
    """The newest standing entry of a household, whoever told it."""
    return ledger.latest(tx, household_id)
