"""What a time zone tells of a place before anybody has said more: hemisphere and habits.

The coordinates are those of the IANA time zone database's own table of zones.
"""

from __future__ import annotations

import re
from functools import lru_cache
from importlib.resources import files

from core.care.season import Hemisphere
from core.care.units import System
from core.journal.settings import Settings

# Between the tropics no calendar tells when plants grow (latitude of the June solstice sun).
_TROPIC = 23.44
# Degrees, minutes and perhaps seconds: +5230+01322, +404251-0740023.
_DEGREES = re.compile(r"([+-])(\d{2})(\d{2})(?:\d{2})?([+-])(\d{3})(\d{2})(?:\d{2})?")


@lru_cache(maxsize=1)
def _places() -> dict[str, tuple[float, float, str]]:
    """Degrees north, degrees east and country of every zone's main city."""
    table = files("tzdata").joinpath("zoneinfo/zone.tab").read_text("utf-8")
    found: dict[str, tuple[float, float, str]] = {}
    for line in table.splitlines():
        if line.startswith("#"):
            continue
        country, coordinates, zone = line.split("\t")[:3]
        match = _DEGREES.fullmatch(coordinates)
        if match:
            north, east = _degrees(*match.groups()[:3]), _degrees(*match.groups()[3:])
            found[zone] = (north, east, country)
    return found


def _degrees(sign: str, degrees: str, minutes: str) -> float:
    return float(f"{sign}{degrees}") + float(f"{sign}{minutes}") / 60


@lru_cache(maxsize=1)
def _links() -> dict[str, str]:
    """Other names of zones, as `US/Central` and `Singapore`, and what they stand for."""
    rules = files("tzdata").joinpath("zoneinfo/tzdata.zi").read_text("utf-8")
    named = [line.split() for line in rules.splitlines() if line.startswith("L ")]
    return {other: zone for _, zone, other in named}


def _place(zone: str) -> tuple[float, float, str] | None:
    return _places().get(zone) or _places().get(_links().get(zone, ""))


def place_of(zone: str) -> tuple[float, float] | None:
    """Degrees north and east of a zone's main city; None for a zone that is nowhere."""
    found = _place(zone)
    return found[:2] if found is not None else None


def only_zones() -> dict[str, str]:
    """Countries that have one zone: ISO 3166 code -> IANA name."""
    zones: dict[str, list[str]] = {}
    for zone, (_, _, country) in _places().items():
        zones.setdefault(country, []).append(zone)
    return {country: found[0] for country, found in zones.items() if len(found) == 1}


def guess_settings(zone: str) -> Settings:
    """Units and half of the world as usual in a time zone; metric and northern when unknown."""
    latitude, _, country = _place(zone) or (50.0, 0.0, "")
    units = System.US if country == "US" else System.METRIC
    return Settings(units=units, hemisphere=half_of(latitude))


def half_of(latitude: float) -> Hemisphere:
    """Half of the world by degrees of latitude, north positive."""
    if abs(latitude) < _TROPIC:
        return Hemisphere.TROPICS
    return Hemisphere.NORTH if latitude > 0 else Hemisphere.SOUTH
