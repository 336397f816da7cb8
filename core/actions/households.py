"""The household itself: its ways and its people."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, select

from core.journal import record, settings
from core.journal.settings import Settings
from core.store import people
from core.store.people import MEMBERSHIP, PERSON


@dataclass(frozen=True, slots=True)
class Member:
    """Someone of the household and their part."""

    name: str
    role: str


def change_settings(tx: Connection, household_id: int, ways: Settings) -> None:
    """Keep new ways. What follows from the journal depends on the seasons, so it is read anew."""
    before = record.home_of(tx, household_id)
    people.change_household(tx, household_id, settings=settings.write(ways))
    if ways.hemisphere is not before.hemisphere:
        record.replay(tx, record.home_of(tx, household_id), household_id)


def change_zone(tx: Connection, household_id: int, zone: str) -> None:
    """Keep another IANA time zone."""
    people.change_household(tx, household_id, zone=zone)


def members(tx: Connection, household_id: int) -> list[Member]:
    """Everybody of a household, keepers first."""
    rows = tx.execute(
        select(PERSON.c.name, MEMBERSHIP.c.role)
        .join(MEMBERSHIP, MEMBERSHIP.c.person_id == PERSON.c.id)
        .where(MEMBERSHIP.c.household_id == household_id)
        .order_by(MEMBERSHIP.c.id)
    )
    return [Member(row.name, row.role) for row in rows]
