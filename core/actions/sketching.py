"""What a picture of a pot's drying shows: readings, waterings, the curve, what is to come."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from sqlalchemy import Connection

from core.care.decision import Decision
from core.care.drydown.curve import Band, curve, past_curve
from core.care.drydown.forecast import forecast
from core.care.drydown.reports import Report, of_readings
from core.care.drydown.state import House
from core.care.drydown.state import Plant as Model
from core.care.interval import target
from core.care.reading import Layer, Reading
from core.journal import drying, ledger, record
from core.journal.events import Checked, Poured
from core.journal.plants import Plant
from core.journal.portrait import Home, portrait, with_weight
from core.journal.state import ProbeWindow

# So far back a picture looks: a few dry-downs of most pots; and so far ahead at most (ours).
LOOK_BACK = timedelta(days=42)
LOOK_AHEAD = timedelta(days=21)
_FAR_DAYS = 365.0
_STEPS = 60
_PAST_STEPS = 30


@dataclass(frozen=True, slots=True)
class Seen:
    """One check: lowest, mean and highest reading under the surface, 1 to 10."""

    at: datetime
    low: float
    mean: float
    high: float


@dataclass(frozen=True, slots=True)
class Gave:
    """One watering; litres None where nobody said how much."""

    at: datetime
    litres: float | None


@dataclass(frozen=True, slots=True)
class Sketch:
    """A pot's drying around `now`. `ready`: 10, 25, 75 and 90 % moments of reaching `line`.

    `line` is the deep reading at which the habit wants water; `curve` the open cycle's, `past`
    those of the cycles before that were probed; empty parts aren't known. `checks` counts also
    those that told nothing of what is under the surface. `decided`: the last verdict says when
    to look again, and not the drying.
    """

    name: str
    now: datetime
    line: float
    seen: tuple[Seen, ...]
    gave: tuple[Gave, ...]
    curve: tuple[Band, ...]
    ready: tuple[datetime, ...]
    probe: ProbeWindow | None
    past: tuple[tuple[Band, ...], ...] = ()
    checks: int = 0
    decided: bool = False


@dataclass(slots=True)
class _Told:
    """What was told in the time shown. `cycles`: waterings, each with the reports after it."""

    seen: list[Seen]
    gave: list[Gave]
    cycles: list[tuple[datetime, list[tuple[datetime, Report]]]]
    checks: int = 0


def sketch(
    tx: Connection, household_id: int, home: Home, plant: Plant, now: datetime
) -> Sketch | None:
    """The picture of a plant; None for one that is looked at and not probed."""
    model = plant.state.drying
    if model is None or plant.state.terrarium:
        return None
    housed = record.housed(tx, household_id, home)
    house = drying.house_of(housed, now)
    situation = portrait(plant.state, home).situation
    line = target(situation, now)
    told = _told(tx, plant, home, now)
    days = forecast(model, house, now, line).days
    ready = tuple(now + timedelta(days=min(days[point], _FAR_DAYS)) for point in (10, 25, 75, 90))
    watered = plant.state.watered
    moments: list[datetime] = []
    if model.cycle is not None and watered is not None:
        begun = max(watered.at, now - LOOK_BACK)
        step = (min(ready[-1], now + LOOK_AHEAD) - begun) / _STEPS
        moments = [begun + n * step for n in range(_STEPS + 1)]
    bands = curve(model, house, now, moments)
    judged = plant.state.judged
    return Sketch(
        name=plant.name,
        now=now,
        line=line,
        seen=tuple(told.seen),
        gave=tuple(told.gave),
        curve=bands,
        ready=ready,
        probe=plant.state.probe,
        past=tuple(_past(model, house, told, now)),
        checks=told.checks,
        decided=judged is not None and Decision(judged.decision) is not Decision.WAIT,
    )


def _past(model: Model, house: House, told: _Told, now: datetime) -> Iterator[tuple[Band, ...]]:
    """The curve of each cycle that a later watering ended."""
    for (began, reports), (ended, _) in pairwise(told.cycles):
        first = max(began, now - LOOK_BACK)
        step = (ended - first) / _PAST_STEPS
        if reports and step > timedelta(0):
            moments = [first + n * step for n in range(_PAST_STEPS + 1)]
            yield past_curve(model, house, began, reports, moments)


def _told(tx: Connection, plant: Plant, home: Home, now: datetime) -> _Told:
    ends = portrait(plant.state, home).ends
    told = _Told([], [], [])
    for entry in ledger.of_plant(tx, plant.id):
        shown = entry.happened_at >= now - LOOK_BACK
        if isinstance(entry.body, Poured):
            told.cycles.append((entry.happened_at, []))
            if shown:
                told.gave.append(Gave(entry.happened_at, entry.body.litres))
        elif isinstance(entry.body, Checked):
            readings = with_weight(entry.body.found, ends).readings
            report = of_readings(readings)
            if report is not None and told.cycles:
                told.cycles[-1][1].append((entry.happened_at, report))
            if shown:
                told.checks += 1
                told.seen += _seen(entry.happened_at, readings)
    return told


def _seen(at: datetime, readings: Iterable[Reading]) -> list[Seen]:
    values = [one.value for one in readings if one.layer is not Layer.SURFACE]
    return [Seen(at, min(values), sum(values) / len(values), max(values))] if values else []
