"""When to probe next: the forecast of a pot's drying as a window. Never a date to water.

Plants that are looked at and not probed (bark, trays, reservoirs) have their own rhythm.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from core.care.drydown import filter as drying
from core.care.drydown import prior
from core.care.drydown.clock import in_days
from core.care.drydown.forecast import Forecast, forecast
from core.care.drydown.reports import of_values
from core.care.drydown.state import House, Plant
from core.care.rest import Rest
from core.care.season import Hemisphere
from core.care.situation import Past, Situation
from core.care.thresholds import LINES
from core.care.window import ProbeWindow, about
from core.knowledge.types import Habit, Method

_DAY: Final = timedelta(days=1)
_FRESHLY_WATERED: Final = 9.0  # the reading a good watering leaves
_LOWEST: Final = 1.0
_HALF_MARK: Final = 0.5
_LATITUDE: Final = 50.0  # of a household nobody told the place of, in its half of the world (ours)

# However slowly a pot dries, somebody looks at it once in five weeks (ours).
_LONGEST: Final = 35 * _DAY
_FAR: Final = 70.0  # days: nothing sensible can be said of a later end of a range (ours)
# A pot that dries right through is probed every 7 to 10 days until it has shown its own time
# (common practice, no source).
_LONGEST_UNKNOWN: Final = 10 * _DAY

# A pot that has shown no dry-down yet: every 7-10 days for a plant that dries through (common
# practice, no source), by the week for others (ours).
_UNKNOWN: Final = 7 * _DAY
_UNKNOWN_DRY: Final = 10 * _DAY

# Plants without a meter: bark and air plants by the week, a tray every three days, a glass or a
# reservoir by the week (common practice, no source).
_LOOK: Final = 7 * _DAY
_LOOK_AT_TRAY: Final = 3 * _DAY


def while_resting(rest: Rest, now: datetime) -> ProbeWindow:
    """The last probe of a pot that is dry and waits, at least a day away."""
    low, until, high = (max(_DAY, moment - now) for moment in (rest.low, rest.until, rest.high))
    return ProbeWindow(low, until, high)


def look(
    situation: Situation, past: Past, now: datetime, *, probed: bool = False
) -> ProbeWindow | None:
    """When to look at a plant that is not probed; None for one that is.

    `probed`: somebody looked just now.
    """
    habit = situation.habit_at(now)
    levels = situation.wicking(past, now) or situation.method is Method.IN_WATER
    if habit is Habit.STAND_WET:
        rhythm = _LOOK if situation.method is Method.IN_WATER else _LOOK_AT_TRAY
    elif habit is Habit.SOAK or levels:
        rhythm = _LOOK
    else:
        return None
    last = now if probed else past.last_probe_at
    least = timedelta(0) if last is None else max(timedelta(0), last + _DAY - now)
    found = about(rhythm)
    return ProbeWindow(
        max(found.earliest, least), max(found.expected, least), max(found.latest, least)
    )


def target(situation: Situation, now: datetime) -> float:
    """The deep reading at which the pot is ready: the line of its habit now, and one half."""
    lines = LINES.get(situation.habit_at(now))
    line = _LOWEST if lines is None else lines.deep.at(slow=situation.slow(now))
    return line + _HALF_MARK


def window(plant: Plant, house: House, situation: Situation, now: datetime) -> ProbeWindow:
    """When to probe a pot by what its drying has shown: the 35 % point, from the 10 to the 90 %."""
    through = situation.habit_at(now) is Habit.DRY_THROUGH
    found = forecast(plant, house, now, target(situation, now), dries_through=through)
    longest = _LONGEST_UNKNOWN if through and found.rough else _LONGEST
    return _of(found, plant, now, longest)


def _of(found: Forecast, plant: Plant, now: datetime, longest: timedelta) -> ProbeWindow:
    expected = min(found.probe_in, longest)
    probed = plant.probed
    least = timedelta(days=0.0 if probed is None else max(0.0, probed + 1 - in_days(now)))
    early = max(timedelta(days=found.days[10]), least)
    expected = max(expected, least)
    late = timedelta(days=min(found.days[90], _FAR))
    return ProbeWindow(min(early, expected), expected, max(late, expected))


def latitude(hemisphere: Hemisphere) -> float:
    """Degrees north of a household of which only the half of the world is known."""
    return _LATITUDE if hemisphere is Hemisphere.NORTH else -_LATITUDE


def first_guess(
    situation: Situation, past: Past, now: datetime, reading: float | None = None
) -> ProbeWindow:
    """When to probe a pot that has shown nothing but what `past` tells of its last watering.

    `reading` is what was just found, deep for choice, on the scale 1 to 10; None after a
    watering or for a pot that was never probed. Never under a day after the last probe.
    """
    looked = look(situation, past, now, probed=reading is not None)
    if looked is not None:
        return looked
    line = prior.target(situation)
    plant = drying.new_plant(prior.log_days(situation, line), line)
    watered = past.last_watered_at
    house = drying.new_house(watered or now, latitude(situation.hemisphere))
    if watered is not None:
        plant, house = drying.watered(plant, house, min(watered, now), past.extent)
    if past.last_probe_at is not None:
        plant = replace(plant, probed=in_days(past.last_probe_at))
    if reading is not None:
        plant, house = drying.heard(plant, house, now, of_values([reading]))
    return window(plant, house, situation, now)


def cycle_seen(situation: Situation, now: datetime, took: timedelta, reading: float) -> timedelta:
    """How long a pot took from its watering to its line, found at `reading` after `took`.

    A pot found well under its line got there earlier: moisture falls nearly in a straight line.
    So a probe that came a week late teaches the pot's own time and not the person's.
    """
    line = target(situation, now) - _HALF_MARK
    fallen = max(_FRESHLY_WATERED - reading, _FRESHLY_WATERED - line)
    return took * ((_FRESHLY_WATERED - line) / fallen)
