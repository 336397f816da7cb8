"""A pot that stops behaving like itself: far slower or far faster than its own past."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import exp, log
from typing import Final

import numpy as np

from core.care.drydown import cycle as grids
from core.care.drydown import grid
from core.care.drydown.grid import Floats
from core.care.drydown.hidden import suspicion
from core.care.drydown.memory import evidence
from core.care.drydown.pooling import CYCLE_SD, expected
from core.care.drydown.state import House, Plant, Watch


class Pace(StrEnum):
    """How a pot dries against its own past."""

    SLOW = "slow"
    FAST = "fast"


# Cumulated log-likelihood ratios (Page 1954): the pot at its own pace against the same at a pace
# changed by this much. Both figures from simulated households, see docs/drydown.md.
_CHANGE: Final = 0.4  # of the log of days: two thirds of the speed
_LIMITS: Final = {Pace.SLOW: 1.08, Pace.FAST: 4.5}
_KNOWN_AFTER: Final = 3  # cycles before a pot has a past
_LEAST_FACTOR: Final = 1.25  # what is not a quarter off is no news to anybody
_REPORTS: Final = 2  # of the open cycle, before it speaks
_ASK_FIRST: Final = 0.15  # odds of a hidden watering, which looks like slow drying
_NOTHING: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Alarm:
    """Drying unlike itself; days from a good watering to the line, at the season's pace now."""

    pace: Pace
    expected_days: float
    found_days: float


def alarm(plant: Plant, house: House, at: float) -> Alarm | None:
    """The alarm as the open cycle stands; None while all is as usual, or nothing is known."""
    if plant.watch.excused or plant.cycles < _KNOWN_AFTER:
        return None
    told = plant.cycle.told if plant.cycle is not None else ()
    watch = _summed(plant, house, at) if len(told) >= _REPORTS else plant.watch
    pace = _pace(watch)
    if pace is None:
        return None
    rate = house.clock.rate(at)
    return Alarm(pace, exp(watch.expected) / rate, exp(watch.found) / rate)


def watched(plant: Plant, house: House, at: float) -> Watch:
    """The watch once the open cycle is closed, before the pot learns from it."""
    if plant.watch.excused:
        return Watch(excused=plant.watch.excused - 1)
    if plant.cycles < _KNOWN_AFTER:
        return Watch()
    return _summed(plant, house, at)


def _summed(plant: Plant, house: House, at: float) -> Watch:
    """The watch with what the open cycle adds to it."""
    cycle = plant.cycle
    if cycle is None:
        return plant.watch
    before = expected(plant, house, at)
    variance = before.pot_variance + CYCLE_SD**2
    logs = grids.by_logs(grids.curve_prior(plant, cycle), evidence(plant, cycle.told))
    same = _normal(before.mean, variance)
    usual = float(logs @ same) + _NOTHING
    slow = log((float(logs @ _normal(before.mean + _CHANGE, variance)) + _NOTHING) / usual)
    fast = log((float(logs @ _normal(before.mean - _CHANGE, variance)) + _NOTHING) / usual)
    doubt = suspicion(plant, cycle, before)
    if doubt is not None and doubt.odds > _ASK_FIRST:
        slow = min(slow, 0.0)
    broad = logs * _normal(before.mean, variance + _CHANGE**2)
    return Watch(
        slow=round(max(0.0, plant.watch.slow + slow), 9),
        fast=round(max(0.0, plant.watch.fast + fast), 9),
        expected=round(before.mean, 9),
        found=round(float(broad @ grid.LOGS) / (float(broad.sum()) + _NOTHING), 9),
    )


def _normal(mean: float, variance: float) -> Floats:
    weights = np.exp(-0.5 * (grid.LOGS - mean) ** 2 / variance)
    return np.asarray(weights / weights.sum())


def _pace(watch: Watch) -> Pace | None:
    factor = exp(watch.found - watch.expected)
    if watch.slow > _LIMITS[Pace.SLOW] and factor > _LEAST_FACTOR:
        return Pace.SLOW
    return Pace.FAST if watch.fast > _LIMITS[Pace.FAST] and factor < 1 / _LEAST_FACTOR else None
