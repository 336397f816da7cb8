"""One check laid out for the tests of a verdict: what counts, what the season makes of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from core.care.belief import Doubt, meterless, sift
from core.care.decision import Ask, Decision, Facts, Reason, Verdict
from core.care.evidence import Evidence, gather
from core.care.reading import Found, Instrument, Reading, Wetness
from core.care.situation import Past, Situation
from core.care.substrate import DRY_READING
from core.care.thresholds import LINES, Lines
from core.care.window import ProbeWindow
from core.knowledge.types import Habit, WaitGroup

# A salty mix or a reservoir makes a floor read wet that isn't: no ground for an alarm.
_REACHES_DOWN = frozenset({Instrument.STICK, Instrument.LIFT})
_FALSELY_WET = frozenset({Doubt.SALTY_MIX, Doubt.WICKING})

# A forecast takes longer than all the tests: only the verdicts that need one ask for it.
WhenToProbe = Callable[[], ProbeWindow]


@dataclass(frozen=True, slots=True)
class Case:
    """A check with everything worked out that more than one test asks for."""

    found: Found
    situation: Situation
    past: Past
    now: datetime
    habit: Habit
    lines: Lines
    slow: bool
    meterless: bool
    evidence: Evidence  # believed readings
    wet_evidence: Evidence  # readings that may be believed when they say wet
    doubt: Doubt | None
    dries: WhenToProbe | None  # when this pot should be probed by what its drying has shown


def lay_out(
    found: Found,
    situation: Situation,
    past: Past,
    now: datetime,
    dries: WhenToProbe | None = None,
) -> Case:
    """Sift and sort what was found; readings without a scale of their own judge as half dry."""
    habit = situation.habit_at(now)
    told = tuple(_as_dry_as_told(one, habit) for one in found.readings)
    believed = sift(told, situation, past, now)
    evidence = gather(believed.readings, situation)
    as_believed = believed.doubt is None or believed.doubt in _FALSELY_WET
    return Case(
        found=found,
        situation=situation,
        past=past,
        now=now,
        habit=habit,
        lines=LINES.get(habit, LINES[Habit.HALF_DRY]),
        slow=situation.slow(now),
        meterless=meterless(situation),
        evidence=evidence,
        wet_evidence=evidence if as_believed else gather(told, situation),
        doubt=believed.doubt,
        dries=dries,
    )


def _as_dry_as_told(reading: Reading, habit: Habit) -> Reading:
    """A stick dry to its tip and a light pot are the lowest mark where a plant dries right through.

    Hands tell no finer, and in grit they are all there is (ours); the rest it takes comes on top.
    """
    felt = reading.word is Wetness.DRY and reading.instrument in _REACHES_DOWN
    return replace(reading, value=DRY_READING) if felt and habit is Habit.DRY_THROUGH else reading


def give(case: Case, decision: Decision, reason: Reason, facts: Facts | None = None) -> Verdict:
    """Water, unless the plant is dormant; where there is no meter it is soaked."""
    if case.situation.asleep(case.now) and not _rests_by_group(case):
        ask = Ask.IN_LEAF if case.situation.dormant is None else None
        return Verdict(Decision.LEAVE, Reason.DORMANT, ask=ask)
    if case.meterless and decision in (Decision.WATER, Decision.SOAK_LATE):
        decision = Decision.SOAK
    return Verdict(decision, reason, facts or Facts())


def _rests_by_group(case: Case) -> bool:
    """Plants with a stated wait have their own winter rule; a plant said to sleep just sleeps."""
    waits = case.situation.wait not in (None, WaitGroup.NONE)
    return waits and case.habit is Habit.DRY_THROUGH and case.situation.dormant is None
