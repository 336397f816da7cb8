"""How good the forecasts would have been on a household's own journal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from core.care.drydown.clock import in_days
from core.care.drydown.forecast import days_left
from core.care.drydown.hindsight import Hindsight, Judged
from core.care.drydown.reports import of_readings
from core.care.interval import target
from core.journal.drying import house_of
from core.journal.events import Checked, Poured
from core.journal.fold import fold
from core.journal.ledger import Entry
from core.journal.portrait import Home, portrait, with_weight
from core.journal.state import UNBORN, PlantState


def look_back(entries: Iterable[Entry], home: Home) -> Iterator[Judged]:
    """Every forecast of its standing events, in order, beside what came.

    At each watering and probe the days are asked for with what was known then and there. Pots that
    are not probed (grown in water, watered from below) have none.
    """
    home = replace(home, house=None)
    states: dict[int, PlantState] = {}
    pots: dict[int, Hindsight] = {}
    for entry in entries:
        if entry.plant_id is None:
            continue
        before = states.get(entry.plant_id, UNBORN)
        state, home = fold(before, entry, home)
        states[entry.plant_id] = state
        yield from _judged(pots.setdefault(entry.plant_id, Hindsight()), state, entry, home)
    for pot in pots.values():
        yield from pot.ended()


def _judged(pot: Hindsight, state: PlantState, entry: Entry, home: Home) -> Iterator[Judged]:
    """What one event says of the forecasts before it, and the forecast it asks for itself."""
    at, body = entry.happened_at, entry.body
    if isinstance(body, Poured):
        yield from pot.poured(at)
        _ask(pot, state, entry, home, watered=True)
    if not isinstance(body, Checked):
        return
    seen = portrait(state, home)
    report = of_readings(with_weight(body.found, seen.ends).readings)
    if report is None:
        return
    line = target(seen.situation, at)
    yield from pot.found(at, report, line)
    if report.middle > line:
        _ask(pot, state, entry, home, watered=False)


def _ask(pot: Hindsight, state: PlantState, entry: Entry, home: Home, *, watered: bool) -> None:
    plant, at = state.drying, entry.happened_at
    if plant is None or not pot.begun:
        return
    line = target(portrait(state, home).situation, at)
    pot.asked(at, days_left(plant, house_of(home, at), in_days(at), line), watered=watered)
