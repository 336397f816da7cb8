"""What weather services said of areas, and when they may be asked again; a household's area.

An area is fetched once for all its households, by whichever process claims it, and only while a
household has allowed this service to be told of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, and_, bindparam, delete, exists, func, select, update

from core.store.once import insert_once
from core.store.tables import Forecast, Household, table_of

FORECAST = table_of(Forecast)
HOUSEHOLD = table_of(Household)


@dataclass(frozen=True, slots=True)
class Kept:
    """An area as a service told of it last. `hours` is JSON, `trouble` why it failed last."""

    id: int
    service: str
    area: str
    next_at: datetime | None
    fetched_at: datetime | None
    etag: str | None
    modified: str | None
    link: str | None
    hours: str
    failures: int
    trouble: str


_COLUMNS = (
    FORECAST.c.id,
    FORECAST.c.service,
    FORECAST.c.area,
    FORECAST.c.next_at,
    FORECAST.c.fetched_at,
    FORECAST.c.etag,
    FORECAST.c.modified,
    FORECAST.c.link,
    FORECAST.c.hours,
    FORECAST.c.failures,
    FORECAST.c.trouble,
)
_WANTED = exists().where(
    HOUSEHOLD.c.area_for == FORECAST.c.service, HOUSEHOLD.c.area == FORECAST.c.area
)
_DUE = (
    select(*_COLUMNS)
    .where(
        FORECAST.c.next_at <= bindparam("now"), FORECAST.c.service == bindparam("service"), _WANTED
    )
    .order_by(FORECAST.c.next_at)
    .limit(bindparam("most"))
)
_ANY = select(FORECAST.c.id).where(FORECAST.c.next_at <= bindparam("now")).limit(1)
_FORGET = delete(FORECAST).where(FORECAST.c.next_at <= bindparam("now"), ~_WANTED)
_CLAIM = (
    update(FORECAST)
    .where(FORECAST.c.id == bindparam("one"), FORECAST.c.next_at <= bindparam("now"))
    .values(next_at=bindparam("until"))
)
_KEPT = select(*_COLUMNS).where(
    FORECAST.c.service == bindparam("service"), FORECAST.c.area == bindparam("area")
)


def want(tx: Connection, service: str, area: str, now: datetime) -> None:
    """Have an area asked for from now on, if it isn't yet."""
    row = {"service": service, "area": area, "next_at": now, "hours": "[]"}
    tx.execute(insert_once(FORECAST, tx.dialect.name), {**row, "failures": 0, "trouble": ""})


def any_due(tx: Connection, now: datetime) -> bool:
    """Whether an area's time has come, wanted or not: one indexed read."""
    return tx.execute(_ANY, {"now": now}).first() is not None


def claim(
    tx: Connection, service: str, now: datetime, until: datetime, limit: int = 1
) -> list[Kept]:
    """Areas that are to be asked for now; nobody else gets them before `until`.

    What would be due and no household wants any more is forgotten. It isn't before: whoever turns
    it off and on again would have the service asked each time.
    """
    tx.execute(_FORGET, {"now": now})
    rows = tx.execute(_DUE, {"service": service, "now": now, "most": limit}).all()
    mine = []
    for row in rows:
        taken = tx.execute(_CLAIM, {"one": row.id, "now": now, "until": until})
        if int(taken.rowcount) == 1:
            mine.append(Kept(*row))
    return mine


def kept(tx: Connection, service: str, area: str) -> Kept | None:
    """What is kept of an area."""
    row = tx.execute(_KEPT, {"service": service, "area": area}).first()
    return Kept(*row) if row else None


def change(tx: Connection, forecast_id: int, **columns: Any) -> None:
    """Write columns of an area's row."""
    tx.execute(update(FORECAST).where(FORECAST.c.id == forecast_id).values(**columns))


@dataclass(frozen=True, slots=True)
class Standing:
    """How a service does: areas asked for, how many fail, the oldest answer, the last trouble."""

    areas: int
    failing: int
    oldest: datetime | None
    trouble: str


def standing(tx: Connection, service: str) -> Standing:
    """How a service does at all areas that are wanted."""
    ours = (FORECAST.c.service == service, _WANTED)
    failing = (*ours, FORECAST.c.failures > 0)
    areas, oldest = tx.execute(
        select(func.count(), func.min(FORECAST.c.fetched_at)).select_from(FORECAST).where(*ours)
    ).one()
    troubles = tx.execute(
        select(FORECAST.c.trouble).where(*failing).order_by(FORECAST.c.failures.desc())
    ).scalars()
    told = list(troubles)
    return Standing(int(areas), len(told), oldest, told[0] if told else "")


# --- a household's area, and when its nights are looked at --------------------------------


@dataclass(frozen=True, slots=True)
class Watched:
    """A household as its watch needs it. `area` and `area_for`: None where nothing may be told."""

    id: int
    zone: str
    settings: str
    home_chat_id: int | None
    area: str | None
    area_for: str | None
    watch_at: datetime | None


_WATCHED = select(
    HOUSEHOLD.c.id,
    HOUSEHOLD.c.zone,
    HOUSEHOLD.c.settings,
    HOUSEHOLD.c.home_chat_id,
    HOUSEHOLD.c.area,
    HOUSEHOLD.c.area_for,
    HOUSEHOLD.c.watch_at,
).where(HOUSEHOLD.c.id == bindparam("one"))
_NEXT = select(func.min(HOUSEHOLD.c.watch_at))
_WATCH_DUE = (
    select(HOUSEHOLD.c.id)
    .where(HOUSEHOLD.c.watch_at <= bindparam("now"))
    .order_by(HOUSEHOLD.c.watch_at)
    .limit(bindparam("most"))
)

# One without an area may be waiting for a night that was told of long ahead.
_WATCH_AHEAD = (
    select(HOUSEHOLD.c.id)
    .where(HOUSEHOLD.c.watch_at > bindparam("furthest"), HOUSEHOLD.c.area.is_not(None))
    .limit(bindparam("most"))
)


def watched(tx: Connection, household_id: int) -> Watched | None:
    """A household's watch; None when there is no such household any more."""
    row = tx.execute(_WATCHED, {"one": household_id}).first()
    return Watched(*row) if row else None


def set_area(tx: Connection, household_id: int, area: str | None, service: str | None) -> None:
    """Which area a service may be told of; None: nothing."""
    whose = HOUSEHOLD.c.id == household_id
    tx.execute(update(HOUSEHOLD).where(whose).values(area=area, area_for=service))


def set_watch(tx: Connection, household_id: int, at: datetime | None) -> None:
    """When a household's nights and days are looked at next; None: not before it is told of one."""
    tx.execute(update(HOUSEHOLD).where(HOUSEHOLD.c.id == household_id).values(watch_at=at))


def next_watch(tx: Connection) -> datetime | None:
    """When the next household is to be looked after."""
    at: datetime | None = tx.execute(_NEXT).scalar()
    return at


def watches_due(tx: Connection, now: datetime, furthest: datetime, limit: int) -> list[int]:
    """Households whose watch is due, the longest first; and those planned later than can be."""
    rows = tx.execute(_WATCH_DUE, {"now": now, "most": limit}).all()
    ahead = tx.execute(_WATCH_AHEAD, {"furthest": furthest, "most": limit}).all()
    return [row.id for row in (*rows, *ahead)]


def any_allows(tx: Connection, but: str) -> int:
    """How many households allowed another service than this one."""
    other = and_(HOUSEHOLD.c.area_for.is_not(None), HOUSEHOLD.c.area_for != but)
    return int(tx.execute(select(func.count()).select_from(HOUSEHOLD).where(other)).scalar_one())
