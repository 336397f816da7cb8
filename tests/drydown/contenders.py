"""Ours and the prototype behind one face, so that both are scored by the same harness."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Protocol

from core.care.drydown import filter as drying
from core.care.drydown import prior
from core.care.drydown.clock import in_days
from core.care.drydown.forecast import days_left
from core.care.drydown.reports import Report
from core.care.situation import Extent, Situation
from core.knowledge.types import Habit, LightClass
from tests.drydown.prototype import Prototype, log_days


class Contender(Protocol):
    """A model of one household's pots, told events in time order."""

    def room(self, moment: datetime, kpa: float) -> None: ...
    def watered(self, k: int, moment: datetime, extent: Extent) -> None: ...
    def observe(self, k: int, moment: datetime, report: Report) -> None: ...
    def days(self, k: int, moment: datetime) -> dict[int, float]: ...


Maker = Callable[[datetime, Sequence[Situation], Sequence[float]], Contender]


class Ours:
    """The model of core/care/drydown."""

    def __init__(
        self, start: datetime, situations: Sequence[Situation], targets: Sequence[float]
    ) -> None:
        self.house = drying.new_house(start)
        self.targets = list(targets)
        self.plants = [
            drying.new_plant(prior.log_days(situation, target), target)
            for situation, target in zip(situations, targets, strict=True)
        ]

    def room(self, moment: datetime, kpa: float) -> None:
        self.house = drying.room_measured(self.house, moment, kpa)

    def watered(self, k: int, moment: datetime, extent: Extent) -> None:
        self.plants[k], self.house = drying.watered(self.plants[k], self.house, moment, extent)

    def observe(self, k: int, moment: datetime, report: Report) -> None:
        seen = drying.observe(self.plants[k], self.house, moment, report)
        self.plants[k], self.house = seen.plant, seen.house

    def days(self, k: int, moment: datetime) -> dict[int, float]:
        return days_left(self.plants[k], self.house, in_days(moment), self.targets[k])


# The prototype's thirst and light (low at a quarter of the dim light's, as it came to advise).
_THIRST = {Habit.NEVER_DRY: 3.0, Habit.TOP_DRY: 1.7, Habit.HALF_DRY: 1.7}
_LITTLE = 0.7
_LIGHT = dict(zip(LightClass, (0.55, 0.8, 1.1, 1.5), strict=True))


class Theirs:
    """The prototype."""

    def __init__(
        self, start: datetime, situations: Sequence[Situation], targets: Sequence[float]
    ) -> None:
        guesses = [
            log_days(
                100 * situation.fill_depth_m,
                target,
                _THIRST.get(situation.habit, _LITTLE),
                _LIGHT[situation.light or LightClass.MEDIUM],
                clay=situation.terracotta,
            )
            for situation, target in zip(situations, targets, strict=True)
        ]
        self.model = Prototype(guesses, list(targets), in_days(start))

    def room(self, moment: datetime, kpa: float) -> None:
        self.model.room(in_days(moment), kpa)

    def watered(self, k: int, moment: datetime, extent: Extent) -> None:
        self.model.watered(k, in_days(moment), extent.value)

    def observe(self, k: int, moment: datetime, report: Report) -> None:
        self.model.observe(k, in_days(moment), report)

    def days(self, k: int, moment: datetime) -> dict[int, float]:
        return self.model.days(k, in_days(moment))
