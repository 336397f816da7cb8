"""The first prototype's model, written down from its description, to be scored beside ours.

A grid of 3 shapes by 4 starts by 41 times inside a cycle, a joint Kalman filter of household and
pots across cycles. Its constants are its own; the intercept it learned in its own simulator is left
out, as is advised for homes.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import cos, exp, log, pi

import numpy as np
from numpy.typing import NDArray

from core.care.drydown.reports import Report
from core.care.drydown.scoring import POINTS

Floats = NDArray[np.float64]

SHAPES = 1 - np.array([0.10, 0.50, 0.85])
SHAPE_WEIGHTS = np.array([0.3, 0.4, 0.3])
STARTS_Z = np.array([-1.15, -0.32, 0.32, 1.15])
TIMES_Z = np.linspace(-4.0, 4.0, 41)
WEATHER_Z = np.array([-1.5, -0.5, 0.5, 1.5])
HOUSE_SD, POT_SD, CYCLE_SD = 0.6, 0.35, 0.12
EXTENT = {"sip": 0.6, "half": 0.75, "through": 0.89}


def log_days(height_cm: float, reading: float, thirst: float, light: float, *, clay: bool) -> float:
    """Its prior: 2.6 mm/cm by share used, over soil and plant losses in mm a day."""
    lost = 1.1 * (1.6 if clay else 1.0) + thirst * light
    return log(2.6 * height_cm * (1 - (reading - 1) / 9) / lost)


@dataclass(slots=True)
class _Cycle:
    origin: float
    logs: Floats
    weights: Floats  # [shape, start, time]
    starts: Floats
    prior: tuple[float, float]
    last: float = 0.0


@dataclass(slots=True)
class Prototype:
    """One household."""

    guesses: list[float]
    targets: list[float]
    day: float  # days since 1970
    mean: Floats = field(init=False)
    cov: Floats = field(init=False)
    shapes: list[Floats] = field(init=False)
    starts: list[float] = field(init=False)
    closed: list[int] = field(init=False)
    cycles: dict[int, _Cycle] = field(default_factory=dict)
    demand: float = 0.0
    kpa: float | None = None

    def __post_init__(self) -> None:
        n = len(self.guesses)
        self.mean = np.zeros(n + 1)
        self.cov = np.diag([HOUSE_SD**2, *[POT_SD**2] * n])
        self.shapes = [SHAPE_WEIGHTS.copy() for _ in range(n)]
        self.starts, self.closed = [0.89] * n, [0] * n

    def _rate(self) -> float:
        return self.kpa or 1 - 0.15 * cos(2 * pi * (self.day + 1 - 15) / 365)

    def _advance(self, day: float) -> None:
        passed = max(0.0, day - self.day)
        self.demand += passed * self._rate()
        drift = np.diag([0.001 * passed, *[0.0006 * passed] * len(self.guesses)])
        caps = np.array([HOUSE_SD**2, *[POT_SD**2] * len(self.guesses)])
        room = np.maximum(0.0, caps - np.diag(self.cov))
        self.cov += np.minimum(drift, np.diag(room))
        self.day = max(self.day, day)

    def room(self, day: float, kpa: float) -> None:
        """The room's deficit."""
        self._advance(day)
        self.kpa = max(0.1, kpa)

    def watered(self, i: int, day: float, extent: str = "through") -> None:
        """Close the cycle, open the next."""
        self._advance(day)
        self._close(i)
        self._open(i, self.demand, EXTENT[extent] - 0.89)

    def _expected(self, i: int) -> tuple[float, float, Floats]:
        pick = np.zeros(len(self.mean))
        pick[[0, i + 1]] = 1
        variance = float(pick @ self.cov @ pick) + CYCLE_SD**2
        return self.guesses[i] + float(pick @ self.mean), variance, pick

    def _open(self, i: int, origin: float, shift: float) -> None:
        mean, variance, _ = self._expected(i)
        starts = self.starts[i] + shift + 0.17 * STARTS_Z
        tails = (1 + TIMES_Z**2 / 5) ** -3
        weights = self.shapes[i][:, None, None] * np.full(4, 0.25)[None, :, None] * tails
        logs = mean + variance**0.5 * TIMES_Z
        self.cycles[i] = _Cycle(origin, logs, weights / weights.sum(), starts, (mean, variance))

    def _curve(self, i: int, cycle: _Cycle, demand: float) -> Floats:
        end = (self.targets[i] - 1) / 9
        q = SHAPES[:, None, None]
        start = np.maximum(cycle.starts, 0.05)[None, :, None] ** q
        left = start - (1 - end**q) * max(demand, 0.0) / np.exp(cycle.logs)
        return np.asarray(1 + 9 * np.maximum(left, 0.0) ** (1 / q))

    def observe(self, i: int, day: float, report: Report) -> None:
        """Take in a report; a watering nobody told is settled by its odds."""
        self._advance(day)
        if i not in self.cycles:
            return
        cycle = self.cycles[i]
        demand = self.demand - cycle.origin
        curve = self._curve(i, cycle, demand)
        chance = self._chance(curve, report)
        stayed = float((cycle.weights * chance).sum())
        if report.middle > float((cycle.weights * curve).sum()) + 1 and stayed < 0.06:
            gap = demand - cycle.last
            fresh = [self._fresh_chance(i, cycle, share * gap, report) for share in (0.9, 0.5, 0.1)]
            odds = 0.03 * max(gap, 0.25) * float(np.mean(fresh)) / stayed
            if odds > 1.5:
                since = (0.9, 0.5, 0.1)[int(np.argmax(fresh))] * gap
                self._close(i)
                self._open(i, self.demand - since, 0.0)
                cycle, demand = self.cycles[i], since
                chance = self._chance(self._curve(i, cycle, demand), report)
        cycle.weights *= chance**0.6
        cycle.weights /= cycle.weights.sum()
        cycle.last = demand

    def _fresh_chance(self, i: int, cycle: _Cycle, since: float, report: Report) -> float:
        weights = cycle.weights.sum(axis=1)[:, None, :] / 4
        starts, cycle.starts = cycle.starts, self.starts[i] + 0.17 * STARTS_Z
        chance = self._chance(self._curve(i, cycle, since), report)
        cycle.starts = starts
        return float((weights * chance).sum())

    @staticmethod
    def _chance(curve: Floats, report: Report) -> Floats:
        slope = 1.702 / report.sd
        high = 1.0 if report.high >= 10.5 else 1 / (1 + np.exp(slope * (curve - report.high)))
        low = 0.0 if report.low <= 0.5 else 1 / (1 + np.exp(slope * (curve - report.low)))
        return np.asarray(0.96 * (high - low) + 0.04 * (report.high - report.low) / 10)

    def _close(self, i: int) -> None:
        cycle = self.cycles.pop(i, None)
        if cycle is None or not cycle.last:
            return
        times = cycle.weights.sum(axis=(0, 1))
        mean = float(times @ cycle.logs)
        variance = float(times @ (cycle.logs - mean) ** 2)
        before, wide = cycle.prior
        self.shapes[i] = 0.8 * self.shapes[i] + 0.2 * cycle.weights.sum(axis=(1, 2))
        start = float(cycle.weights.sum(axis=(0, 2)) @ cycle.starts)
        self.starts[i] += 0.2 * (start - self.starts[i])
        if variance >= 0.95 * wide:
            return
        precision = 1 / variance - 1 / wide
        found = (mean / variance - before / wide) / precision
        self._learn(i, found, 1 / precision)
        self.closed[i] += 1

    def _learn(self, i: int, found: float, variance: float) -> None:
        mean, total, pick = self._expected(i)
        total += variance
        off = found - mean
        if off**2 > 9 * total:
            total = off**2 / 9
        gain = self.cov @ pick / total
        self.mean = self.mean + gain * off
        self.cov = self.cov - np.outer(gain, pick @ self.cov)

    def days(self, i: int, day: float) -> dict[int, float]:
        """Its forecast."""
        self._advance(day)
        if i not in self.cycles:
            self._open(i, self.demand, 0.0)
        cycle = self.cycles[i]
        q, end = SHAPES[:, None, None], (self.targets[i] - 1) / 9
        share = np.maximum(cycle.starts, 0.05)[None, :, None] ** q - end**q
        whole = np.maximum(share, 0.0) / (1 - end**q) * np.exp(cycle.logs)
        left = np.maximum(whole - (self.demand - cycle.origin), 0.0).ravel()
        every = (left[:, None] * np.exp(0.15 * WEATHER_Z)[None, :]).ravel()
        weights = np.repeat(cycle.weights.ravel() / len(WEATHER_Z), len(WEATHER_Z))
        order = np.argsort(every)
        place = np.cumsum(weights[order]) - weights[order] / 2
        said = np.interp(np.array(POINTS) / 100, place, every[order]) / self._rate()
        width = 0.85 if self.closed[i] >= 2 else 1.0
        middle = log(said[POINTS.index(50)] + 1)
        wide = [max(0.0, exp(middle + width * (log(one + 1) - middle)) - 1) for one in said]
        return dict(zip(POINTS, wide, strict=True))
