"""Which part of its year a plant is in: months of the north, flipped for the south."""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from datetime import datetime
from enum import StrEnum
from typing import Final

# About March the light is back and cacti are watered again (common practice, no source).
_SPRING: Final = 3
_MONTHS: Final = 12
_HALF_YEAR: Final = 6


class Hemisphere(StrEnum):
    """Half of the world. In the tropics no calendar holds: growth itself tells."""

    NORTH = "north"
    SOUTH = "south"
    TROPICS = "tropics"


def northern_month(month: int, hemisphere: Hemisphere) -> int:
    """The month, 1 to 12, in which the north has this season."""
    shift = _HALF_YEAR if hemisphere is Hemisphere.SOUTH else 0
    return (month - 1 + shift) % _MONTHS + 1


def within(months: AbstractSet[int], now: datetime, hemisphere: Hemisphere) -> bool:
    """Whether `now` (aware, the household's zone) lies in months given for the north."""
    return northern_month(now.month, hemisphere) in months


def grows(months: AbstractSet[int], now: datetime, hemisphere: Hemisphere) -> bool:
    """Whether a plant with these growing months (north) is growing; always in the tropics."""
    return hemisphere is Hemisphere.TROPICS or within(months, now, hemisphere)


def sleeps(months: AbstractSet[int], now: datetime, hemisphere: Hemisphere) -> bool:
    """Whether a plant with these dormant months (north) is dormant; never in the tropics."""
    return hemisphere is not Hemisphere.TROPICS and within(months, now, hemisphere)


def first_outside(months: AbstractSet[int], now: datetime, hemisphere: Hemisphere) -> datetime:
    """First day after `now` of the next month not among these; `now` itself if it isn't."""
    month, year = now.month, now.year
    for _ in range(_MONTHS):
        if northern_month(month, hemisphere) not in months:
            break
        month, year = month % _MONTHS + 1, year + month // _MONTHS
    return now if (month, year) == (now.month, now.year) else _first_of(now, year, month)


def next_spring(now: datetime, hemisphere: Hemisphere) -> datetime:
    """First day of the coming March, September in the south; at the earliest after `now`."""
    month = northern_month(_SPRING, hemisphere)
    year = now.year + (now.month >= month)
    return _first_of(now, year, month)


def _first_of(now: datetime, year: int, month: int) -> datetime:
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0)
    return midnight.replace(year=year, month=month, day=1)
