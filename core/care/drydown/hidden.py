"""Waterings nobody told: a pot found wetter than it was."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from core.care.drydown import cycle as grids
from core.care.drydown import grid
from core.care.drydown.grid import Floats
from core.care.drydown.memory import evidence
from core.care.drydown.pooling import Expected
from core.care.drydown.state import Cycle, Plant, Told

# Somebody waters without telling about once in half a year and pot (ours); it may have been at the
# beginning, the middle or the end of the time between two reports.
_A_DAY: Final = 0.006
_WHEN: Final = (0.1, 0.5, 0.9)
# Wetter by this many marks than the report before: worth the arithmetic.
_WETTER: Final = 1.0
_LOOK_BACK: Final = 2


@dataclass(frozen=True, slots=True)
class Suspicion:
    """Odds that the pot was watered before report number `index` of the open cycle.

    `after`: demand of the cycle at which that was, most likely.
    """

    odds: float
    index: int
    after: float


def suspicion(plant: Plant, cycle: Cycle, expected: Expected) -> Suspicion | None:
    """The likeliest hidden watering before one of the last two reports; None when none rose."""
    first = max(1, len(cycle.told) - _LOOK_BACK)
    every = [
        _at(plant, cycle, expected, k)
        for k in range(first, len(cycle.told))
        if wetter(cycle.told, k)
    ]
    return max(every, key=lambda found: found.odds, default=None)


def wetter(told: tuple[Told, ...], index: int) -> bool:
    """Whether a report found the pot wetter than the one before it, by a mark or more."""
    return told[index].report.middle >= told[index - 1].report.middle + _WETTER


def _at(plant: Plant, cycle: Cycle, expected: Expected, index: int) -> Suspicion:
    before, after = cycle.told[:index], cycle.told[index:]
    weights = grids.posterior(plant, cycle, expected, evidence(plant, before)).weights
    stayed = float(np.sum(weights * _chance(plant, after, 0.0)))
    last, gap = before[-1].demand, after[0].demand - before[-1].demand
    fresh = grids.shares(plant.soaked)
    again = weights.sum(axis=1)[:, None, :] * fresh[None, :, None]
    moments = [last + share * gap for share in _WHEN]
    chances = [float(np.sum(again * _chance(plant, after, moment))) for moment in moments]
    best = int(np.argmax(chances))
    prior = min(0.5, _A_DAY * max(gap, 0.25))
    odds = prior / (1 - prior) * sum(chances) / len(chances) / max(stayed, 1e-12)
    return Suspicion(odds, index, moments[best])


def _chance(plant: Plant, told: tuple[Told, ...], since: float) -> Floats:
    """Chance of some reports at each node, of a watering at that demand of the cycle."""
    found = np.ones(grid.SIZE)
    for each in told:
        found *= grids.one(plant.reference, each, since)
    return found
