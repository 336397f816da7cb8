"""The household itself: its ways."""

from __future__ import annotations

from sqlalchemy import Connection

from core.journal import record, settings
from core.journal.settings import Settings
from core.store import people


def change_settings(tx: Connection, household_id: int, ways: Settings) -> None:
    """Keep new ways. What follows from the journal depends on the seasons, so it is read anew."""
    before = record.home_of(tx, household_id)
    people.change_household(tx, household_id, settings=settings.write(ways))
    if ways.hemisphere is not before.hemisphere:
        record.replay(tx, record.home_of(tx, household_id), household_id)


def change_zone(tx: Connection, household_id: int, zone: str) -> None:
    """Keep another IANA time zone."""
    people.change_household(tx, household_id, zone=zone)
