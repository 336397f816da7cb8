"""The drying curve on a fixed grid: its shape, how wet it begins, how long it takes.

Wetness m is 1 at reading 10 and 0 at reading 1. In demand D since the watering it falls as

    m^q = m0^q - (1 - m_ref^q) D exp(-L)

L is the log of the demand-days from reading 10 to the reference reading. q = 2 starts slowly and
ends fast, 1 is a straight line, 1/2 and 1/10 start fast and end slowly. Only powers that cost no
more than multiplications are used.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SHAPES: Final[Floats] = np.array([2.0, 1.0, 0.5, 0.1])
STARTS: Final[Floats] = np.array([0.30, 0.55, 0.78, 1.00, 1.25])
LOGS: Final[Floats] = np.linspace(-1.2, 5.4, 48)
SIZE: Final = (len(SHAPES), len(STARTS), len(LOGS))

_POWERS: Final[Floats] = STARTS[None, :] ** SHAPES[:, None]
_FALL: Final[Floats] = np.exp(-LOGS)

# The logistic curve with this slope is the normal one within a hundredth.
_SLOPE: Final = 1.702
# One report in thirty is about another pot, another place, or a slip.
_SLIP: Final = 0.03
_MARKS: Final = 10.0
_LOWEST, _HIGHEST = 0.5, 10.5


def wetness(reading: float) -> float:
    """Wetness of a reading on the scale 1 to 10."""
    return (reading - 1) / 9


@dataclass(frozen=True, slots=True)
class Scale:
    """What a reference reading makes of the grid: the fall per demand-day, [shape, 1, log]."""

    drop: Floats
    fall: Floats


@lru_cache(maxsize=64)
def scale(reference: float) -> Scale:
    """The grid for a reference reading over 1 and under 10."""
    drop = 1 - wetness(reference) ** SHAPES
    return Scale(drop, drop[:, None, None] * _FALL[None, None, :])


def readings(reference: float, demand: float) -> Floats:
    """What a meter should read after so much demand, [shape, start, log]; over 10 is possible."""
    rest = _POWERS[:, :, None] - demand * scale(reference).fall
    np.maximum(rest, 0.0, out=rest)
    np.sqrt(rest[0], out=rest[0])
    rest[2] *= rest[2]
    square = rest[3] * rest[3]
    eighth = square * square
    eighth *= eighth
    np.multiply(eighth, square, out=rest[3])
    rest *= 9.0
    rest += 1.0
    return rest


def likelihood(expected: Floats, low: float, high: float, sd: float) -> Floats:
    """Chance of a report between two readings, of a meter with this sd, given what is expected.

    `low` under 1 and `high` over 10 are open ends.
    """
    slope = _SLOPE / sd
    middle = (max(low, _LOWEST) + min(high, _HIGHEST)) / 2
    grown = np.exp(slope * (expected - middle))
    inside = 1.0
    if high < _HIGHEST:
        inside = 1 / (1 + grown * np.exp(-slope * (high - middle)))
    if low > _LOWEST:
        inside = inside - 1 / (1 + grown * np.exp(-slope * (low - middle)))
    slip = _SLIP * (min(high, _HIGHEST) - max(low, _LOWEST)) / _MARKS
    return np.asarray((1 - _SLIP) * inside + slip)


@dataclass(frozen=True, slots=True)
class Ending:
    """Demand from the watering to a target for every node, twice, in order; and its node."""

    demand: Floats
    order: NDArray[np.intp]


@lru_cache(maxsize=256)
def ending(reference: float, target: float) -> Ending:
    """When the curves reach a target reading (over 1 and under 10)."""
    share = (_POWERS - (wetness(target) ** SHAPES)[:, None]) / scale(reference).drop[:, None]
    # A node stands for a stretch of logs: half of it goes a quarter of a step to either side.
    apart = np.exp(np.array([-1, 1]) * (LOGS[1] - LOGS[0]) / 4)
    demand = (np.maximum(share, 0.0)[:, :, None] * np.exp(LOGS)).ravel()
    both = np.outer(apart, demand).ravel()
    order = np.argsort(both, kind="stable")
    return Ending(both[order], order % len(demand))
