"""All that is kept of what a household told, as it stands in the tables."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, select

from core.store.people import HOUSEHOLD, MEMBERSHIP, PERSON
from core.store.photos import KEPT
from core.store.tables import Event, Photo, table_of

EVENT, PHOTO = table_of(Event), table_of(Photo)


@dataclass(frozen=True, slots=True)
class Household:
    """A household's own row; `settings` is JSON text, `area` where its weather is asked for."""

    name: str
    zone: str
    settings: str
    area: str | None


@dataclass(frozen=True, slots=True)
class Somebody:
    """Who belongs or belonged to it, and how."""

    id: int
    name: str
    role: str
    since: datetime
    until: datetime | None


@dataclass(frozen=True, slots=True)
class Fact:
    """One event of the journal, taken back or not; `body` is JSON text."""

    id: int
    plant_id: int | None
    person_id: int | None
    kind: str
    version: int
    happened_at: datetime
    told_at: datetime
    body: str
    undone_by: int | None


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo without its bytes; `size` is how many those are."""

    id: int
    plant_id: int | None
    person_id: int | None
    told_at: datetime
    note: str
    size: int


def household(tx: Connection, household_id: int) -> Household | None:
    """The household itself; None where it is no more."""
    row = tx.execute(
        select(HOUSEHOLD.c.name, HOUSEHOLD.c.zone, HOUSEHOLD.c.settings, HOUSEHOLD.c.area).where(
            HOUSEHOLD.c.id == household_id
        )
    ).one_or_none()
    return None if row is None else Household(*row)


def people(tx: Connection, household_id: int) -> list[Somebody]:
    """Everybody who ever belonged to it, in the order in which they came."""
    rows = tx.execute(
        select(
            PERSON.c.id, PERSON.c.name, MEMBERSHIP.c.role, MEMBERSHIP.c.since, MEMBERSHIP.c.until
        )
        .join(MEMBERSHIP, MEMBERSHIP.c.person_id == PERSON.c.id)
        .where(MEMBERSHIP.c.household_id == household_id)
        .order_by(MEMBERSHIP.c.id)
    )
    return [Somebody(*row) for row in rows]


def facts(tx: Connection, household_id: int) -> list[Fact]:
    """Its journal in the order in which it was told."""
    rows = tx.execute(
        select(*(EVENT.c[name] for name in Fact.__dataclass_fields__))
        .where(EVENT.c.household_id == household_id)
        .order_by(EVENT.c.id)
    )
    return [Fact(*row) for row in rows]


def pictures(tx: Connection, household_id: int) -> list[Picture]:
    """The photos that it keeps, in the order in which they came."""
    rows = tx.execute(
        select(*(PHOTO.c[name] for name in Picture.__dataclass_fields__))
        .where(PHOTO.c.household_id == household_id, PHOTO.c.state == KEPT)
        .order_by(PHOTO.c.id)
    )
    return [Picture(*row) for row in rows]
