"""The household itself: its ways."""

from __future__ import annotations

from sqlalchemy import Connection

from core.journal import record, settings
from core.journal.portrait import Home
from core.journal.settings import Settings
from core.store import people


def change_settings(tx: Connection, household_id: int, ways: Settings) -> None:
    """Keep new ways. What the journal comes to depends on seasons and rooms: it is read anew."""
    before, after = record.home_of(tx, household_id), Home.of(ways)
    people.change_household(tx, household_id, settings=settings.write(ways))
    if after != before:
        record.replay(tx, after, household_id)


def change_zone(tx: Connection, household_id: int, zone: str) -> None:
    """Keep another IANA time zone."""
    people.change_household(tx, household_id, zone=zone)
