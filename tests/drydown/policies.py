"""Closed loop: who decides when to probe; and the alarm on pots that are slowed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.care.drydown.alarm import Pace, alarm
from core.care.drydown.clock import in_days
from tests.drydown.people import Life, Policy, live
from tests.drydown.replaying import OurModel
from tests.drydown.simulator import Event, household

MONTH = 30.4


@dataclass(frozen=True, slots=True)
class Loop:
    """What a policy costs and brings, per plant and month where it says so."""

    probes: float
    too_wet: float  # share of waterings
    late: float  # days past the target by half a mark or more


def closed_loop(seeds: range, days: float, name: str) -> Loop:
    """Let a policy decide: "three days", "mean interval" or "ours"."""
    houses = [household(seed, days) for seed in seeds]
    models = [OurModel(house) for house in houses]
    waterings: dict[tuple[int, int], list[float]] = {}

    def tell(house: int, event: Event) -> None:
        models[house].tell(event)
        if event.kind == "poured":
            waterings.setdefault((house, event.plant), []).append(event.day)

    policies: dict[str, Policy] = {
        "three days": lambda _house, _plant, _day: 3.0,
        "two and a half days": lambda _house, _plant, _day: 2.5,
        "mean interval": lambda house, plant, day: _mean(waterings[house, plant], day),
        "ours": lambda house, plant, day: (
            models[house].forecast(plant, day).probe_in.total_seconds() / 86400
        ),
    }
    lives = live(houses, days, policies[name], tell)
    return _loop(lives, days)


def _mean(poured: list[float], day: float) -> float:
    """Days until a mean interval after the last watering; a day on once that is past."""
    usual = float(np.mean(np.diff(poured))) if len(poured) > 1 else 7.0
    return max(1.0, poured[-1] + usual - day)


def _loop(lives: list[Life], days: float) -> Loop:
    months = days / MONTH * sum(len(life.house.habit) for life in lives)
    wet = [wet for life in lives for wet in life.too_wet]
    probes = sum(life.probes for life in lives)
    late = sum(life.late_days for life in lives)
    return Loop(probes / months, float(np.mean(wet)), late / months)


@dataclass(frozen=True, slots=True)
class Alarms:
    """Share of slowed pots noticed in time, of those that had a past; false alarms a year."""

    pots: int
    noticed: float
    false_a_year: float


@dataclass(slots=True)
class _Pot:
    """One pot as the alarm sees it."""

    slowed: bool
    waterings_since: int = 0
    noticed: bool = False
    on: bool = False
    false: int = 0
    known: bool = False


def alarms(seeds: range, slow_from: float, days: float) -> Alarms:
    """Pots of even number run at half speed from a day on; who notices?"""
    lives = live([household(seed, days) for seed in seeds], days, slow_from=slow_from)
    pots = [pot for life in lives for pot in _watch(life, slow_from)]
    slowed = [pot for pot in pots if pot.slowed and pot.known]
    years = sum(slow_from if pot.slowed else days for pot in pots) / 365
    noticed = float(np.mean([pot.noticed for pot in slowed]))
    return Alarms(len(slowed), noticed, sum(pot.false for pot in pots) / years)


def _watch(life: Life, slow_from: float) -> list[_Pot]:
    model = OurModel(life.house)
    pots = [_Pot(slowed=i % 2 == 0) for i in range(len(life.house.habit))]
    for event in life.events:
        model.tell(event)
        if event.plant < 0:
            continue
        pot = pots[event.plant]
        after = pot.slowed and event.day >= slow_from
        if after and event.kind == "poured":
            pot.waterings_since += 1
        _note(pot, model, event, after=after)
    return pots


def _note(pot: _Pot, model: OurModel, event: Event, *, after: bool) -> None:
    plant = model.inner.plants[event.plant]
    if not after:
        pot.known = plant.cycles >= 5
    found = alarm(plant, model.inner.house, in_days(model.moment(event.day)))
    if found is None:
        pot.on = pot.on and event.kind != "poured"
        return
    if not after:
        pot.false += not pot.on
    elif found.pace is Pace.SLOW and pot.waterings_since < 3:
        pot.noticed = True
    pot.on = True
