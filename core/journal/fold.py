"""Adding up a plant's events: each event makes the next state from the one before.

Pure, and the only place where the meaning of an event is worked out, so that a replay of
the journal always gives what was kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from core.care.decision import Verdict
from core.care.dose import mean_reading
from core.care.errands import later
from core.care.intake import Drink
from core.care.interval import ProbeWindow as Guess
from core.care.interval import cycle_seen, first_guess
from core.care.reading import Found, Layer, Level
from core.care.situation import Extent
from core.care.verdict import judge
from core.care.weighing import Ends, learn
from core.journal.events import (
    Arrived,
    Body,
    Checked,
    Described,
    Drained,
    Left,
    Moved,
    Postponed,
    Poured,
    Repotted,
    Tended,
)
from core.journal.judging import AT_THE_LINE, UNEVEN, summary
from core.journal.ledger import Entry
from core.journal.portrait import Home, of_layer, past_of, portrait, with_weight
from core.journal.state import NEVER, PlantState, Probed, ProbeWindow, Watered

# How many dry-downs and waterings of a pot are remembered; older ones were another season (ours).
DRYDOWNS_KEPT = 8
DRINKS_KEPT = 8
LOWEST_MARK = 1.0
DAY = timedelta(days=1)

Fold = Callable[[PlantState, Any, Entry, Home], PlantState]


def fold_all(entries: Iterable[Entry], home: Home) -> PlantState:
    """A plant from its standing events in order; one whose arrival was undone never was."""
    state = PlantState(name="", left_at=NEVER)
    for entry in entries:
        state = fold(state, entry, home)
    return state


def fold(state: PlantState, entry: Entry, home: Home) -> PlantState:
    """The state after one event."""
    step = _STEPS.get(type(entry.body))
    return step(state, entry.body, entry, home) if step is not None else state


def verdict_of(state: PlantState, found: Found, at: datetime, home: Home) -> Verdict:
    """What the rules say of a check, given what was known of the plant before it."""
    seen = portrait(state, home)
    return judge(with_weight(found, seen.ends), seen.situation, past_of(state), at)


# --- arrival and description --------------------------------------------------------------


def _arrived(before: PlantState, body: Arrived, entry: Entry, home: Home) -> PlantState:
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
    )
    return _guess_anew(state, at, home)


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
)


def _described(state: PlantState, body: Described, entry: Entry, home: Home) -> PlantState:
    told = {name: getattr(body, name) for name in _DESCRIBED if getattr(body, name) is not None}
    return _guess_anew(replace(state, **told), entry.happened_at, home)


def _moved(state: PlantState, body: Moved, entry: Entry, home: Home) -> PlantState:
    return _guess_anew(replace(state, spot=body.spot), entry.happened_at, home)


def _repotted(state: PlantState, body: Repotted, entry: Entry, home: Home) -> PlantState:
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
    return _guess_anew(state, entry.happened_at, home)


def _left(state: PlantState, body: Left, entry: Entry, _home: Home) -> PlantState:
    return replace(state, left_at=entry.happened_at, left_because=body.reason)


# --- probing ------------------------------------------------------------------------------


def _checked(state: PlantState, body: Checked, entry: Entry, home: Home) -> PlantState:
    at = entry.happened_at
    verdict = verdict_of(state, body.found, at, home)
    state = _dryness(state, verdict, body.found, at)
    state = _weighed(state, body.found, at)
    ready = verdict.decision in AT_THE_LINE
    if ready and state.ready_at is None and state.watered is not None:
        days = _dry_down(state, verdict, at, home) / DAY
        state = replace(state, drydowns_d=(*state.drydowns_d, days)[-DRYDOWNS_KEPT:])
    return replace(
        state,
        probed=Probed(at, entry.person_id, body.found),
        judged=summary(verdict),
        ready_at=(state.ready_at or at) if ready else state.ready_at,
        uneven=state.uneven + 1 if verdict.reason in UNEVEN else 0,
        probe=_window(verdict.next_probe, at),
    )


def _dry_down(state: PlantState, verdict: Verdict, at: datetime, home: Home) -> timedelta:
    """From the last watering to the line, as this check shows it."""
    took = at - state.watered.at if state.watered is not None else timedelta(0)
    if verdict.deep is None:
        return took
    return cycle_seen(portrait(state, home).situation, at, took, verdict.deep)


def _dryness(state: PlantState, verdict: Verdict, found: Found, at: datetime) -> PlantState:
    """When it was last not dry, first dry all over, and since when the deep reads 1."""
    if found.level is not None:
        empty = (state.empty_since or at) if found.level is Level.EMPTY else None
        state = replace(state, empty_since=empty)
    if verdict.deep is not None:
        since = (state.deep_one_since or at) if verdict.deep <= LOWEST_MARK else None
        state = replace(state, deep_one_since=since)
    if verdict.not_dry:
        return replace(state, last_not_dry_at=at, first_dry_at=None)
    if verdict.all_dry:
        return replace(state, first_dry_at=state.first_dry_at or at)
    return state


def _weighed(state: PlantState, found: Found, at: datetime) -> PlantState:
    """A pot that is weighed after a watering, or when it reads dry, teaches its two weights."""
    if found.weight_kg is None:
        return state
    watered = state.watered
    through = watered is not None and watered.extent == Extent.THROUGH.value
    ends = learn(
        Ends(state.wet_kg, state.dry_kg),
        found.weight_kg,
        since_watering=at - watered.at if watered is not None and through else None,
        deep=of_layer(found.readings, Layer.DEEP),
    )
    return replace(state, wet_kg=ends.wet_kg, dry_kg=ends.dry_kg)


# --- watering -----------------------------------------------------------------------------


def _poured(state: PlantState, body: Poured, entry: Entry, home: Home) -> PlantState:
    at = entry.happened_at
    seen = portrait(state, home)
    reading = mean_reading(seen.middle, seen.deep)
    drinks = state.drinks
    if body.litres is not None and reading is not None:
        drink = Drink(body.litres, body.run_off_l or 0.0, reading, body.full)
        drinks = (*drinks, drink)[-DRINKS_KEPT:]
    watered = Watered(at, entry.person_id, body.litres, body.extent)
    if body.extent == "sip":
        # A little on the dry side leaves the rest of the pot as it was.
        state = replace(state, watered=watered, drinks=drinks, judged=None)
        return replace(state, probe=_window(first_guess(*_view(state, home), at), at))
    state = replace(
        state,
        watered=watered,
        drinks=drinks,
        last_not_dry_at=None,
        first_dry_at=None,
        deep_one_since=None,
        empty_since=None,
        ready_at=None,
        judged=None,
    )
    return replace(state, probe=_window(first_guess(*_view(state, home), at), at))


def _view(state: PlantState, home: Home) -> tuple[Any, Any]:
    seen = portrait(state, home)
    return seen.situation, seen.past


def _postponed(state: PlantState, body: Postponed, entry: Entry, _home: Home) -> PlantState:
    """One probe or errand moved, never the rhythm."""
    if body.act:
        return replace(state, tended={**state.tended, later(body.act): body.until})
    then = max(body.until, entry.happened_at)
    latest = max(then, state.probe.latest) if state.probe else then
    return replace(state, probe=ProbeWindow(then, then, latest))


def _drained(state: PlantState, _body: Drained, entry: Entry, _home: Home) -> PlantState:
    return replace(state, drained_at=entry.happened_at)


def _tended(state: PlantState, body: Tended, entry: Entry, _home: Home) -> PlantState:
    at = entry.happened_at
    found = {"pests": at} if body.found else {}
    return replace(state, tended={**state.tended, body.act: at, **found})


# --- the next probe -----------------------------------------------------------------------


def _guess_anew(state: PlantState, at: datetime, home: Home) -> PlantState:
    """Something about plant, pot or place changed: judge the last reading again, or guess."""
    if state.probed is None or (state.watered and state.watered.at > state.probed.at):
        return replace(state, probe=_window(first_guess(*_view(state, home), at), at))
    verdict = verdict_of(state, state.probed.found, at, home)
    return replace(state, judged=summary(verdict), probe=_window(verdict.next_probe, at))


def _window(guess: Guess | None, at: datetime) -> ProbeWindow:
    """Moments for a guess; where water comes first the plant is due now, until it is watered."""
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
    Repotted: _repotted,
    Left: _left,
}
