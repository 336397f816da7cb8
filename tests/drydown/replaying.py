"""Simulated households replayed through the model, as `potside forecast` would."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from core.care.drydown import filter as drying
from core.care.drydown import prior
from core.care.drydown.clock import in_days
from core.care.drydown.forecast import Forecast, days_left, forecast
from core.care.drydown.reports import Report, of_values, of_word
from core.care.drydown.scoring import Case
from core.care.drydown.state import House, Plant
from core.care.reading import Wetness
from core.care.situation import Extent, Situation
from core.knowledge.types import Habit
from tests.drydown.people import Life, Snapshot
from tests.drydown.simulator import STEP, Event, Household

NEW_YEAR = datetime(2025, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Scored:
    """A forecast in its place."""

    shot: Snapshot
    habit: Habit
    case: Case


class Model:
    """The model's state of one household, fed with what its people tell."""

    def __init__(self, house: Household) -> None:
        self.start = NEW_YEAR + timedelta(days=house.start_doy - 1)
        self.of = house
        self.house: House = drying.new_house(self.start)
        self.plants: list[Plant] = [
            drying.new_plant(prior.log_days(_situation(house, i), target), target)
            for i, target in enumerate(house.target.tolist())
        ]

    def moment(self, day: float) -> datetime:
        """The moment of a day of the simulation."""
        return self.start + timedelta(days=day)

    def tell(self, event: Event) -> None:
        """Take in one event."""
        at = self.moment(event.day)
        if event.kind == "vpd":
            self.house = drying.room_measured(self.house, at, event.value)
            return
        plant = self.plants[event.plant]
        if event.kind == "poured":
            extent = Extent.HALF if event.value == "half" else Extent.THROUGH
            plant, self.house = drying.watered(plant, self.house, at, extent)
        else:
            seen = drying.observe(plant, self.house, at, _report(event))
            plant, self.house = seen.plant, seen.house
        self.plants[event.plant] = plant

    def days(self, plant: int, day: float) -> dict[int, float]:
        """The points of a forecast."""
        target = float(self.of.target[plant])
        return days_left(self.plants[plant], self.house, in_days(self.moment(day)), target)

    def forecast(self, plant: int, day: float) -> Forecast:
        """The whole forecast."""
        through = self.of.habit[plant] is Habit.DRY_THROUGH
        return forecast(
            self.plants[plant], self.house, self.moment(day), dries_through=through
        )  # fmt: skip


def _situation(house: Household, i: int) -> Situation:
    return Situation(
        habit=house.habit[i],
        light=house.light[i],
        terracotta=bool(house.terracotta[i]),
        fill_depth_m=float(house.height_cm[i]) / 100,
    )


def _report(event: Event) -> Report:
    return of_values(event.value) if event.kind == "reading" else of_word(Wetness(event.value))


def replay(life: Life) -> Iterator[Scored]:
    """Every forecast of a household beside what came."""
    model = Model(life.house)
    shots = {(s.plant, s.step, s.what): s for s in life.snapshots}
    for event in life.events:
        model.tell(event)
        what = "watered" if event.kind == "poured" else "probed"
        shot = shots.get((event.plant, round(event.day / STEP), what))
        if shot is not None:
            yield _scored(model, shot, event)


def _scored(model: Model, shot: Snapshot, event: Event) -> Scored:
    gone = event.day - shot.watered_day
    days = model.days(event.plant, event.day)
    case = Case(days, shot.truth, max(0.0, shot.naive - gone), max(0.0, 7.0 - gone))
    return Scored(shot, model.of.habit[event.plant], case)


def replayed(lives: Iterable[Life]) -> list[Scored]:
    """The same of many households."""
    return [scored for life in lives for scored in replay(life)]
