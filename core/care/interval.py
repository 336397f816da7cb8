"""A first guess at the days to the next probe, until a pot has shown how fast it dries.

The form is that of the dry-clock model's prior: millimetres of water held per centimetre of mix,
over what soil and plant lose a day. All figures are ours. Never a date to water: only to probe.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import exp
from types import MappingProxyType
from typing import Final

from core.care.rest import Rest
from core.care.situation import Extent, Past, Situation
from core.care.thresholds import LINES
from core.knowledge.types import Habit, LightClass, Method

_DAY: Final = timedelta(days=1)

_HELD_MM_PER_M: Final = 260.0
_SOIL_MM_PER_DAY: Final = 1.1
_CLAY_WALL: Final = 1.6  # an unglazed wall dries too
_OUTDOORS: Final = 2.0  # wind and sun
_RESTING: Final = 0.7  # short days, cool rooms
_PLANT_MM_PER_DAY: Final[Mapping[Habit, float]] = MappingProxyType(
    {
        Habit.NEVER_DRY: 3.0,
        Habit.TOP_DRY: 1.7,
        Habit.HALF_DRY: 1.7,
        Habit.MOSTLY_DRY: 0.7,
        Habit.DRY_THROUGH: 0.7,
    }
)
_LIGHT: Final[Mapping[LightClass, float]] = MappingProxyType(
    {
        LightClass.LOW: 0.55,
        LightClass.MEDIUM: 0.8,
        LightClass.BRIGHT: 1.1,
        LightClass.SUNNY: 1.5,
    }
)
_FRESHLY_WATERED: Final = 9.0  # the reading a good watering leaves
_AFTER: Final[Mapping[Extent, float]] = MappingProxyType(
    {Extent.SIP: 6.4, Extent.HALF: 7.75, Extent.THROUGH: _FRESHLY_WATERED}
)
_LOWEST: Final = 1.0

# Spread of the guess (standard deviation of the logarithm) by finished cycles of this pot, and
# the points shown: probe at the 35 % point, window from the 10 to the 90 % point.
_SPREAD: Final = (0.6, 0.35, 0.25)
_EARLY, _ASK, _LATE = -1.2816, -0.3853, 1.2816

# An unknown pot: first probe by day 3, by day 7 for a plant that dries through (every probe is
# a wound in thick roots), and after that every 7-10 days (common practice, no source).
_FIRST_PROBE: Final = 3 * _DAY
_FIRST_PROBE_DRY: Final = 7 * _DAY
_LATER_PROBE: Final = 7 * _DAY
_LATER_PROBE_DRY: Final = 10 * _DAY
_LONGEST: Final = 35 * _DAY

# Plants without a meter: bark and air plants by the week, a tray every three days, a glass or a
# reservoir by the week (common practice, no source).
_LOOK: Final = 7 * _DAY
_LOOK_AT_TRAY: Final = 3 * _DAY


@dataclass(frozen=True, slots=True)
class ProbeWindow:
    """When to probe next, counted from now: 0 <= earliest <= expected <= latest."""

    earliest: timedelta
    expected: timedelta
    latest: timedelta

    def at(self, now: datetime) -> tuple[datetime, datetime, datetime]:
        """The same three as moments."""
        return now + self.earliest, now + self.expected, now + self.latest


def about(expected: timedelta) -> ProbeWindow:
    """A window a quarter to either side, never under a day away."""
    early, late = max(_DAY, expected * 0.75), max(_DAY, expected * 1.25)
    return ProbeWindow(early, max(_DAY, expected), late)


def first_guess(
    situation: Situation, past: Past, now: datetime, reading: float | None = None
) -> ProbeWindow:
    """When to probe next.

    `reading` is what was just found, deep for choice, on the scale 1 to 10; None after a
    watering or for a pot that was never probed. Never under a day after the last probe.
    """
    left = _look_again(situation, past, now)
    if left is not None:
        return _kept_apart(about(left), past, now, reading)
    expected_cycle = past.usual_drydown or cycle(situation, now)
    remaining = expected_cycle * _share_left(
        situation, now, _AFTER[past.extent] if reading is None else reading
    )
    window = _window(remaining, past)
    return _kept_apart(_bounded(window, situation, past, now, reading), past, now, reading)


def while_resting(rest: Rest, now: datetime) -> ProbeWindow:
    """The last probe of a pot that is dry and waits, at least a day away."""
    low, until, high = (max(_DAY, moment - now) for moment in (rest.low, rest.until, rest.high))
    return ProbeWindow(low, until, high)


def cycle(situation: Situation, now: datetime) -> timedelta:
    """From a good watering to the line of the habit, guessed for a pot never seen before."""
    habit = situation.habit_at(now)
    light = _LIGHT[situation.light or LightClass.MEDIUM]
    wall = _CLAY_WALL if situation.terracotta else 1.0
    lost = _SOIL_MM_PER_DAY * wall + _PLANT_MM_PER_DAY.get(habit, _SOIL_MM_PER_DAY) * light
    if situation.outdoors:
        lost *= _OUTDOORS
    if situation.cool or not situation.growing(now):
        lost *= _RESTING
    share = (_FRESHLY_WATERED - _line(situation, now)) / _FRESHLY_WATERED
    return timedelta(days=_HELD_MM_PER_M * situation.fill_depth_m * share / lost)


def _line(situation: Situation, now: datetime) -> float:
    lines = LINES.get(situation.habit_at(now))
    return _LOWEST if lines is None else lines.deep.at(slow=situation.slow(now))


def cycle_seen(situation: Situation, now: datetime, took: timedelta, reading: float) -> timedelta:
    """How long a pot took from its watering to its line, found at `reading` after `took`.

    A pot found well under its line got there earlier: moisture falls nearly in a straight line.
    So a probe that came a week late teaches the pot's own time and not the person's.
    """
    line = _line(situation, now)
    fallen = max(_FRESHLY_WATERED - reading, _FRESHLY_WATERED - line)
    return took * ((_FRESHLY_WATERED - line) / fallen)


def _share_left(situation: Situation, now: datetime, reading: float) -> float:
    """How much of the cycle is still to come; moisture falls nearly in a straight line."""
    line = _line(situation, now)
    return max(0.0, (reading - line) / (_FRESHLY_WATERED - line))


def _window(remaining: timedelta, past: Past) -> ProbeWindow:
    known = min(past.finished_cycles, len(_SPREAD) - 1) if past.usual_drydown else 0
    early, ask, late = (remaining * exp(point * _SPREAD[known]) for point in (_EARLY, _ASK, _LATE))
    return ProbeWindow(early, ask, late)


def _bounded(
    window: ProbeWindow, situation: Situation, past: Past, now: datetime, reading: float | None
) -> ProbeWindow:
    most = _LONGEST if past.usual_drydown else _unknown_pot(situation, now, reading)
    expected = min(window.expected, most)
    return ProbeWindow(min(window.earliest, expected), expected, min(window.latest, 2 * most))


def _unknown_pot(situation: Situation, now: datetime, reading: float | None) -> timedelta:
    dries_through = situation.habit_at(now) is Habit.DRY_THROUGH
    if reading is None:
        return _FIRST_PROBE_DRY if dries_through else _FIRST_PROBE
    return _LATER_PROBE_DRY if dries_through else _LATER_PROBE


def _kept_apart(
    window: ProbeWindow, past: Past, now: datetime, reading: float | None
) -> ProbeWindow:
    """Push a window that is too close to the last probe; a reading was probed just now."""
    probed = now if reading is not None else past.last_probe_at
    least = timedelta(0) if probed is None else max(timedelta(0), probed + _DAY - now)
    expected = max(window.expected, least)
    return ProbeWindow(max(window.earliest, least), expected, max(window.latest, expected))


def _look_again(situation: Situation, past: Past, now: datetime) -> timedelta | None:
    """Plants that are looked at, not probed."""
    habit = situation.habit_at(now)
    if habit is Habit.STAND_WET:
        return _LOOK if situation.method is Method.IN_WATER else _LOOK_AT_TRAY
    levels = situation.wicking(past, now) or situation.method is Method.IN_WATER
    return _LOOK if habit is Habit.SOAK or levels else None
