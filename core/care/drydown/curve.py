"""The fitted curves of a pot's cycles, and how long one usually is: for charts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import exp
from typing import Final

import numpy as np

from core.care.drydown import cycle as grids
from core.care.drydown import grid
from core.care.drydown.clock import in_days
from core.care.drydown.memory import evidence
from core.care.drydown.pooling import expected
from core.care.drydown.reports import Report
from core.care.drydown.state import Cycle, House, Plant, Told

_POINTS: Final = np.array([0.1, 0.5, 0.9])
_LOWEST, _HIGHEST = 1.0, 10.0


@dataclass(frozen=True, slots=True)
class Band:
    """What a deep reading should be at a moment: 10, 50 and 90 % points, 1 to 10."""

    at: datetime
    low: float
    middle: float
    high: float


def curve(
    plant: Plant, house: House, now: datetime, moments: Iterable[datetime]
) -> tuple[Band, ...]:
    """The open cycle as known now, at moments from its watering on; empty without a cycle."""
    cycle = plant.cycle
    if cycle is None:
        return ()
    return _bands(plant, house, cycle, in_days(now), moments)


def past_curve(
    plant: Plant,
    house: House,
    began: datetime,
    told: Sequence[tuple[datetime, Report]],
    moments: Iterable[datetime],
) -> tuple[Band, ...]:
    """A cycle that is over, by its own reports and by what is known of the pot today."""
    at = in_days(began)
    origin = house.clock.demand(at)
    heard = tuple(
        Told(round(house.clock.demand(in_days(moment)) - origin, 6), *report)
        for moment, report in told
    )
    return _bands(plant, house, Cycle(began=at, origin=origin, told=heard), at, moments)


def _bands(
    plant: Plant, house: House, cycle: Cycle, at: float, moments: Iterable[datetime]
) -> tuple[Band, ...]:
    found = evidence(plant, cycle.told)
    weights = grids.posterior(plant, cycle, expected(plant, house, at), found).weights.ravel()
    return tuple(
        _band(moment, plant, house.clock.demand(in_days(moment)) - cycle.origin, weights)
        for moment in moments
    )


def _band(moment: datetime, plant: Plant, demand: float, weights: grid.Floats) -> Band:
    readings = grid.readings(plant.reference, max(0.0, demand)).ravel()
    order = np.argsort(readings, kind="stable")
    place = np.cumsum(weights[order]) - weights[order] / 2
    points = np.interp(_POINTS, place, readings[order])
    low, middle, high = np.clip(points, _LOWEST, _HIGHEST).tolist()
    return Band(moment, low, middle, high)


def usual_cycle(plant: Plant, house: House, now: datetime) -> timedelta:
    """From reading 10 to this pot's reference at the present pace, as its past has it."""
    at = in_days(now)
    return timedelta(days=exp(expected(plant, house, at).mean) / house.clock.rate(at))
