"""Sensors of households, found by the digest of their secret."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, bindparam, delete, func, insert, select, update

from core.store.tables import Sensor, table_of

SENSOR = table_of(Sensor)


@dataclass(frozen=True, slots=True)
class Known:
    """A sensor. `state` is JSON of whoever listens to it."""

    id: int
    household_id: int
    room: str
    digest: str
    created_at: datetime
    heard_at: datetime | None
    state: str


_COLUMNS = (
    SENSOR.c.id,
    SENSOR.c.household_id,
    SENSOR.c.room,
    SENSOR.c.digest,
    SENSOR.c.created_at,
    SENSOR.c.heard_at,
    SENSOR.c.state,
)
_BY_DIGEST = select(*_COLUMNS).where(SENSOR.c.digest == bindparam("digest"))
_BY_ID = select(*_COLUMNS).where(SENSOR.c.id == bindparam("one"))
_NOTE = (
    update(SENSOR)
    .where(SENSOR.c.id == bindparam("one"))
    .values(heard_at=bindparam("at"), state=bindparam("told"))
)


def put(tx: Connection, household_id: int, room: str, digest: str, now: datetime) -> None:
    """Keep a new sensor under the digest of its secret."""
    row = {"household_id": household_id, "room": room, "digest": digest, "created_at": now}
    tx.execute(insert(SENSOR).values(**row, state="{}"))


def by_digest(tx: Connection, digest: str) -> Known | None:
    """The sensor whose secret has this digest."""
    row = tx.execute(_BY_DIGEST, {"digest": digest}).first()
    return Known(*row) if row else None


def get(tx: Connection, sensor_id: int) -> Known | None:
    """A sensor by its id."""
    row = tx.execute(_BY_ID, {"one": sensor_id}).first()
    return Known(*row) if row else None


def of_household(tx: Connection, household_id: int) -> list[Known]:
    """A household's sensors, oldest first."""
    rows = tx.execute(
        select(*_COLUMNS).where(SENSOR.c.household_id == household_id).order_by(SENSOR.c.id)
    )
    return [Known(*row) for row in rows]


def note(tx: Connection, sensor_id: int, at: datetime, state: str) -> None:
    """Keep when a sensor was heard last, and what it told."""
    tx.execute(_NOTE, {"one": sensor_id, "at": at, "told": state})


def revoke(tx: Connection, sensor_ids: list[int]) -> None:
    """Nothing that these tell is listened to any more."""
    tx.execute(delete(SENSOR).where(SENSOR.c.id.in_(sensor_ids)))


def standing(tx: Connection, since: datetime) -> tuple[int, int]:
    """How many sensors there are, and how many of them were heard since then."""
    heard = func.count().filter(SENSOR.c.heard_at >= since)
    row = tx.execute(select(func.count(), heard).select_from(SENSOR)).one()
    return int(row[0]), int(row[1])
