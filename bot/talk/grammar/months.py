"""Days of the year as people write them, month and day: the nearest one ahead or gone by."""

from __future__ import annotations

import re
from datetime import date

_MONTHS = (
    "january february march april may june july august september october november december"
).split()
# Patterns to build others from, without groups of their own.
MONTH = "|".join([r"sept\.?", *(rf"{name[:3]}(?:{name[3:]}|\.)?" for name in _MONTHS)])
DAY_OF_MONTH = r"(?:[012]?\d|3[01])(?:st|nd|rd|th)?"
# A 29 February may be so many years off, less one.
_YEARS = 9


def day_number(text: str) -> int:
    """`24th` as 24."""
    return int(re.sub(r"\D", "", text))


def nearest(today: date, month: str, day: str, year: str | None = None, *, ahead: bool) -> date:
    """The day as said; without a year the next one or the last, today among both.

    ValueError where there is no such day.
    """
    number = [name[:3] for name in _MONTHS].index(month.casefold()[:3]) + 1
    if year:
        return date(int(year), number, day_number(day))
    for years in range(_YEARS):
        try:
            found = date(today.year + (years if ahead else -years), number, day_number(day))
        except ValueError:
            continue
        if found == today or (found > today) is ahead:
            return found
    raise ValueError(day)
