"""Hours on a household's wall, turned into moments: every change of the clocks kept right.

An hour that the clocks jump over is taken by the offset before the jump (02:30 becomes 03:30
that day), one that they show twice is taken the first time: RFC 5545, section 3.3.5 (FROM
MEMORY). So each hour comes exactly once on each day that a zone has.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

_DAY: Final = timedelta(days=1)
# A zone may leave out one day when it changes sides of the date line.
_DAYS_LOOKED_AT: Final = 4


def moment_of(day: date, wall: time, zone: ZoneInfo) -> datetime:
    """The moment (aware UTC) at which the wall shows this hour on this day."""
    return datetime.combine(day, wall.replace(tzinfo=None, fold=0), zone).astimezone(UTC)


def day_of(moment: datetime, zone: ZoneInfo) -> date:
    """The day that the household has at a moment (aware)."""
    return moment.astimezone(zone).date()


def next_at(wall: time, zone: ZoneInfo, after: datetime) -> datetime:
    """The first moment strictly after another at which the wall shows this hour; aware UTC."""
    today = day_of(after, zone)
    days = (today + n * _DAY for n in range(-1, _DAYS_LOOKED_AT))
    return min(at for at in (moment_of(day, wall, zone) for day in days) if at > after)


def latest_at(wall: time, zone: ZoneInfo, by: datetime) -> datetime:
    """The last moment not after another at which the wall showed this hour; aware UTC."""
    today = day_of(by, zone)
    days = (today - n * _DAY for n in range(-1, _DAYS_LOOKED_AT))
    return max(at for at in (moment_of(day, wall, zone) for day in days) if at <= by)


def is_quiet(quiet: tuple[time, time] | None, zone: ZoneInfo, moment: datetime) -> bool:
    """Whether a moment lies in the quiet hours, which may reach over midnight."""
    if quiet is None or quiet[0] == quiet[1]:
        return False
    begin, end = quiet
    here = moment.astimezone(zone).time()
    if begin < end:
        return begin <= here < end
    return here >= begin or here < end


def out_of_quiet(quiet: tuple[time, time] | None, zone: ZoneInfo, moment: datetime) -> datetime:
    """The moment itself, or the end of the quiet hours that it lies in; aware UTC."""
    if quiet is None or not is_quiet(quiet, zone, moment):
        return moment.astimezone(UTC)
    return next_at(quiet[1], zone, moment)
