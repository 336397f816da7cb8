"""A pot that stops behaving like itself: far slower or far faster than its own past."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from math import exp, sqrt
from typing import Final

from core.care.drydown import cycle as grids
from core.care.drydown.memory import evidence
from core.care.drydown.pooling import CYCLE_SD, expected
from core.care.drydown.state import Belief, House, Plant, Watch

# Cumulated sums (Page 1954) of a cycle's surprise in standard deviations, less what is allowed
# for; figures of simulated households, see docs/drydown.md.
_ALLOWED: Final = 0.5
_LIMIT: Final = 2.2
_KNOWN_AFTER: Final = 3  # cycles before a pot has a past
_LEAST_FACTOR: Final = 1.35  # what is not a third off is no news to anybody


class Pace(StrEnum):
    """How a pot dries against its own past."""

    SLOW = "slow"
    FAST = "fast"


@dataclass(frozen=True, slots=True)
class Alarm:
    """Drying unlike itself; days from a good watering to the line, at the season's pace now."""

    pace: Pace
    expected_days: float
    found_days: float


@dataclass(frozen=True, slots=True)
class _Surprise:
    """How far a cycle is from what was expected: in sd, and both logs of demand-days."""

    score: float
    expected: float
    found: float


def alarm(plant: Plant, house: House, at: float) -> Alarm | None:
    """The alarm as the open cycle stands; None while all is as usual, or nothing is known."""
    if plant.watch.excused or plant.cycles < _KNOWN_AFTER or plant.cycle is None:
        return None
    surprise = _surprise(plant, house, at, _open(plant, house, at))
    if surprise is None:
        return None
    watch = _summed(plant.watch, surprise.score)
    pace = _pace(watch, surprise)
    if pace is None:
        return None
    rate = house.clock.rate(at)
    return Alarm(pace, exp(surprise.expected) / rate, exp(surprise.found) / rate)


def watched(plant: Plant, house: House, at: float, found: Belief) -> Watch:
    """The watch once a cycle with these findings is closed, before the pot learns from it."""
    if plant.watch.excused:
        return replace(plant.watch, excused=plant.watch.excused - 1, slow=0.0, fast=0.0)
    surprise = _surprise(plant, house, at, found)
    if surprise is None or plant.cycles < _KNOWN_AFTER:
        return plant.watch
    return _summed(plant.watch, surprise.score)


def _open(plant: Plant, house: House, at: float) -> Belief:
    if plant.cycle is None or not plant.cycle.told:
        return Belief()
    found = evidence(plant, plant.cycle.told)
    return grids.told(plant, plant.cycle, expected(plant, house, at), found)


def _surprise(plant: Plant, house: House, at: float, found: Belief) -> _Surprise | None:
    if not found.precision:
        return None
    before = expected(plant, house, at)
    sd = sqrt(before.pot_variance + CYCLE_SD**2 + 1 / found.precision)
    return _Surprise((found.mean - before.mean) / sd, before.mean, found.mean)


def _summed(watch: Watch, score: float) -> Watch:
    slow = max(0.0, watch.slow + score - _ALLOWED)
    fast = max(0.0, watch.fast - score - _ALLOWED)
    return replace(watch, slow=slow, fast=fast)


def _pace(watch: Watch, surprise: _Surprise) -> Pace | None:
    factor = exp(surprise.found - surprise.expected)
    if watch.slow > _LIMIT and factor > _LEAST_FACTOR:
        return Pace.SLOW
    return Pace.FAST if watch.fast > _LIMIT and factor < 1 / _LEAST_FACTOR else None
