"""Simulated households replayed through the model, as `potside forecast` would."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from core.care.drydown.forecast import Forecast, forecast
from core.care.drydown.reports import Report, of_values, of_word
from core.care.drydown.scoring import Case
from core.care.reading import Wetness
from core.care.situation import Extent, Situation
from core.knowledge.types import Habit
from tests.drydown.contenders import Maker, Ours
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
    """A contender's state of one household, fed with what its people tell."""

    def __init__(self, house: Household, make: Maker = Ours) -> None:
        self.start = NEW_YEAR + timedelta(days=house.start_doy - 1)
        self.of = house
        situations = [_situation(house, i) for i in range(len(house.habit))]
        self.inner = make(self.start, situations, house.target.tolist())

    def moment(self, day: float) -> datetime:
        """The moment of a day of the simulation."""
        return self.start + timedelta(days=day)

    def tell(self, event: Event) -> None:
        """Take in one event."""
        at = self.moment(event.day)
        if event.kind == "vpd":
            self.inner.room(at, event.value)
        elif event.kind == "poured":
            extent = Extent.HALF if event.value == "half" else Extent.THROUGH
            self.inner.watered(event.plant, at, extent)
        else:
            self.inner.observe(event.plant, at, _report(event))

    def days(self, plant: int, day: float) -> dict[int, float]:
        """The points of a forecast."""
        return self.inner.days(plant, self.moment(day))


class OurModel(Model):
    """Ours, with all it says besides the days."""

    inner: Ours

    def forecast(self, plant: int, day: float) -> Forecast:
        """The whole forecast."""
        through = self.of.habit[plant] is Habit.DRY_THROUGH
        moment = self.moment(day)
        return forecast(self.inner.plants[plant], self.inner.house, moment, dries_through=through)


def _situation(house: Household, i: int) -> Situation:
    return Situation(
        habit=house.habit[i],
        light=house.light[i],
        terracotta=bool(house.terracotta[i]),
        fill_depth_m=float(house.height_cm[i]) / 100,
    )


def _report(event: Event) -> Report:
    return of_values(event.value) if event.kind == "reading" else of_word(Wetness(event.value))


def replay(life: Life, make: Maker = Ours) -> Iterator[Scored]:
    """Every forecast of a household beside what came."""
    model = Model(life.house, make)
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


def replayed(lives: Iterable[Life], make: Maker = Ours) -> list[Scored]:
    """The same of many households."""
    return [scored for life in lives for scored in replay(life, make)]
