"""How forecasts are scored: error, coverage, and coverage where some truths were cut short."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

POINTS = (10, 25, 35, 50, 75, 90)
Days = Mapping[int, float]


@dataclass(frozen=True, slots=True)
class Case:
    """One forecast and what came: `truth` in days, `cut` if it is only known to be later."""

    days: Days
    truth: float
    naive: float
    fixed: float
    cut: bool = False


@dataclass(frozen=True, slots=True)
class Score:
    """Figures over many cases; errors in days, NaN where there is nothing to count."""

    n: int
    cut: int
    truth: float
    error: float
    naive: float
    fixed: float
    half: float  # coverage of 25-75
    wide: float  # coverage of 10-90

    def __str__(self) -> str:
        """One row of a table."""
        return (
            f"{self.n:7d} ({self.cut:5d}) truth {self.truth:5.1f}  error {self.error:5.2f}"
            f"  mean interval {self.naive:5.2f}  7 days {self.fixed:5.2f}"
            f"  50% {self.half:.2f}  80% {self.wide:.2f}"
        )


def score(cases: Iterable[Case]) -> Score:
    """Score forecasts by the protocol."""
    every = list(cases)
    seen = [case for case in every if not case.cut]
    if not seen:
        return Score(0, len(every), *[float("nan")] * 6)
    truth = np.array([case.truth for case in seen])
    said = np.array([[case.days[point] for point in POINTS] for case in seen])
    other = np.array([(case.naive, case.fixed) for case in seen])
    errors = np.abs(np.column_stack([said[:, POINTS.index(50)], other]) - truth[:, None])
    error, naive, fixed = errors.mean(axis=0).tolist()
    half, wide = _coverage(every)
    return Score(
        len(seen), len(every) - len(seen), float(np.median(truth)),
        error, naive, fixed, half, wide,
    )  # fmt: skip


def least_errors(cases: Iterable[Case]) -> tuple[float, float, float]:
    """Errors of the 50 % point, the mean interval and 7 days, cut cases counted as well.

    A cut truth lies somewhere later: a forecast before the cut is off by at least what is between,
    one after it by nothing that is known. NaN where there is no case.
    """
    every = list(cases)
    if not every:
        return (float("nan"),) * 3
    truth = np.array([case.truth for case in every])
    cut = np.array([case.cut for case in every])
    said = np.array([(case.days[50], case.naive, case.fixed) for case in every])
    short = truth[:, None] - said
    off = np.where(cut[:, None], np.maximum(short, 0.0), np.abs(short))
    ours, naive, fixed = off.mean(axis=0).tolist()
    return ours, naive, fixed


def _coverage(cases: list[Case]) -> tuple[float, float]:
    if not any(case.cut for case in cases):
        return _share(cases, 25, 75), _share(cases, 10, 90)
    places = np.array([percentile(case.days, case.truth) for case in cases])
    cut = np.array([case.cut for case in cases])
    return tuple(
        below(places, cut, high, inclusive=True) - below(places, cut, low, inclusive=False)
        for low, high in ((25.0, 75.0), (10.0, 90.0))
    )  # type: ignore[return-value]


def _share(cases: list[Case], low: int, high: int) -> float:
    return float(np.mean([c.days[low] <= c.truth <= c.days[high] for c in cases]))


def percentile(days: Days, truth: float) -> float:
    """Where a truth lies in its own forecast, 0 to 100; 5 and 95 stand for beyond the ends."""
    points = np.array([days[point] for point in POINTS])
    if truth < points[0]:
        return 5.0
    if truth > points[-1]:
        return 95.0
    # Equal points (a pot that may be dry already): the one nearest to the middle of the range.
    exact = np.flatnonzero(points == truth)
    if len(exact):
        return float(min((POINTS[k] for k in exact), key=lambda point: abs(point - 50)))
    return float(np.interp(truth, points, POINTS))


def below(
    places: NDArray[np.float64], cut: NDArray[np.bool_], limit: float, *, inclusive: bool
) -> float:
    """Kaplan-Meier estimate of the share of percentiles under (or up to) a limit."""
    alive = 1.0
    for place in np.unique(places[~cut]):
        if place > limit or (place == limit and not inclusive):
            break
        at_risk = np.count_nonzero(places >= place)
        alive *= 1 - np.count_nonzero((places == place) & ~cut) / at_risk
    return 1 - alive


def undecided(cases: Iterable[Case]) -> bool:
    """Whether so much was cut short that coverage says nothing."""
    every = list(cases)
    cut = sum(case.cut for case in every)
    beyond = any(not c.cut and c.truth > c.days[90] for c in every)
    return cut > len(every) / 2 and not beyond
