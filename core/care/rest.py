"""The extra wait of a pot that has gone dry right through, counted from the day it did."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from core.care.season import first_outside, next_spring, sleeps
from core.care.situation import Past, Situation
from core.knowledge.types import LightClass, WaitGroup


class Column(StrEnum):
    """What the place and the season make of a wait."""

    SUNNY = "sunny"  # sunny, warm, growing
    BETWEEN = "between"
    LOW = "low"
    COOL = "cool"  # a winter under 12 °C
    SPRING = "spring"  # a desert cactus in a cool winter: none until about March
    SIP = "sip"  # a desert cactus in a warm winter room: a sip a month
    CALENDAR = "calendar"  # living stones in the months in which they take nothing
    BAKED = "baked"  # a small pot outdoors in full sun


# Days, from and to. Seven in a sunny spot, fourteen in low light, ten between: common practice
# for snake plants and their like, no source; all other figures are guesses of growers.
_DAYS: Final[Mapping[WaitGroup, Mapping[Column, tuple[int, int]]]] = MappingProxyType(
    {
        WaitGroup.STOUT: {
            Column.SUNNY: (7, 7),
            Column.BETWEEN: (10, 10),
            Column.LOW: (14, 14),
            Column.COOL: (21, 42),
        },
        WaitGroup.LEAFY: {
            Column.SUNNY: (3, 7),
            Column.BETWEEN: (7, 7),
            Column.LOW: (10, 14),
            Column.COOL: (14, 30),
        },
        WaitGroup.THIN: {
            Column.SUNNY: (0, 3),
            Column.BETWEEN: (3, 3),
            Column.LOW: (7, 7),
            Column.COOL: (14, 14),
        },
        # In low light a cactus should be moved; until then it waits as the stout ones (ours).
        WaitGroup.DESERT: {
            Column.SUNNY: (0, 7),
            Column.BETWEEN: (7, 7),
            Column.LOW: (14, 14),
        },
        # Nothing published for low light: as between (ours).
        WaitGroup.BRIEF: {
            Column.SUNNY: (0, 2),
            Column.BETWEEN: (0, 2),
            Column.LOW: (0, 2),
            Column.COOL: (4, 7),
        },
        # In the months in which living stones drink they wait as the leafy ones (ours).
        WaitGroup.STONES: {
            Column.SUNNY: (3, 7),
            Column.BETWEEN: (7, 7),
            Column.LOW: (10, 14),
            Column.COOL: (14, 30),
        },
    }
)
_BAKED_DAYS: Final = (0, 3)  # a sun-baked small pot outdoors (a grower's guess)
_BAKED_UP_TO_M: Final = 0.15  # what counts as small there (ours)
_SIP_EVERY: Final = timedelta(days=30)  # a sip a month in a warm room (common practice)

# A probe on the right day is never too early by the hour (ours).
_SAME_DAY: Final = timedelta(hours=12)


@dataclass(frozen=True, slots=True)
class Rest:
    """How long a dry pot is left: probe between `low` and `high`, best at `until`.

    Moments are aware; `days` is the wait from `dry_since` as a span.
    """

    group: WaitGroup
    column: Column
    dry_since: datetime
    low: datetime
    until: datetime
    high: datetime

    @property
    def days(self) -> float:
        """The wait in days."""
        return (self.until - self.dry_since) / timedelta(days=1)

    def over(self, now: datetime) -> bool:
        """Whether the wait has passed, to the day."""
        return now >= self.until - _SAME_DAY


def rest(situation: Situation, past: Past, now: datetime) -> Rest | None:
    """The wait of a pot that reads all dry `now`; None for a plant that takes none."""
    group = group_of(situation)
    if group is WaitGroup.NONE:
        return None
    since = dry_since(past, now)
    column = column_of(situation, now)
    if column is Column.CALENDAR:
        until = first_outside(situation.dormant_months, now, situation.hemisphere)
        return Rest(group, column, since, until, until, until)
    if column is Column.SPRING:
        until = next_spring(now, situation.hemisphere)
        return Rest(group, column, since, until, until, until)
    if column is Column.SIP:
        until = _next_sip(past, since)
        return Rest(group, column, since, until, until, until)
    low, high = _BAKED_DAYS if column is Column.BAKED else _DAYS[group][column]
    middle = timedelta(days=(low + high) / 2)
    return Rest(
        group,
        column,
        since,
        since + timedelta(days=low),
        since + middle,
        since + timedelta(days=high),
    )


def group_of(situation: Situation) -> WaitGroup:
    """The group whose wait holds: any pot under 8 cm waits as the thin-leaved."""
    group = WaitGroup.STOUT if situation.wait is None else situation.wait
    shorter = (WaitGroup.STOUT, WaitGroup.LEAFY)
    return WaitGroup.THIN if situation.better_weighed and group in shorter else group


def column_of(situation: Situation, now: datetime) -> Column:
    """Which column of the table the place and the season choose."""
    group = group_of(situation)
    if group is WaitGroup.STONES and _takes_nothing(situation, now):
        return Column.CALENDAR
    if group is WaitGroup.DESERT and not situation.growing(now):
        return Column.SPRING if situation.cool_winter(now) else Column.SIP
    if situation.cool_winter(now):
        return Column.COOL
    return _by_light(situation, now)


def _takes_nothing(situation: Situation, now: datetime) -> bool:
    by_calendar = sleeps(situation.dormant_months, now, situation.hemisphere)
    return by_calendar and situation.asleep(now)


def _by_light(situation: Situation, now: datetime) -> Column:
    sunny = situation.light is LightClass.SUNNY and not situation.in_dim
    if situation.light is LightClass.LOW or situation.dim:
        return Column.LOW
    if not sunny or situation.cool or not situation.growing(now):
        return Column.BETWEEN
    baked = situation.outdoors and situation.top_m <= _BAKED_UP_TO_M
    return Column.BAKED if baked else Column.SUNNY


def dry_since(past: Past, now: datetime) -> datetime:
    """Best estimate of the day it went dry right through, given that it reads all dry now.

    Between the last reading that was not dry and the first that was: where the pot's drying puts
    it, halfway where that isn't known. Without an earlier one in this cycle, the first all-dry one.
    """
    started = past.last_watered_at
    first = _after(past.first_dry_at, started) or now
    last = _after(past.last_not_dry_at, started)
    if last is not None and last >= first:
        first = now
    if last is None:
        return first
    if past.dry_by_drying is None:
        return last + (first - last) / 2
    return min(max(past.dry_by_drying, last), first)


def _after(moment: datetime | None, start: datetime | None) -> datetime | None:
    """A moment of this cycle; None when it lies before the last watering."""
    if moment is None or (start is not None and moment < start):
        return None
    return moment


def _next_sip(past: Past, since: datetime) -> datetime:
    if past.last_watered_at is None:
        return since + _SIP_EVERY
    return max(since, past.last_watered_at + _SIP_EVERY)
