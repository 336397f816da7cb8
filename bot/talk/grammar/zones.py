"""Time zones as people name them: `Berlin`, `Europe/Berlin`, `new york`, `Portugal`."""

from __future__ import annotations

from functools import cache
from zoneinfo import available_timezones

from core.actions.places import only_zones

REGIONS = frozenset(
    "Africa America Antarctica Asia Atlantic Australia Europe Indian Pacific".split()
)
_CLOSE = 80  # of 100, for a misspelt city


@cache
def _by_name() -> dict[str, str]:
    """Names as compared -> IANA names: the zones' own, their cities, countries with one zone."""
    zones = sorted(available_timezones(), key=_usual)
    cities = {_key(zone.rpartition("/")[2]): zone for zone in zones}
    countries = {_key(name): zone for name, zone in _countries().items()}
    return countries | cities | {_key(zone): zone for zone in zones}


def _countries() -> dict[str, str]:
    from babel import Locale  # noqa: PLC0415 - only where a zone is named

    names = Locale("en").territories
    return {names[code]: zone for code, zone in only_zones().items() if code in names}


def _usual(zone: str) -> bool:
    """Zones by region and city last, so that they win over older names for the same city."""
    return zone.partition("/")[0] in REGIONS


def _key(name: str) -> str:
    return name.casefold().strip(" .,").replace(" ", "_")


def read_zone(text: str) -> str | None:
    """The IANA name of the zone that a text names; None where it names none."""
    return _by_name().get(_key(text))


def near_zone(text: str) -> str | None:
    """The zone whose name a text may have meant."""
    from rapidfuzz import process  # noqa: PLC0415 - only for what isn't known

    wanted = _key(text)
    near = process.extractOne(wanted, list(_by_name()), score_cutoff=_CLOSE) if wanted else None
    return None if near is None else _by_name()[near[0]]
