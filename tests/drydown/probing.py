"""Measured series probed as a person would, and forecast after every watering and probe."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from itertools import groupby

import numpy as np

from core.care.drydown.reports import of_values
from core.care.drydown.scoring import Case
from core.care.situation import Extent, Situation
from core.knowledge.types import Habit
from tests.drydown.contenders import Maker, Ours
from tests.drydown.measured import Series

SEED = 1
DRAWS = 5
NOISE = 0.55
THROUGH_FROM = 7.0  # a person sees whether it was a soaking


@dataclass(frozen=True, slots=True)
class Asked:
    """A forecast beside what came: right after a watering, or after a probe."""

    what: str
    cycle: int
    case: Case


@dataclass(slots=True)
class _Pot:
    series: Series
    cycle: int = 0
    poured: float = 0.0
    intervals: tuple[float, ...] = ()

    def water(self, day: float) -> None:
        """A cycle ends, the next begins."""
        if self.cycle:
            self.intervals = (*self.intervals, day - self.poured)
        self.cycle += 1
        self.poured = day


def probed(every: Iterable[Series], make: Maker = Ours) -> list[Asked]:
    """All forecasts for some series, five draws of the person; one house is one household."""
    found: list[Asked] = []
    by_house = {
        house: list(group)
        for house, group in groupby(sorted(every, key=lambda s: s.house), key=lambda s: s.house)
    }
    for draw in range(DRAWS):
        dice = np.random.default_rng([SEED, draw])
        for group in by_house.values():
            found += _household(group, make, dice)
    return found


def _household(group: list[Series], make: Maker, dice: np.random.Generator) -> Iterator[Asked]:
    pots = [_Pot(series) for series in group]
    begin = min(series.start for series in group)
    unknown = [Situation(habit=Habit.HALF_DRY)] * len(group)
    model = make(begin, unknown, [series.target for series in group])
    moments = sorted(
        (series.start + timedelta(days=day), kind, k, at)
        for k, series in enumerate(group)
        for day, kind, at in visits(series, dice)
    )
    for moment, kind, k, at in moments:
        pot, series = pots[k], group[k]
        if series.kpa is not None and np.isfinite(series.kpa[at]):
            model.room(moment, float(series.kpa[at]))
        if kind == 0:
            model.watered(k, moment, extent(series, at))
            pot.water(float(series.days[at]))
            yield _asked(pot, model.days(k, moment), at, "watered")
        elif kind == 1 and pot.cycle:
            found = int(np.clip(round(series.readings[at] + dice.normal(0, NOISE)), 1, 10))
            model.observe(k, moment, of_values([found]))
            if found > series.target - 0.5:
                yield _asked(pot, model.days(k, moment), at, "probed")


def extent(series: Series, at: int) -> Extent:
    """What a person would call it: water that leaves the pot under its target was a sip."""
    if series.readings[at] >= THROUGH_FROM:
        return Extent.THROUGH
    return Extent.HALF if series.readings[at] > series.target else Extent.SIP


def visits(series: Series, dice: np.random.Generator) -> Iterator[tuple[float, int, int]]:
    """Day, kind (0 watered, 1 probed, 2 only the air is told) and index of the value."""
    for at in series.watered:
        yield float(series.days[at]), 0, at
    if series.kpa is not None:
        yield from ((float(day), 2, at) for at, day in enumerate(series.days))
    if series.as_taken:
        rest = set(range(len(series.days))) - set(series.watered)
        yield from ((float(series.days[at]), 1, at) for at in sorted(rest))
        return
    day = float(series.days[0])
    while True:
        day += float(dice.uniform(*series.every))
        at = int(np.searchsorted(series.days, day))
        if at >= len(series.days):
            return
        if at not in series.watered:
            yield float(series.days[at]), 1, at


def _asked(pot: _Pot, days: dict[int, float], at: int, what: str) -> Asked:
    series = pot.series
    day = float(series.days[at])
    truth, cut = _truth(series, at)
    usual = float(np.mean(pot.intervals)) if pot.intervals else 7.0
    gone = day - pot.poured
    case = Case(days, truth, max(0.0, usual - gone), max(0.0, 7.0 - gone), cut)
    return Asked(what, pot.cycle, case)


def _truth(series: Series, at: int) -> tuple[float, bool]:
    """Days until the target, and whether only the end of the drying is known."""
    after = [k for k in series.watered if k > at]
    end = after[0] if after else len(series.days)
    values, days = series.readings[at:end], series.days[at:end]
    under = np.flatnonzero(values <= series.target)
    if not len(under):
        return float(days[-1] - days[0]), True
    first = int(under[0])
    if first == 0:
        return 0.0, False
    fall = values[first - 1] - values[first]
    share = (values[first - 1] - series.target) / fall
    return float(days[first - 1] + share * (days[first] - days[first - 1]) - days[0]), False
