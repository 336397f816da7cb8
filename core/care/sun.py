"""Where the sun stands, and which hours of a day it shines on a pane.

The low-precision formulas of the Astronomical Almanac (FROM MEMORY): a hundredth of a degree
against NREL's SPA over this century, without refraction.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from math import acos, asin, atan2, cos, degrees, radians, sin
from types import MappingProxyType
from typing import Final
from zoneinfo import ZoneInfo

_J2000: Final = datetime(2000, 1, 1, 12, tzinfo=UTC)
_DAY_S: Final = 86_400.0
_STEP: Final = timedelta(minutes=10)
_DAY: Final = timedelta(days=1)

# Degrees from north over east.
FACINGS: Final[Mapping[str, float]] = MappingProxyType(
    {name: 45.0 * n for n, name in enumerate(("N", "NE", "E", "SE", "S", "SW", "W", "NW"))}
)
_UPRIGHT: Final = 90.0
# Lower, houses and trees stand before it and the air takes most of it; at a flatter angle than
# this glass reflects it (ours).
_LEAST_ELEVATION: Final = 10.0
_MOST_INCIDENCE: Final = 75.0


@dataclass(frozen=True, slots=True)
class Sun:
    """Degrees above the horizon, and from north over east."""

    elevation: float
    azimuth: float


@dataclass(frozen=True, slots=True)
class Shine:
    """An unbroken span, aware, in which the sun shines on a pane."""

    begin: datetime
    end: datetime

    @property
    def length(self) -> timedelta:
        """How long it is."""
        return self.end - self.begin


def sun_at(moment: datetime, north: float, east: float) -> Sun:
    """The sun at a moment (aware) and a place in degrees."""
    n = (moment.astimezone(UTC) - _J2000).total_seconds() / _DAY_S
    anomaly = radians(357.528 + 0.9856003 * n)
    along = radians(280.460 + 0.9856474 * n + 1.915 * sin(anomaly) + 0.020 * sin(2 * anomaly))
    tilt = radians(23.439 - 0.0000004 * n)
    declination = asin(sin(tilt) * sin(along))
    ascension = atan2(cos(tilt) * sin(along), cos(along))
    hour = radians(280.46062 + 360.98564737 * n + east) - ascension
    latitude = radians(north)
    up = sin(latitude) * sin(declination) + cos(latitude) * cos(declination) * cos(hour)
    away = atan2(
        -sin(hour) * cos(declination),
        cos(latitude) * sin(declination) - sin(latitude) * cos(declination) * cos(hour),
    )
    return Sun(degrees(asin(max(-1.0, min(1.0, up)))), degrees(away) % 360)


def incidence(sun: Sun, facing: float, slope: float = _UPRIGHT) -> float:
    """Degrees between the sun and the normal of a pane; 90 upright, 0 flat."""
    up, tilted, turned = radians(sun.elevation), radians(slope), radians(sun.azimuth - facing)
    straight = sin(up) * cos(tilted) + cos(up) * sin(tilted) * cos(turned)
    return degrees(acos(max(-1.0, min(1.0, straight))))


def shines_on(sun: Sun, facing: str) -> bool:
    """Whether the sun gets through an upright pane. Raises KeyError for no facing of ours."""
    high = sun.elevation >= _LEAST_ELEVATION
    return high and incidence(sun, FACINGS[facing]) <= _MOST_INCIDENCE


def afternoon_sun(day: date, zone: ZoneInfo, north: float, east: float, facing: str) -> list[Shine]:
    """When the sun shines on a pane from its highest stand on, to some ten minutes."""
    found: list[Shine] = []
    for at in _afternoon(day, zone, north, east):
        if not shines_on(sun_at(at, north, east), facing):
            continue
        if found and found[-1].end == at:
            found[-1] = Shine(found[-1].begin, at + _STEP)
        else:
            found.append(Shine(at, at + _STEP))
    return found


def _afternoon(day: date, zone: ZoneInfo, north: float, east: float) -> Iterator[datetime]:
    """Every ten minutes from the sun's highest stand to midnight on the wall."""
    at = datetime.combine(day, time(0), zone).astimezone(UTC)
    end = datetime.combine(day + _DAY, time(0), zone).astimezone(UTC)
    moments = [at + n * _STEP for n in range((end - at) // _STEP)]
    noon = max(moments, key=lambda one: sun_at(one, north, east).elevation)
    return (one for one in moments if one >= noon)
