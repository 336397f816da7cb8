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
_LATITUDE = re.compile(r"^([+-])(\d{2})(\d{2})")


@lru_cache(maxsize=1)
def _latitudes() -> dict[str, tuple[float, str]]:
    table = files("tzdata").joinpath("zoneinfo/zone.tab").read_text("utf-8")
    found: dict[str, tuple[float, str]] = {}
    for line in table.splitlines():
        if line.startswith("#"):
            continue
        country, coordinates, zone = line.split("\t")[:3]
        match = _LATITUDE.match(coordinates)
        if match:
            sign, degrees, minutes = match.groups()
            found[zone] = (float(f"{sign}{degrees}") + float(f"{sign}{minutes}") / 60, country)
    return found


def only_zones() -> dict[str, str]:
    """Countries that have one zone: ISO 3166 code -> IANA name."""
    zones: dict[str, list[str]] = {}
    for zone, (_, country) in _latitudes().items():
        zones.setdefault(country, []).append(zone)
    return {country: found[0] for country, found in zones.items() if len(found) == 1}


def guess_settings(zone: str) -> Settings:
    """Units and half of the world as usual in a time zone; metric and northern when unknown."""
    latitude, country = _latitudes().get(zone, (50.0, ""))
    units = System.US if country == "US" else System.METRIC
    return Settings(units=units, hemisphere=half_of(latitude))


def half_of(latitude: float) -> Hemisphere:
    """Half of the world by degrees of latitude, north positive."""
    if abs(latitude) < _TROPIC:
        return Hemisphere.TROPICS
    return Hemisphere.NORTH if latitude > 0 else Hemisphere.SOUTH
