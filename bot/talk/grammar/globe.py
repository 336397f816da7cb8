"""A place on the globe as people copy it from a map: `52.52 13.41`, `52,5 13,4`, `33.9S 151.2E`."""

from __future__ import annotations

import re

_NUMBER = r"([+-]?\d{{1,3}}(?:[.,]\d+)?)\s*\u00b0?\s*([{letters}])?"
_PLACE = re.compile(
    _NUMBER.format(letters="NS") + r"(?:\s*[,;]\s*|\s+)" + _NUMBER.format(letters="EW"),
    re.IGNORECASE,
)


def read_place(text: str) -> tuple[float, float] | None:
    """Degrees north and degrees east; None where the text is no such pair."""
    match = _PLACE.fullmatch(text.strip(" ."))
    if match is None:
        return None
    north, east = _degrees(match[1], match[2]), _degrees(match[3], match[4])
    inside = -90 <= north <= 90 and -180 <= east <= 180
    return (north, east) if inside else None


def _degrees(number: str, letter: str | None) -> float:
    value = float(number.replace(",", "."))
    return -value if (letter or "").upper() in {"S", "W"} else value
