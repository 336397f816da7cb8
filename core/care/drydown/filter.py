"""What happens to a pot and what it teaches: the events go through here, in time order.

Every function takes the pot and its household and returns both anew; nothing is changed in place,
so a journal told again gives the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from types import MappingProxyType
from typing import Final

import numpy as np

from core.care.drydown import cycle as grids
from core.care.drydown import grid
from core.care.drydown.alarm import watched
from core.care.drydown.clock import Clock, in_days
from core.care.drydown.grid import Floats
from core.care.drydown.hidden import Suspicion, suspicion
from core.care.drydown.memory import evidence
from core.care.drydown.pooling import expected, learn, own_at, share
from core.care.drydown.reports import Report
from core.care.drydown.state import (
    Belief,
    Cycle,
    House,
    Plant,
    Told,
    Watch,
    shape_counts,
)
from core.care.situation import Extent

Pair = tuple[Plant, House]

# How much of what is missing a watering gives back, and how unsure that is (ours).
_GIVEN: Final[Mapping[Extent, float]] = MappingProxyType(
    {Extent.SIP: 0.3, Extent.HALF: 0.6, Extent.THROUGH: 1.0}
)
_MOST_TOLD: Final = 16
_MOST_SHAPES: Final = 12.0  # cycles' worth of memory for the shape
_MOST_SOAKED: Final = 12.0
_SURE_OF_HIDDEN: Final = 1.5
# A cycle cut off before this share of its way has shown the start of a curve, not its days: it
# counts with so much more variance of the log (ours; rain and early waterings cut the slow ones).
_NEARLY_WHOLE: Final = 0.75
_CUT_SHORT: Final = 1.0
# After a repotting, a move or new light the first two cycles raise no alarm.
_EXCUSED: Final = 2
# Variance of the log of days that a change of pot or place brings (ours): another pot is nearly
# another plant; another spot another light.
_REPOTTED: Final = 0.25
_MOVED: Final = 0.12


@dataclass(frozen=True, slots=True)
class Observed:
    """A report taken in. `suspicion`: somebody may have watered; `settled`: it was taken so."""

    plant: Plant
    house: House
    suspicion: Suspicion | None = None
    settled: bool = False


def new_house(moment: datetime, latitude: float = 50.0) -> House:
    """A household nothing is known of, at a latitude in degrees north."""
    return House(clock=Clock.start(moment, latitude))


def new_plant(guess: float, reference: float) -> Plant:
    """A pot nothing is known of; `guess` from `prior.log_days`, `reference` its usual target."""
    return Plant(guess=guess, reference=reference, shapes=shape_counts(reference))


def room_measured(house: House, moment: datetime, deficit_kpa: float) -> House:
    """The household once its air was measured (vapour pressure deficit, kPa)."""
    return replace(house, clock=house.clock.measured_at(moment, deficit_kpa))


def watered(plant: Plant, house: House, moment: datetime, extent: Extent = Extent.THROUGH) -> Pair:
    """Close the cycle and begin the next."""
    at = in_days(moment)
    start = _after(plant, house, at, extent)
    plant, house = _closed(plant, house, at)
    cycle = Cycle(began=at, origin=house.clock.demand(at), start=start)
    return replace(plant, cycle=cycle), house


def observe(
    plant: Plant, house: House, moment: datetime, report: Report, *, settle: bool = True
) -> Observed:
    """Take in one report.

    With `settle` a watering that nobody told is taken as sure when the odds are plain; without,
    the caller asks first, and then calls `watered_unseen` or goes on.
    """
    at = in_days(moment)
    cycle = _with(plant, house, at, report)
    plant = replace(plant, cycle=cycle, probed=at)
    doubt = suspicion(plant, cycle, expected(plant, house, at))
    if doubt is not None and settle and doubt.odds > _SURE_OF_HIDDEN:
        plant, house = watered_unseen(plant, house, moment, doubt)
        return Observed(plant, house, doubt, settled=True)
    said, house = _said(plant, cycle, house, at)
    return Observed(replace(plant, share=said), house, doubt)


def heard(plant: Plant, house: House, moment: datetime, report: Report) -> Pair:
    """The same as `observe` without settling, and without looking for what nobody told."""
    at = in_days(moment)
    cycle = _with(plant, house, at, report)
    said, house = _said(plant, cycle, house, at)
    return replace(plant, cycle=cycle, probed=at, share=said), house


def _with(plant: Plant, house: House, at: float, report: Report) -> Cycle:
    """The open cycle with one more report."""
    cycle = plant.cycle or _met(house, at, report)
    demand = round(house.clock.demand(at) - cycle.origin, 6)
    return replace(cycle, told=_thinned((*cycle.told, Told(demand, *report))))


def watered_unseen(plant: Plant, house: House, moment: datetime, doubt: Suspicion) -> Pair:
    """The pot was watered when `doubt` says: close the cycle there, keep the reports since."""
    cycle = plant.cycle
    if cycle is None or doubt.index >= len(cycle.told):
        raise ValueError("this doubt is not about the open cycle")
    at = in_days(moment)
    passed = cycle.told[-1].demand - doubt.after
    began = at - passed / house.clock.rate(at)
    since = tuple(
        told._replace(demand=round(told.demand - doubt.after, 6))
        for told in cycle.told[doubt.index :]
    )
    before = replace(plant, cycle=replace(cycle, told=cycle.told[: doubt.index]))
    plant, house = _closed(before, house, at)
    fresh = Cycle(began=began, origin=cycle.origin + doubt.after, told=since)
    said, house = _said(plant, fresh, house, at)
    return replace(plant, cycle=fresh, share=said), house


def repotted(plant: Plant, house: House, moment: datetime, guess: float) -> Pair:
    """A new pot or mix, with a new guess: the household's part stays, the pot's own mostly goes."""
    at = in_days(moment)
    shift = plant.guess - guess
    plant, house = _changed(plant, house, at, _REPOTTED)
    own = Belief(plant.own.precision, plant.own.weight + plant.own.precision * shift)
    shapes = shape_counts(plant.reference)
    plant = replace(plant, guess=guess, own=own, shapes=shapes, cycles=0, cycle=None)
    return _told(plant, house, at)


def moved(plant: Plant, house: House, moment: datetime, guess: float) -> Pair:
    """Another spot or light, with a new guess: the difference from the guess is kept, less sure."""
    at = in_days(moment)
    plant, house = _changed(plant, house, at, _MOVED)
    if plant.cycle is not None:
        plant = replace(plant, cycle=_kept_on(plant, house, at, plant.cycle))
    return _told(replace(plant, guess=guess), house, at)


def excused(plant: Plant) -> Plant:
    """Something explains a change of pace: an outer pot emptied, a heater, a lamp."""
    return replace(plant, watch=Watch(excused=_EXCUSED))


def gone(plant: Plant, house: House) -> House:
    """The household without this plant."""
    return replace(house, pooled=house.pooled - plant.share)


def wetness_now(plant: Plant, house: House, at: float) -> float:
    """Mean wetness, 0 (reading 1) to 1 (reading 10), at a time in days since 1970."""
    if plant.cycle is None:
        return _soaked(plant) / 2
    cycle = plant.cycle
    found = evidence(plant, cycle.told)
    weights = grids.posterior(plant, cycle, expected(plant, house, at), found).weights
    demand = max(0.0, house.clock.demand(at) - cycle.origin)
    reading = float(np.sum(weights * np.minimum(grid.readings(plant.reference, demand), 10.0)))
    return grid.wetness(reading)


def _after(plant: Plant, house: House, at: float, extent: Extent) -> float | None:
    """Wetness a watering leaves; None for a usual one."""
    if extent is Extent.THROUGH:
        return None
    before, soaked = wetness_now(plant, house, at), _soaked(plant)
    return round(before + _GIVEN[extent] * (soaked - before), 6)


def _soaked(plant: Plant) -> float:
    return float(grids.shares(plant.soaked) @ grid.STARTS)


def _met(house: House, at: float, report: Report) -> Cycle:
    """The cycle of a pot first met by a report, its watering unknown."""
    start = grid.wetness(min(10.0, max(1.0, report.middle)))
    return Cycle(began=at, origin=house.clock.demand(at), start=round(start, 6))


def _thinned(told: tuple[Told, ...]) -> tuple[Told, ...]:
    """At most so many: the one nearest after another goes, never the first or the last two."""
    if len(told) <= _MOST_TOLD:
        return told
    gaps = [told[k].demand - told[k - 1].demand for k in range(1, len(told) - 2)]
    drop = 1 + gaps.index(min(gaps))
    return told[:drop] + told[drop + 1 :]


def _said(plant: Plant, cycle: Cycle, house: House, at: float) -> tuple[Belief, House]:
    """Tell the household what the open cycle shows so far."""
    found = evidence(plant, cycle.told)
    return share(plant, house, at, grids.told(plant, cycle, expected(plant, house, at), found))


def _told(plant: Plant, house: House, at: float) -> Pair:
    """Tell the household what closed cycles show."""
    said, house = share(plant, house, at, Belief())
    return replace(plant, share=said), house


def _closed(plant: Plant, house: House, at: float) -> Pair:
    """Learn from the open cycle and drop it."""
    cycle = plant.cycle
    if cycle is None or not cycle.told:
        return replace(plant, cycle=None), house
    before = expected(plant, house, at)
    found = evidence(plant, cycle.told)
    belief = grids.told(plant, cycle, before, found)
    if grids.gone(plant, cycle) < _NEARLY_WHOLE:
        belief = belief.faded(_CUT_SHORT)
    watch = watched(plant, house, at)
    shapes, soaked = _curve(plant, cycle, grids.posterior(plant, cycle, before, found))
    plant, house = learn(plant, house, at, belief)
    plant = replace(plant, cycle=None, shapes=shapes, soaked=soaked, watch=watch)
    return _told(plant, house, at)


def _curve(plant: Plant, cycle: Cycle, after: grids.Posterior) -> tuple[grids.Counts, grids.Counts]:
    """Shape and start counts once a cycle is over."""
    shapes = _counted(plant.shapes, after.shapes, _MOST_SHAPES)
    if cycle.start is not None:
        return shapes, plant.soaked
    return shapes, _counted(plant.soaked, after.starts, _MOST_SOAKED)


def _counted(counts: grids.Counts, seen: Floats, most: float) -> grids.Counts:
    """Counts with one more, the oldest fading."""
    found = np.array(counts) + seen
    found *= min(1.0, most / float(found.sum()))
    return tuple(round(float(count), 9) for count in found)


def _changed(plant: Plant, house: House, at: float, variance: float) -> Pair:
    """Close nothing, doubt what is known, and hold the alarm."""
    own = own_at(plant, at).faded(variance)
    return replace(plant, own=own, own_at=at, watch=Watch(excused=_EXCUSED)), house


def _kept_on(plant: Plant, house: House, at: float, cycle: Cycle) -> Cycle:
    """The open cycle as it stands, begun anew: what was told is of another place."""
    start = wetness_now(plant, house, at)
    origin = house.clock.demand(at)
    return Cycle(began=cycle.began, origin=origin, start=round(start, 6))
