"""What a plant's events teach of its drying: each event as a step of the drying model.

A plant keeps its own part in its state; what its household's pots have in common goes along in
`Home`, so that events are taken in the order in which they happened in the whole household.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from core.care.drydown import filter as model
from core.care.drydown import prior
from core.care.drydown.clock import in_days
from core.care.drydown.forecast import days_left
from core.care.drydown.reports import of_readings
from core.care.drydown.state import House, Plant
from core.care.interval import first_guess, latitude, look, target, window
from core.care.reading import Found
from core.care.situation import Extent, Situation
from core.care.window import ProbeWindow
from core.journal.portrait import Home, Portrait, portrait
from core.journal.state import PlantState

Step = tuple[PlantState, Home]
Taught = tuple[Plant | None, Home]


def house_of(home: Home, at: datetime) -> House:
    """What the household's pots have in common; nothing yet in a household that begins `at`."""
    return home.house or model.new_house(at, latitude(home.hemisphere))


def _kept(state: PlantState, home: Home, plant: Plant, house: House) -> Step:
    return replace(state, drying=plant), replace(home, house=house)


def _begun(situation: Situation) -> Plant:
    line = prior.target(situation)
    return model.new_plant(prior.log_days(situation, line), line)


def described(state: PlantState, home: Home, at: datetime, *, repotted: bool = False) -> Step:
    """Something about plant, pot or place became known or changed: another guess."""
    seen = portrait(state, home)
    house, plant = house_of(home, at), state.drying
    if seen.unmeasured:
        if plant is not None:
            home = replace(home, house=model.gone(plant, house))
        return replace(state, drying=None), home
    if plant is None:
        return _kept(state, home, _begun(seen.situation), house)
    line = prior.target(seen.situation)
    guess = prior.log_days(seen.situation, line)
    if repotted:
        plant, house = model.repotted(plant, house, at, guess)
    elif guess != plant.guess or line != plant.reference:
        plant, house = model.moved(plant, house, at, guess)
    else:
        return state, home
    return _kept(state, home, replace(plant, reference=line), house)


def poured(plant: Plant | None, home: Home, at: datetime, extent: str) -> Taught:
    """Somebody watered: the cycle is closed and teaches, the next begins."""
    if plant is None:
        return plant, home
    plant, house = model.watered(plant, house_of(home, at), at, Extent(extent))
    return plant, replace(home, house=house)


def probed(plant: Plant | None, home: Home, at: datetime, found: Found) -> Taught:
    """Somebody probed; a weighed pot comes as a reading of the whole.

    A pot found wetter than it was isn't taken as watered: they are asked.
    """
    report = of_readings(found.readings)
    if plant is None or report is None:
        return plant, home
    plant, house = model.heard(plant, house_of(home, at), at, report)
    return plant, replace(home, house=house)


def excused(state: PlantState, home: Home) -> Step:
    """Something explains a change of pace: no alarm for two dry-downs, while the pot is learned."""
    plant = state.drying
    if plant is None:
        return state, home
    return replace(state, drying=model.excused(plant)), home


def left(state: PlantState, home: Home) -> Step:
    """The plant is no longer of the household."""
    plant = state.drying
    if plant is None or home.house is None:
        return state, home
    return replace(state, drying=None), replace(home, house=model.gone(plant, home.house))


def next_probe(plant: Plant | None, home: Home, at: datetime, seen: Portrait) -> ProbeWindow:
    """When to look at a plant next, or to probe its pot; `seen` is its portrait."""
    looked = look(seen.situation, seen.past, at)
    return looked or by_drying(plant, home, at, seen)


def by_drying(plant: Plant | None, home: Home, at: datetime, seen: Portrait) -> ProbeWindow:
    """When to probe a pot next by what its drying has shown."""
    if plant is None:
        return first_guess(seen.situation, seen.past, at)
    return window(plant, house_of(home, at), seen.situation, at)


def dry_since(plant: Plant | None, home: Home, at: datetime, seen: Portrait) -> datetime | None:
    """When the open cycle most likely came to its line, for a pot found dry at `at`."""
    if plant is None or plant.cycle is None or seen.past.last_watered_at is None:
        return None
    began = plant.cycle.began
    days = days_left(plant, house_of(home, at), began, target(seen.situation, at))[50]
    return at - timedelta(days=max(0.0, in_days(at) - began - days))
