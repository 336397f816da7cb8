"""From what is known of a pot to the days until it is ready, and when to probe."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import exp, log
from typing import Final

import numpy as np

from core.care.drydown import cycle as grids
from core.care.drydown import grid
from core.care.drydown.clock import Clock, in_days
from core.care.drydown.memory import evidence
from core.care.drydown.pooling import expected
from core.care.drydown.state import Cycle, House, Plant

POINTS: Final = (10, 25, 35, 50, 75, 90)
_CUMULATED: Final = np.array(POINTS) / 100
_NORMAL: Final = (-1.2816, -0.6745, -0.3853, 0.0, 0.6745, 1.2816)
_MIDDLE: Final = POINTS.index(50)

# Weather to come (sd of the log of what is left), and what the ranges are stretched by: figures of
# simulated households, see docs/drydown.md.
_WEATHER: Final = 0.1
# By closed cycles: right after a watering, and once the open cycle has reports.
_WIDTHS: Final = (1.25, 1.0, 0.95, 0.85, 0.8)
_WIDTHS_TOLD: Final = (1.4, 1.35, 1.25, 1.1, 0.9)
_SAME: Final = 1e-9
_SOFT: Final = 0.25  # days: under this, differences are absolute

# Rough until two cycles are closed; a first probe by day 3, by day 7 for plants that dry through
# (every probe is a wound in thick roots); a day between probes (common practice, no source).
_KNOWN_AFTER: Final = 2
_FIRST_PROBE: Final = 3.0
_FIRST_PROBE_DRY: Final = 7.0
_APART: Final = 1.0


@dataclass(frozen=True, slots=True)
class Forecast:
    """Days from now until the pot reaches its target, by percentage point, all 0 or more.

    `probe_in`: when to probe. `rough`: fewer than two cycles known.
    """

    days: Mapping[int, float]
    probe_in: timedelta
    rough: bool


def forecast(
    plant: Plant,
    house: House,
    now: datetime,
    target: float | None = None,
    *,
    dries_through: bool = False,
) -> Forecast:
    """When a pot reaches a target reading (over 1, under 10; None: its reference).

    `dries_through`: whether an unknown pot's first probe may wait a week. Raises ValueError for a
    target off the scale or a naive datetime.
    """
    at = in_days(now)
    target = plant.reference if target is None else target
    if not 1 < target < 10:  # noqa: PLR2004 - the ends of the scale
        raise ValueError(f"a target lies between 1 and 10, not at {target}")
    days = days_left(plant, house, at, target)
    probe = _probe(plant, days[35], at, _FIRST_PROBE_DRY if dries_through else _FIRST_PROBE)
    return Forecast(days, timedelta(days=probe), plant.cycles < _KNOWN_AFTER)


def days_left(plant: Plant, house: House, at: float, target: float) -> dict[int, float]:
    """The points of `Forecast.days` at a time in days since 1970."""
    clock = house.clock
    open_cycle = plant.cycle or Cycle(began=at, origin=clock.demand(at))
    before = expected(plant, house, at)
    weights = evidence(plant, open_cycle.told) * grids.curve_prior(plant, open_cycle)[:, :, None]
    weights *= grids.log_weights(before)
    end = grid.ending(plant.reference, target)
    cumulated = weights.take(end.order).cumsum()
    whole = np.interp(_CUMULATED * float(cumulated[-1]), cumulated, end.demand)
    gone = clock.demand(at) - open_cycle.origin
    left = [max(0.0, demand - gone) for demand in whole.tolist()]
    widths = _WIDTHS_TOLD if open_cycle.told else _WIDTHS
    weather = _WEATHER**2 + clock.weather(left[_MIDDLE] / clock.rate(at))
    widened = _widened(left, widths[min(plant.cycles, len(widths) - 1)], weather)
    return dict(zip(POINTS, _in_days(clock, at, widened), strict=True))


def _in_days(clock: Clock, at: float, demands: list[float]) -> list[float]:
    """Demands as days: the clock is asked at both ends and the middle, and is smooth between."""
    low, middle, high = demands[0], demands[_MIDDLE], demands[-1]
    if high <= 0:
        return [0.0] * len(demands)
    ends = (low, middle, high)
    known = list(zip(ends, clock.days(at, ends), strict=True))
    return [_between(known[:2] if k <= _MIDDLE else known[1:], d) for k, d in enumerate(demands)]


def _between(known: list[tuple[float, float]], demand: float) -> float:
    (low, first), (high, last) = known
    if high - low <= _SAME:
        return last
    return first + (last - first) * (demand - low) / (high - low)


def _widened(left: list[float], width: float, weather: float) -> list[float]:
    """Points spread by weather to come and stretched, around their middle, on a log scale."""
    middle = log(left[_MIDDLE] + _SOFT)
    found = []
    for demand, normal in zip(left, _NORMAL, strict=True):
        own = log(demand + _SOFT) - middle
        spread = (own**2 + weather * normal**2) ** 0.5 * width
        off = spread if normal > 0 else -spread
        found.append(max(0.0, exp(middle + off) - _SOFT))
    return found


def _probe(plant: Plant, days: float, at: float, first: float) -> float:
    """Days until the probe: the 35 % point within its bounds."""
    if plant.probed is not None:
        return max(days, plant.probed + _APART - at, 0.0)
    began = plant.cycle.began if plant.cycle is not None else at
    return max(0.0, min(days, began + first - at)) if not plant.cycles else days
