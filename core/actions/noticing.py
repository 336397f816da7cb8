"""What a check shows beside its verdict: a watering nobody told, a pot that dries unlike itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import exp

from sqlalchemy import Connection

from core.care.drydown.alarm import Alarm, alarm
from core.care.drydown.clock import in_days
from core.care.drydown.hidden import suspicion, wetter
from core.care.drydown.pooling import expected, spell_at
from core.care.drydown.state import House, Plant
from core.journal import drying, record
from core.journal.portrait import Home
from core.journal.state import PlantState

_RISES = 2  # reports of the open cycle before one can be wetter than another
# A question costs little, so it is asked well before the odds are even (ours).
_ASK_FROM = 0.4
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Notice:
    """`unseen`: when somebody most likely watered without telling; `alarm`: the pot's new pace."""

    unseen: datetime | None = None
    alarm: Alarm | None = None

    def __bool__(self) -> bool:
        """Whether there is anything to say."""
        return self.unseen is not None or self.alarm is not None


def after_check(before: PlantState, after: PlantState, home: Home) -> Notice:
    """What a check made just now has shown; `home` with what its pots have in common after it."""
    plant = after.drying
    if plant is None or plant.cycle is None or len(plant.cycle.told) < _RISES:
        return Notice()
    at = after.probed.at if after.probed is not None else None
    if at is None:
        return Notice()
    house = drying.house_of(home, at)
    unseen = _unseen(plant, house, at)
    if unseen is not None:
        return Notice(unseen=unseen)
    return Notice(alarm=_news(before.drying, plant, house, at))


def unseen_watering(
    tx: Connection, household_id: int, home: Home, state: PlantState
) -> datetime | None:
    """When somebody most likely watered without telling, as the last check has it."""
    plant = state.drying
    if plant is None or state.probed is None:
        return None
    at = state.probed.at
    return _unseen(plant, drying.house_of(record.housed(tx, household_id, home), at), at)


def _unseen(plant: Plant, house: House, at: datetime) -> datetime | None:
    """Only the newest reading may raise the question: it is asked once."""
    cycle = plant.cycle
    if cycle is None or len(cycle.told) < _RISES or not wetter(cycle.told, -1):
        return None
    doubt = suspicion(plant, cycle, expected(plant, house, in_days(at)))
    if doubt is None or doubt.odds < _ASK_FROM or doubt.index != len(cycle.told) - 1:
        return None
    passed = (cycle.told[-1].demand - doubt.after) / house.clock.rate(in_days(at))
    return at - passed * _DAY


def _news(before: Plant | None, plant: Plant, house: House, at: datetime) -> Alarm | None:
    """The alarm, where it is new; once more in each later cycle while nobody has looked."""
    raised = alarm(plant, house, in_days(at))
    if raised is None or before is None or before.cycle is None:
        return raised
    said = len(before.cycle.told) >= _RISES and alarm(before, house, in_days(at)) is not None
    return None if said else raised


# --- where a date comes from --------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Grounds:
    """What a pot's date rests on.

    `usual_days`: from a good watering to its line at the pace of now; `cycles`: how many dry-downs
    say so; `pace`: demand of a day now against a day in the middle of the seasons; `slower`: how
    much slower all pots of the household dry lately, as a factor.
    """

    usual_days: float
    cycles: int
    pace: float
    slower: float
    alarm: Alarm | None


def grounds(
    tx: Connection, household_id: int, home: Home, state: PlantState, now: datetime
) -> Grounds | None:
    """What the next probe of a pot rests on; None for one that isn't probed."""
    plant = state.drying
    if plant is None:
        return None
    house, at = drying.house_of(record.housed(tx, household_id, home), now), in_days(now)
    pace = house.clock.rate(at)
    usual = exp(expected(plant, house, at).mean) / pace
    spell, _ = spell_at(house, at)
    return Grounds(usual, plant.cycles, pace, exp(spell), alarm(plant, house, at))
