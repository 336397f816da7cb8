"""The open cycle on the grid: the exact posterior, and what it says in a few numbers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from core.care.drydown import grid
from core.care.drydown.grid import Floats
from core.care.drydown.pooling import Expected
from core.care.drydown.state import Belief, Cycle, Plant, Told

Counts = tuple[float, ...]

_TAILS: Final = 8.0  # degrees of freedom of the prior: pots surprise
_TOLD_SD: Final = 0.15  # of a start that was told
_SHORT: Final = 0.04  # a watering that gave less, at each lower start
_BROAD: Final = 2.0  # prior sd with which a cycle is told to the household
_LEAST_TAUGHT: Final = 0.05  # share of variance reports must take away to be worth telling
# While a pot still reads near 10 its reports only say "not fast", which a normal can't: they tell
# nothing until this share of the way from 10 to the reference is seen to be gone (ours).
_FALLING: Final = 0.3
_HALF_MARK: Final = 0.5


@dataclass(frozen=True, slots=True)
class Posterior:
    """Weights over [shape, start, log], summing to one."""

    weights: Floats

    @property
    def shapes(self) -> Floats:
        """Weights of the shapes."""
        return np.asarray(self.weights.sum(axis=(1, 2)))

    @property
    def starts(self) -> Floats:
        """Weights of the starts."""
        return np.asarray(self.weights.sum(axis=(0, 2)))


def start_weights(soaked: Counts, start: float | None) -> Floats:
    """Prior of the wetness the watering left: as this pot's others, or as it was told."""
    if start is None:
        return shares(soaked)
    weights = np.exp(-0.5 * ((grid.STARTS - start) / _TOLD_SD) ** 2)
    weights /= weights.sum()
    weights[start > grid.STARTS] += _SHORT
    return np.asarray(weights / weights.sum())


def shares(counts: Counts) -> Floats:
    """Counts as weights."""
    found = np.array(counts)
    return np.asarray(found / found.sum())


def log_weights(expected: Expected) -> Floats:
    """Heavy-tailed prior of the log of days."""
    off = (grid.LOGS - expected.mean) ** 2 / expected.variance
    return np.asarray((1 + off / _TAILS) ** (-(_TAILS + 1) / 2))


def one(reference: float, told: Told, since: float = 0.0) -> Floats:
    """The chance of one report at each node, of a watering at that demand of the cycle."""
    expected = grid.readings(reference, max(told.demand - since, 0.0))
    return grid.likelihood(expected, told.low, told.high, told.sd)


def curve_prior(plant: Plant, cycle: Cycle) -> Floats:
    """Prior over [shape, start]; not to be written to."""
    return _curve_prior(plant.shapes, plant.soaked, cycle.start)


@lru_cache(maxsize=1024)
def _curve_prior(shapes: Counts, soaked: Counts, start: float | None) -> Floats:
    found = np.outer(shares(shapes), start_weights(soaked, start))
    found.flags.writeable = False
    return found


def posterior(plant: Plant, cycle: Cycle, expected: Expected, found: Floats) -> Posterior:
    """Prior times likelihood."""
    weights = found * curve_prior(plant, cycle)[:, :, None]
    weights *= log_weights(expected)
    weights /= weights.sum()
    return Posterior(weights)


def gone(plant: Plant, cycle: Cycle) -> float:
    """Share of the way from reading 10 to the reference that some report saw gone, at least."""
    least = min((told.high for told in cycle.told), default=10.0 + _HALF_MARK)
    return (10.0 + _HALF_MARK - least) / (10.0 - plant.reference)


def by_logs(curves: Floats, found: Floats) -> Floats:
    """What is found for each log of days, over the shapes and starts as they weigh."""
    return np.asarray(curves.ravel() @ found.reshape(-1, len(grid.LOGS)))


def told(plant: Plant, cycle: Cycle, expected: Expected, found: Floats) -> Belief:
    """What the reports alone say of the log of days, as a normal likelihood."""
    if gone(plant, cycle) < _FALLING:
        return Belief()
    flat = by_logs(curve_prior(plant, cycle), found)
    variance = expected.variance * _BROAD**2
    flat *= np.exp(-0.5 * (grid.LOGS - expected.mean) ** 2 / variance)
    flat /= flat.sum()
    mean = float(flat @ grid.LOGS)
    left = float(flat @ (grid.LOGS - mean) ** 2) + _WIDTH
    if left > (1 - _LEAST_TAUGHT) * variance:
        return Belief()
    precision = 1 / left - 1 / variance
    return Belief(precision, mean / left - expected.mean / variance)


# Nodes stand for the stretch around them.
_WIDTH: Final = float(grid.LOGS[1] - grid.LOGS[0]) ** 2 / 12
