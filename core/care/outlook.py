"""What the hours of a forecast say of a household's nights: the low, and when it comes.

A night is the place's own, evening to morning on its wall: the low of a calendar day mixes the
end of one night with the beginning of the next.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from core.care.wallclock import moment_of

# The cold of a night is over when the sun has been up for a while (ours).
NIGHT_FROM: Final = time(18)
NIGHT_TO: Final = time(9)
_DAY_FROM, _DAY_TO = time(9), time(20)
# Nothing is made of hours that are missing: beyond this gap a night or day is not known (ours).
MOST_APART: Final = timedelta(hours=3)
# No thermometer in the open has been outside these: Vostok -89.2 C, Death Valley 56.7 C (WMO
# archive of extremes, FROM MEMORY). What is, is taken as missing.
COLDEST_C, HOTTEST_C = -90.0, 60.0
# A forecast for some kilometres around, against a thermometer at the window: so much colder is
# reckoned with before a plant is called safe (ours, about what is missed in one night of ten).
MARGIN_C: Final = 2.5
_DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Hour:
    """The air outside at a moment (aware), C; clouds from 0 to 100 % where they are told."""

    at: datetime
    celsius: float
    cloud: float | None = None


@dataclass(frozen=True, slots=True)
class Extreme:
    """The lowest or highest value of a span, C, and when it comes."""

    celsius: float
    at: datetime


def plausible(celsius: float) -> bool:
    """Whether air can be so warm or cold."""
    return COLDEST_C <= celsius <= HOTTEST_C


def night_low(
    hours: Sequence[Hour], night: date, zone: ZoneInfo, since: datetime
) -> Extreme | None:
    """The low of the night that begins in a day's evening; None where hours are missing.

    `since`: when the forecast was made; of a night under way only what was still to come counts.
    """
    begin, end = moment_of(night, NIGHT_FROM, zone), moment_of(night + _DAY, NIGHT_TO, zone)
    return _coldest(_within(hours, max(begin, since), end))


def day_high(hours: Sequence[Hour], day: date, zone: ZoneInfo, since: datetime) -> Extreme | None:
    """The high of a day, morning to evening; None where hours are missing."""
    begin, end = moment_of(day, _DAY_FROM, zone), moment_of(day, _DAY_TO, zone)
    found = _within(hours, max(begin, since), end)
    hottest = max(found, key=lambda one: one.celsius, default=None)
    return None if hottest is None else Extreme(hottest.celsius, hottest.at)


def clouds(hours: Sequence[Hour], begin: datetime, end: datetime) -> float | None:
    """The mean of the clouds between two moments, 0 to 100 %; None where none are told."""
    told = [one.cloud for one in hours if begin <= one.at <= end and one.cloud is not None]
    return sum(told) / len(told) if told else None


def _coldest(found: Sequence[Hour]) -> Extreme | None:
    coldest = min(found, key=lambda one: one.celsius, default=None)
    return None if coldest is None else Extreme(coldest.celsius, coldest.at)


def _within(hours: Iterable[Hour], begin: datetime, end: datetime) -> list[Hour]:
    """The hours of a span, if there are enough of them to speak for the whole of it."""
    if begin >= end:
        return []
    found = sorted((one for one in hours if begin <= one.at <= end), key=lambda one: one.at)
    marks = [begin, *(one.at for one in found), end]
    gaps = (late - early for early, late in itertools.pairwise(marks))
    return found if max(gaps) <= MOST_APART else []
