"""How hot a day gets outside, told by people or by a forecast, and whom sun and heat endanger."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from core.actions import places, weather
from core.actions.weather import Outlook
from core.care.heat import Burn, Stand, burn
from core.care.outlook import clouds, day_high
from core.care.sun import Shine, afternoon_sun
from core.journal import ledger, plants
from core.journal.events import HighTold, Spot
from core.journal.ledger import Teller
from core.journal.plants import Plant
from core.journal.portrait import species_of
from core.store import forecasts

_MOST_TOLD: Final = 60
# Where a plant stands of which only the window is known (ours).
_AT_WINDOW_M: Final = 0.3


@dataclass(frozen=True, slots=True)
class Hot:
    """A day's high, C: when it was told, by whom, or by the forecast of which service."""

    day: date
    celsius: float
    person_id: int | None
    told_at: datetime
    credit: str = ""


@dataclass(frozen=True, slots=True)
class Threatened:
    """A plant and what the day may do to it."""

    plant: Plant
    burn: Burn


@dataclass(frozen=True, slots=True)
class Sky:
    """Where a household lives, as nearly as is known, and the forecast for it, if any."""

    zone: ZoneInfo
    north: float
    east: float
    outlook: Outlook | None


def tell(tx: Connection, teller: Teller, day: date, celsius: float) -> None:
    """Keep what somebody told of a day."""
    ledger.append(tx, teller, None, HighTold(day, celsius))


def known(
    tx: Connection, household_id: int, day: date, zone: ZoneInfo, now: datetime
) -> Hot | None:
    """A day's high as somebody told it last, else by a forecast that is still good; or None."""
    for entry in ledger.latest_of_kind(tx, household_id, HighTold.kind, _MOST_TOLD):
        body = entry.body
        if isinstance(body, HighTold) and body.day == day:
            return Hot(day, body.celsius, entry.person_id, entry.told_at)
    outlook = weather.outlook(tx, household_id, now)
    high = day_high(outlook.hours, day, zone, outlook.fetched_at) if outlook is not None else None
    if outlook is None or high is None:
        return None
    return Hot(day, high.celsius, None, outlook.fetched_at, outlook.credit)


def next_told(tx: Connection, household_id: int, since: date) -> date | None:
    """The first day from one on of which somebody told."""
    told = ledger.latest_of_kind(tx, household_id, HighTold.kind, _MOST_TOLD)
    days = [one.body.day for one in told if isinstance(one.body, HighTold)]
    return min((day for day in days if day >= since), default=None)


def sky_of(tx: Connection, household_id: int, zone: ZoneInfo, now: datetime) -> Sky | None:
    """Where the sun stands for a household: by its place, else by its zone's main city."""
    where = forecasts.watched(tx, household_id)
    area = where.area if where is not None else None
    place = weather.coordinates(area) if area is not None else places.place_of(zone.key)
    if place is None:
        return None
    return Sky(zone, *place, weather.outlook(tx, household_id, now))


def threatened(tx: Connection, household_id: int, hot: Hot, sky: Sky) -> list[Threatened]:
    """Plants that such a day may harm where they stand, room by room."""
    shining: dict[str, list[Shine]] = {}
    found = []
    for plant in plants.living(tx, household_id):
        spot = plant.state.spot
        if spot.facing and spot.facing not in shining:
            shining[spot.facing] = afternoon_sun(
                hot.day, sky.zone, sky.north, sky.east, spot.facing
            )
        sun = shining.get(spot.facing, [])
        likes = species_of(plant.state).light.light_class
        feared = burn(likes, _stand(spot), hot.celsius, sun, _cloud(hot, sky, sun))
        if feared is not None:
            found.append(Threatened(plant, feared))
    return found


def _stand(spot: Spot) -> Stand:
    distance_m = spot.distance_m
    if distance_m is None and spot.facing:
        distance_m = _AT_WINDOW_M
    return Stand(spot.outdoors, distance_m, spot.curtain)


def _cloud(hot: Hot, sky: Sky, sun: list[Shine]) -> float | None:
    """The clouds of the hours that count, where the high itself is of the forecast."""
    if sky.outlook is None or not hot.credit or not sun:
        return None
    return clouds(sky.outlook.hours, sun[0].begin, sun[-1].end)
