"""What there is to look at today, worked out from the plants as they stand: no database, no clock.

Never a time to water: a plant is due for a probe, or it was read and hasn't been watered yet.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from enum import StrEnum
from functools import cache
from typing import TypeVar
from zoneinfo import ZoneInfo

from pydantic import TypeAdapter

from core.care import errands
from core.care.decision import GIVES_WATER, Decision
from core.care.errands import Errand, Upkeep
from core.care.wallclock import day_of
from core.journal.plants import Named, Plant, name_key
from core.journal.portrait import Home, deep_of, standing
from core.journal.state import PlantState

# A pot whose drying was seen less often is still a guess (ours).
SURE_CYCLES = 2
_WEEK = 7

Walked = TypeVar("Walked", Plant, Named)


class Why(StrEnum):
    """Why a plant is on the round."""

    FIRST = "first"  # never probed
    WATER = "water"  # read, and not watered since
    LAST = "last"  # dry, and waiting: the last probe before water
    SINCE = "since"  # to be probed for some days
    UNTIL = "until"  # probably ready by a day to come
    TODAY = "today"


GUESSED = frozenset({Why.SINCE, Why.UNTIL, Why.TODAY})
"""Reasons that come from how the pot dries, and not from a reading or its absence."""


@dataclass(frozen=True, slots=True)
class Stop:
    """One plant to look at. `since` or `until` belong to `why`; `rough`: the pot isn't known yet.

    `done`: it was looked at today already, so that walking on passes it by.
    """

    plant_id: int
    name: str
    room: str
    why: Why
    due: date
    since: date | None = None
    until: date | None = None
    rough: bool = False
    done: bool = False


@dataclass(frozen=True, slots=True)
class Chore:
    """One errand and the plants it is due for, in walking order; `ids` are theirs."""

    errand: Errand
    names: tuple[str, ...]
    ids: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Round:
    """A household's day: where to stop, in walking order, and what else falls on it."""

    day: date
    stops: tuple[Stop, ...] = ()
    chores: tuple[Chore, ...] = ()

    @property
    def empty(self) -> bool:
        """Whether there is nothing to do."""
        return not self.stops and not self.chores

    @property
    def rough(self) -> bool:
        """Whether all that is guessed here is rough, and there are several: said once then."""
        guessed = [stop.rough for stop in self.stops if stop.why in GUESSED]
        return len(guessed) > 1 and all(guessed)

    @property
    def ahead(self) -> tuple[Stop, ...]:
        """Stops that nobody has looked at today."""
        return tuple(stop for stop in self.stops if not stop.done)


@dataclass(frozen=True, slots=True)
class Day:
    """When and where a round is made.

    `rooms`: names of rooms in the order told; the others follow in the order of their plants.
    `unasked`: nothing is said of what was looked at today, and an errand is named when it comes
    due, then weekly.
    """

    now: datetime
    zone: ZoneInfo
    home: Home
    rooms: tuple[str, ...] = field(default=())
    unasked: bool = False

    @property
    def today(self) -> date:
        """The household's day."""
        return day_of(self.now, self.zone)


def lay_out(plants: Sequence[Plant], day: Day) -> Round:
    """The round of some living plants."""
    walked = in_walking_order(plants, day.rooms)
    found = [stop for plant in walked if (stop := _stop(plant, day)) is not None]
    stops = [stop for stop in found if not (day.unasked and stop.done)]
    return Round(day.today, tuple(stops), tuple(_chores(walked, day)))


def in_walking_order(plants: Iterable[Walked], rooms: Sequence[str] = ()) -> list[Walked]:
    """Plants room by room: rooms as told, then as they were first named; those without one last."""
    told = {name_key(room): place for place, room in enumerate(rooms)}
    known = sorted(plants, key=lambda one: one.id)
    first: dict[str, int] = {}
    for one in known:
        first.setdefault(name_key(one.room), one.id)

    def place(one: Walked) -> tuple[bool, int, int, int]:
        room = name_key(one.room)
        return (not room, told.get(room, len(told)), first[room], one.id)

    return sorted(known, key=place)


def _stop(plant: Plant, day: Day) -> Stop | None:
    state = plant.state
    window = state.probe
    if window is None or plant.left_at is not None:
        return None
    due = day_of(window.expected, day.zone)
    if due > day.today:
        return None
    rough = len(state.drydowns_d) < SURE_CYCLES
    done = state.probed is not None and day_of(state.probed.at, day.zone) == day.today
    why, since, until = _why(state, due, day)
    rough = rough and why in GUESSED
    return Stop(plant.id, plant.name, plant.room, why, due, since, until, rough, done)


def _why(state: PlantState, due: date, day: Day) -> tuple[Why, date | None, date | None]:
    judged, probed, watered = state.judged, state.probed, state.watered
    fresh = probed is not None and (watered is None or watered.at <= probed.at)
    if probed is not None and fresh and judged is not None:
        decision = Decision(judged.decision)
        if decision in GIVES_WATER:
            return Why.WATER, day_of(probed.at, day.zone), None
        if decision is Decision.DRY_WAIT:
            return Why.LAST, day_of(state.first_dry_at or probed.at, day.zone), None
    late = due if due < day.today else None
    if probed is None and watered is None:
        return Why.FIRST, late, None
    if late is not None:
        return Why.SINCE, late, None
    latest = day_of(state.probe.last, day.zone) if state.probe else day.today
    return (Why.UNTIL, None, latest) if latest > day.today else (Why.TODAY, None, None)


def _chores(walked: Iterable[Plant], day: Day) -> Iterable[Chore]:
    here = day.now.astimezone(day.zone)
    found: dict[Errand, list[Plant]] = {}
    for plant in walked:
        for errand, since in errands.due(upkeep_of(plant, day.home), here).items():
            late = (day.today - day_of(since, day.zone)).days
            if not day.unasked or late % _WEEK == 0:
                found.setdefault(errand, []).append(plant)
    for errand in Errand:
        who = found.get(errand)
        if who:
            yield Chore(errand, tuple(one.name for one in who), tuple(one.id for one in who))


def upkeep_of(plant: Plant, home: Home) -> Upkeep:
    """The plant as far as its errands go."""
    state, seen = plant.state, standing(plant.state, home)
    pests = state.tended.get("pests")
    judged = state.judged
    soaked = judged is not None and judged.decision == Decision.TOO_WET.value
    return Upkeep(
        situation=seen.situation,
        leaf=seen.species.leaf,
        since=state.arrived_at,
        last=state.tended,
        from_one_side=bool(state.spot.facing) and not state.spot.outdoors,
        still_in_bud=seen.species.still_in_bud,
        repotted_at=state.repotted_at,
        pests_at=pests,
        deep=deep_of(state),
        unwell=soaked or (pests is not None and pests == state.tended.get("scout")),
    )


def only_in(laid: Round, ids: Iterable[int]) -> Round:
    """A round of these plants alone."""
    mine = frozenset(ids)
    chores = []
    for one in laid.chores:
        kept = [(name, key) for name, key in zip(one.names, one.ids, strict=True) if key in mine]
        if kept:
            names, keys = zip(*kept, strict=True)
            chores.append(Chore(one.errand, names, keys))
    stops = tuple(stop for stop in laid.stops if stop.plant_id in mine)
    return Round(laid.day, stops, tuple(chores))


def tomorrow(laid: Round) -> date:
    """The day after a round's."""
    return laid.day + timedelta(days=1)


@cache
def _adapter() -> TypeAdapter[Round]:
    return TypeAdapter(Round)


def write(laid: Round) -> object:
    """A round as plain values, for JSON."""
    return _adapter().dump_python(laid, mode="json", exclude_defaults=True)


def read(kept: object) -> Round:
    """The same, read back."""
    return _adapter().validate_python(kept)
