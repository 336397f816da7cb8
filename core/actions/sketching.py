"""What a picture of a pot's drying shows: readings, waterings, the curve, what is to come."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import Connection

from core.care.decision import Decision
from core.care.drydown.curve import Band, curve
from core.care.drydown.forecast import forecast
from core.care.interval import target
from core.care.reading import Layer
from core.journal import drying, ledger, record
from core.journal.events import Checked, Poured
from core.journal.plants import Plant
from core.journal.portrait import Home, portrait, with_weight
from core.journal.state import ProbeWindow

# So far back a picture looks: a few dry-downs of most pots; and so far ahead at most (ours).
LOOK_BACK = timedelta(days=42)
LOOK_AHEAD = timedelta(days=21)
_STEPS = 60


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

    `line` is the deep reading at which the habit wants water; empty parts aren't known. `checks`
    counts also those that told nothing of what is under the surface. `decided`: the last verdict
    says when to look again, and not the drying.
    """

    name: str
    now: datetime
    line: float
    seen: tuple[Seen, ...]
    gave: tuple[Gave, ...]
    curve: tuple[Band, ...]
    ready: tuple[datetime, ...]
    probe: ProbeWindow | None
    checks: int = 0
    decided: bool = False


def sketch(
    tx: Connection, household_id: int, home: Home, plant: Plant, now: datetime
) -> Sketch | None:
    """The picture of a plant; None for one that is looked at and not probed."""
    model = plant.state.drying
    if model is None:
        return None
    housed = record.housed(tx, household_id, home)
    house = drying.house_of(housed, now)
    situation = portrait(plant.state, home).situation
    line = target(situation, now)
    seen, gave, checks = _told(tx, plant, home, now)
    days = forecast(model, house, now, line).days
    ready = tuple(now + min(timedelta(days=days[point]), LOOK_AHEAD) for point in (10, 25, 75, 90))
    watered = plant.state.watered
    moments: list[datetime] = []
    if model.cycle is not None and watered is not None:
        begun = max(watered.at, now - LOOK_BACK)
        step = (ready[-1] - begun) / _STEPS
        moments = [begun + n * step for n in range(_STEPS + 1)]
    bands = curve(model, house, now, moments)
    judged = plant.state.judged
    return Sketch(
        name=plant.name,
        now=now,
        line=line,
        seen=seen,
        gave=gave,
        curve=bands,
        ready=ready,
        probe=plant.state.probe,
        checks=checks,
        decided=judged is not None and Decision(judged.decision) is not Decision.WAIT,
    )


def _told(
    tx: Connection, plant: Plant, home: Home, now: datetime
) -> tuple[tuple[Seen, ...], tuple[Gave, ...], int]:
    ends = portrait(plant.state, home).ends
    seen: list[Seen] = []
    gave: list[Gave] = []
    checks = 0
    for entry in ledger.of_plant(tx, plant.id):
        if entry.happened_at < now - LOOK_BACK:
            continue
        if isinstance(entry.body, Poured):
            gave.append(Gave(entry.happened_at, entry.body.litres))
        elif isinstance(entry.body, Checked):
            checks += 1
            readings = with_weight(entry.body.found, ends).readings
            values = [one.value for one in readings if one.layer is not Layer.SURFACE]
            if values:
                mean = sum(values) / len(values)
                seen.append(Seen(entry.happened_at, min(values), mean, max(values)))
    return tuple(seen), tuple(gave), checks
