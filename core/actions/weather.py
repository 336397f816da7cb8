"""Where a household lives, as far as it lets a weather service know, and what that says of it."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from typing import Final

from sqlalchemy import Connection

from core.care.outlook import Hour, plausible
from core.store import forecasts
from core.store.forecasts import Kept

# A tenth of a degree: a square of about 11 km, and as fine as the coarser forecasts are.
_STEP: Final = 1
# The last good answer serves so long; then we say that we don't know.
GOOD_FOR: Final = timedelta(hours=12)
# So long an area is not asked for again, whoever wants to know: about as often as the models
# are run anew (ours).
_USUAL_BETWEEN: Final = timedelta(hours=3)
_MOST_BETWEEN: Final = timedelta(hours=6)
# After a failure: a minute, two, four, ... an hour (ours); after a refusal that will stay, six.
_FIRST_PAUSE, _LONGEST_PAUSE = timedelta(minutes=1), timedelta(hours=1)
REFUSED_PAUSE: Final = timedelta(hours=6)
_LONGEST_TROUBLE: Final = 200


class Service(StrEnum):
    """Open public services that can be asked, by their names in the settings."""

    OPEN_METEO = "open-meteo"
    MET_NORWAY = "met-norway"
    NWS = "nws"


# How each wants to be named beside its data: Open-Meteo and MET Norway by CC BY 4.0, the National
# Weather Service's data are free, and naming it is good manners.
CREDIT: Final = {
    Service.OPEN_METEO: "Open-Meteo.com (CC BY 4.0)",
    Service.MET_NORWAY: "MET Norway (CC BY 4.0)",
    Service.NWS: "the US National Weather Service",
}


@dataclass(frozen=True, slots=True)
class Outlook:
    """A forecast's hours, when they were fetched, from whom."""

    hours: tuple[Hour, ...]
    fetched_at: datetime
    service: str

    @property
    def credit(self) -> str:
        """The service as it wants to be named."""
        return CREDIT.get(Service(self.service), self.service)


def rounded(latitude: float, longitude: float) -> str:
    """The area that a place lies in, `52.5,13.4`."""
    return ",".join(f"{round(one, _STEP) + 0.0:.{_STEP}f}" for one in (latitude, longitude))


def coordinates(area: str) -> tuple[float, float]:
    """Degrees north and east of an area."""
    north, _, east = area.partition(",")
    return float(north), float(east)


def allow(tx: Connection, household_id: int, area: str, service: str, now: datetime) -> None:
    """A household lets a service be told of its area."""
    forecasts.set_area(tx, household_id, area, service)
    forecasts.want(tx, service, area, now)


def disallow(tx: Connection, household_id: int) -> None:
    """Nothing is told of a household's place any more."""
    forecasts.set_area(tx, household_id, None, None)


def last_outlook(tx: Connection, household_id: int) -> Outlook | None:
    """The last forecast for a household's area, however old."""
    where = forecasts.watched(tx, household_id)
    if where is None or where.area is None or where.area_for is None:
        return None
    found = forecasts.kept(tx, where.area_for, where.area)
    if found is None or found.fetched_at is None:
        return None
    return Outlook(_hours(found.hours), found.fetched_at, found.service)


def outlook(tx: Connection, household_id: int, now: datetime) -> Outlook | None:
    """The same while it is good for anything."""
    found = last_outlook(tx, household_id)
    return found if found is not None and now - found.fetched_at <= GOOD_FOR else None


def _hours(text: str) -> tuple[Hour, ...]:
    return tuple(
        Hour(datetime.fromtimestamp(at, UTC), celsius, cloud)
        for at, celsius, cloud in json.loads(text)
    )


# --- what came of asking ------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Answer:
    """What a service answered. `fresh_until`: when it says that it will know more."""

    hours: tuple[Hour, ...]
    etag: str | None = None
    modified: str | None = None
    fresh_until: datetime | None = None
    link: str | None = None


def came(tx: Connection, asked: Kept, answer: Answer, now: datetime, jitter: float) -> None:
    """Keep a forecast; `jitter`, 0 to 1, spreads the next calls of many areas."""
    hours = [[one.at.timestamp(), one.celsius, one.cloud] for one in answer.hours]
    forecasts.change(
        tx,
        asked.id,
        hours=json.dumps(hours),
        etag=answer.etag,
        modified=answer.modified,
        link=answer.link,
        fetched_at=now,
        next_at=_next(answer.fresh_until, now, jitter),
        failures=0,
        trouble="",
    )


def unchanged(
    tx: Connection, asked: Kept, fresh_until: datetime | None, now: datetime, jitter: float
) -> None:
    """The service says that what we have still holds."""
    at = _next(fresh_until, now, jitter)
    forecasts.change(tx, asked.id, fetched_at=now, next_at=at, failures=0, trouble="")


def _next(fresh_until: datetime | None, now: datetime, jitter: float) -> datetime:
    wanted = max(now + _USUAL_BETWEEN, fresh_until or now)
    return min(wanted, now + _MOST_BETWEEN) + jitter * timedelta(minutes=10)


def failed(
    tx: Connection, asked: Kept, trouble: str, pause: timedelta | None, now: datetime, jitter: float
) -> None:
    """It could not be had: what we have stays, and it is asked for again after a while."""
    backing_off: timedelta = min(_LONGEST_PAUSE, _FIRST_PAUSE * 2 ** min(asked.failures, 10))
    wait = max(pause or backing_off, _FIRST_PAUSE) * (1 + jitter / 4)
    forecasts.change(
        tx,
        asked.id,
        next_at=now + wait,
        failures=asked.failures + 1,
        trouble=trouble[:_LONGEST_TROUBLE],
    )


def hours_of(pairs: Iterable[tuple[datetime, float | None, float | None]]) -> tuple[Hour, ...]:
    """Hours from what a service told, in order; a value that is missing or can't be is left out."""
    found = {
        at: Hour(at, celsius, cloud)
        for at, celsius, cloud in pairs
        if celsius is not None and plausible(celsius)
    }
    return tuple(found[at] for at in sorted(found))
