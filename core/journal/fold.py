"""Adding up a plant's events: each event makes the next state from the one before.

Pure, and the only place where the meaning of an event is worked out, so that a replay of
the journal always gives what was kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from typing import Any, Final

from core.care.decision import Verdict
from core.care.dose import mean_reading
from core.care.drydown.filter import room_measured
from core.care.drydown.state import Plant
from core.care.drydown.vapour import deficit_kpa
from core.care.errands import later
from core.care.intake import Drink
from core.care.interval import cycle_seen
from core.care.reading import Found, Layer, Level
from core.care.situation import Extent
from core.care.verdict import judge
from core.care.weighing import Ends, learn
from core.care.window import ProbeWindow as Guess
from core.journal import drying
from core.journal.drying import Step
from core.journal.events import (
    Aired,
    Arrived,
    Body,
    Checked,
    Described,
    Drained,
    Left,
    Looked,
    Moved,
    Postponed,
    Poured,
    Repotted,
    Tended,
)
from core.journal.judging import AT_THE_LINE, UNEVEN, summary
from core.journal.ledger import Entry
from core.journal.portrait import Home, Portrait, anew, of_layer, portrait, with_weight
from core.journal.state import NEVER, UNBORN, PlantState, Probed, ProbeWindow, Watered
from core.knowledge.types import Habit

# How many dry-downs and waterings of a pot are remembered; older ones were another season (ours).
DRYDOWNS_KEPT = 8
DRINKS_KEPT = 8
LOWEST_MARK = 1.0
DAY = timedelta(days=1)

Changes = dict[str, Any]  # of a plant's state, by name: they are made all at once
Fold = Callable[[PlantState, Any, Entry, Home], Step]


def fold_all(entries: Iterable[Entry], home: Home, state: PlantState = UNBORN) -> PlantState:
    """A plant after some of its standing events in order, as the only one that has any."""
    for entry in entries:
        state, home = fold(state, entry, home)
    return state


def fold_household(entries: Iterable[Entry], home: Home) -> tuple[dict[int, PlantState], Home]:
    """All plants of a household from its standing events in order, and what they share."""
    states: dict[int, PlantState] = {}
    return states, fold_on(states, entries, replace(home, house=None))


def fold_on(states: dict[int, PlantState], entries: Iterable[Entry], home: Home) -> Home:
    """Add more events to the plants of a household; the household after them."""
    for entry in entries:
        if entry.plant_id is not None:
            before = states.get(entry.plant_id, UNBORN)
            states[entry.plant_id], home = fold(before, entry, home)
        else:
            home = fold_home(entry, home)
    return home


def fold_home(entry: Entry, home: Home) -> Home:
    """The household after an event about none of its plants."""
    body = entry.body
    if isinstance(body, Aired) and body.humidity is not None:
        deficit = deficit_kpa(body.celsius, body.humidity)
        house = room_measured(drying.house_of(home, entry.happened_at), entry.happened_at, deficit)
        return replace(home, house=house)
    return home


def fold(state: PlantState, entry: Entry, home: Home) -> Step:
    """The plant after one event, and the household after what it taught."""
    step = _STEPS.get(type(entry.body))
    return step(state, entry.body, entry, home) if step is not None else (state, home)


def verdict_of(state: PlantState, found: Found, at: datetime, home: Home) -> Verdict:
    """What the rules say of a check, given what was known of the plant before it."""
    return _verdict(state.drying, found, at, home, portrait(state, home))


def _verdict(
    plant: Plant | None, found: Found, at: datetime, home: Home, seen: Portrait
) -> Verdict:
    past, dries = seen.past, partial(drying.by_drying, plant, home, at, seen)
    if seen.situation.habit_at(at) is Habit.DRY_THROUGH:
        past = replace(past, dry_by_drying=drying.dry_since(plant, home, at, seen))
    return judge(with_weight(found, seen.ends), seen.situation, past, at, dries)


# --- arrival and description --------------------------------------------------------------


def _arrived(before: PlantState, body: Arrived, entry: Entry, home: Home) -> Step:
    """The plant begins. What was told of the days before it was on the list stays."""
    at = entry.happened_at
    state = replace(
        before,
        left_at=None if before.left_at == NEVER else before.left_at,
        name=body.name,
        species_id=body.species_id,
        species_said=body.species_said,
        pot=body.pot,
        mix=body.mix,
        spot=body.spot,
        arrived_at=at,
        bought_at=at if body.bought else None,
        repotted_at=at if body.repotted else None,
        terrarium=body.terrarium,
    )
    return _anew(*drying.described(state, home, at), at)


_DESCRIBED = (
    "name",
    "species_id",
    "species_said",
    "pot",
    "depth",
    "hole",
    "outer",
    "self_watering",
    "mix",
    "wet_kg",
    "dry_kg",
    "resting",
    "terrarium",
)


def _described(state: PlantState, body: Described, entry: Entry, home: Home) -> Step:
    told = {name: getattr(body, name) for name in _DESCRIBED if getattr(body, name) is not None}
    at = entry.happened_at
    state, home = drying.described(replace(state, **told), home, at)
    if body.outer:
        state, home = drying.excused(state, home)
    return _anew(state, home, at)


def _moved(state: PlantState, body: Moved, entry: Entry, home: Home) -> Step:
    at = entry.happened_at
    state, home = drying.described(replace(state, spot=body.spot), home, at)
    return _anew(*drying.excused(state, home), at)


def _looked(state: PlantState, _body: Looked, _entry: Entry, home: Home) -> Step:
    """Whatever was found, somebody knows: no more alarms while the pot shows its new pace."""
    return drying.excused(state, home)


def _repotted(state: PlantState, body: Repotted, entry: Entry, home: Home) -> Step:
    """New mix is a new pot: what the old one showed is forgotten."""
    told: dict[str, Any] = {"mix": body.mix} if body.mix else {}
    if body.pot is not None:
        told |= {"pot": body.pot, "depth": "", "hole": None, "outer": None, "self_watering": None}
    state = replace(
        state,
        repotted_at=entry.happened_at,
        drydowns_d=(),
        drinks=(),
        wet_kg=None,
        dry_kg=None,
        uneven=0,
        **told,
    )
    at = entry.happened_at
    return _anew(*drying.described(state, home, at, repotted=True), at)


def _left(state: PlantState, body: Left, entry: Entry, home: Home) -> Step:
    state = replace(state, left_at=entry.happened_at, left_because=body.reason)
    return drying.left(state, home)


# --- probing ------------------------------------------------------------------------------


def _checked(state: PlantState, body: Checked, entry: Entry, home: Home) -> Step:
    state, home, _, _ = fold_check(state, body, entry, home)
    return state, home


def fold_check(
    state: PlantState, body: Checked, entry: Entry, home: Home
) -> tuple[PlantState, Home, Portrait, Verdict]:
    """The plant and its household after a check, its portrait from before, its verdict in full."""
    at, found, seen = entry.happened_at, body.found, portrait(state, home)
    plant, home = drying.probed(state.drying, home, at, with_weight(found, seen.ends))
    verdict = _verdict(plant, found, at, home, seen)
    after = replace(
        state,
        **_dryness(state, verdict, found, at),
        **_weighed(state, found, at),
        **_at_the_line(state, verdict, at, seen),
        probed=Probed(at, entry.person_id, found),
        judged=summary(verdict),
        uneven=state.uneven + 1 if verdict.reason in UNEVEN else 0,
        probe=_window(state, verdict.next_probe, at),
        drying=plant,
    )
    return after, home, seen, verdict


def _at_the_line(state: PlantState, verdict: Verdict, at: datetime, seen: Portrait) -> Changes:
    """The first check that finds a pot ready ends its dry-down."""
    if verdict.decision not in AT_THE_LINE or state.ready_at is not None:
        return {}
    if state.watered is None:
        return {"ready_at": at}
    days = _dry_down(state.watered, verdict, at, seen) / DAY
    return {"ready_at": at, "drydowns_d": (*state.drydowns_d, days)[-DRYDOWNS_KEPT:]}


def _dry_down(watered: Watered, verdict: Verdict, at: datetime, seen: Portrait) -> timedelta:
    """From the last watering to the line, as this check shows it."""
    took = at - watered.at
    return took if verdict.deep is None else cycle_seen(seen.situation, at, took, verdict.deep)


def _dryness(state: PlantState, verdict: Verdict, found: Found, at: datetime) -> Changes:
    """When it was last not dry, first dry all over, and since when the deep reads 1."""
    told: Changes = {}
    if found.level is not None:
        told["empty_since"] = (state.empty_since or at) if found.level is Level.EMPTY else None
    if verdict.deep is not None:
        lowest = verdict.deep <= LOWEST_MARK
        told["deep_one_since"] = (state.deep_one_since or at) if lowest else None
    if verdict.not_dry:
        return told | {"last_not_dry_at": at, "first_dry_at": None}
    if verdict.all_dry:
        return told | {"first_dry_at": state.first_dry_at or at}
    return told


def _weighed(state: PlantState, found: Found, at: datetime) -> Changes:
    """A pot that is weighed after a watering, or when it reads dry, teaches its two weights."""
    if found.weight_kg is None:
        return {}
    watered = state.watered
    through = watered is not None and watered.extent == Extent.THROUGH.value
    ends = learn(
        Ends(state.wet_kg, state.dry_kg),
        found.weight_kg,
        since_watering=at - watered.at if watered is not None and through else None,
        deep=of_layer(found.readings, Layer.DEEP),
    )
    return {"wet_kg": ends.wet_kg, "dry_kg": ends.dry_kg}


# --- watering -----------------------------------------------------------------------------


def _poured(state: PlantState, body: Poured, entry: Entry, home: Home) -> Step:
    at = entry.happened_at
    seen = portrait(state, home)
    plant, home = drying.poured(state.drying, home, at, body.extent)
    reading = mean_reading(seen.middle, seen.deep)
    drinks = state.drinks
    if body.litres is not None and reading is not None:
        drink = Drink(body.litres, body.run_off_l or 0.0, reading, body.full)
        drinks = (*drinks, drink)[-DRINKS_KEPT:]
    by = None if body.unseen else entry.person_id
    watered = Watered(at, by, body.litres, body.extent)
    # A little on the dry side leaves the rest of the pot as it was.
    begun = {} if body.extent == "sip" else _BEGUN
    state = replace(state, watered=watered, drinks=drinks, judged=None, drying=plant, **begun)
    return _waits(state, home, at, anew(seen, state))


_BEGUN: Final[Changes] = dict.fromkeys(
    ("last_not_dry_at", "first_dry_at", "deep_one_since", "empty_since", "ready_at")
)


def _postponed(state: PlantState, body: Postponed, entry: Entry, home: Home) -> Step:
    """One probe or errand moved, never the rhythm."""
    if body.act:
        return replace(state, tended={**state.tended, later(body.act): body.until}), home
    then = max(body.until, entry.happened_at)
    latest = state.probe.latest if state.probe else then
    return replace(state, probe=ProbeWindow(then, then, latest)), home


def _drained(state: PlantState, _body: Drained, entry: Entry, home: Home) -> Step:
    return replace(state, drained_at=entry.happened_at), home


def _tended(state: PlantState, body: Tended, entry: Entry, home: Home) -> Step:
    at = entry.happened_at
    found = {"pests": at} if body.found else {}
    return replace(state, tended={**state.tended, body.act: at, **found}), home


# --- the next probe -----------------------------------------------------------------------


def _anew(state: PlantState, home: Home, at: datetime) -> Step:
    """Something about plant, pot or place changed: judge the last reading again, or guess."""
    if state.probed is None or (state.watered and state.watered.at > state.probed.at):
        return _waits(state, home, at, portrait(state, home))
    verdict = verdict_of(state, state.probed.found, at, home)
    probe = _window(state, verdict.next_probe, at)
    return replace(state, judged=summary(verdict), probe=probe), home


def _waits(state: PlantState, home: Home, at: datetime, seen: Portrait) -> Step:
    """The pot is left to dry: probe it when it should be ready."""
    guess = drying.next_probe(state.drying, home, at, seen)
    return replace(state, probe=_window(state, guess, at)), home


def _window(state: PlantState, guess: Guess | None, at: datetime) -> ProbeWindow | None:
    """Moments for a guess; where water comes first the plant is due now, until it is watered.

    None in a closed glass, which waters itself.
    """
    if state.terrarium:
        return None
    return ProbeWindow(at, at, at + DAY) if guess is None else ProbeWindow(*guess.at(at))


_STEPS: dict[type[Body], Fold] = {
    Arrived: _arrived,
    Described: _described,
    Moved: _moved,
    Checked: _checked,
    Poured: _poured,
    Drained: _drained,
    Postponed: _postponed,
    Tended: _tended,
    Looked: _looked,
    Repotted: _repotted,
    Left: _left,
}
