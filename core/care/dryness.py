"""Late, ready, or not yet: the marks of a habit on the median of each layer."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Final

from core.care.case import Case, give
from core.care.decision import Ask, Decision, Facts, Reason, Verdict
from core.care.reading import Layer, Sign
from core.care.rest import Column, Rest, rest
from core.care.thresholds import DRIEST, all_dry
from core.knowledge.types import Habit, WaitGroup

_LOWEST_MARK: Final = 1.0

# "Deep 1 for about a week" (an experienced guess).
_DRY_WEEK: Final = timedelta(days=7)

# The floor of a pot is wet for days after a watering; nobody need probe the middle then (ours).
_WET_FLOOR: Final = timedelta(days=2)

_DAY: Final = timedelta(days=1)


def by_late_mark(case: Case) -> Verdict | None:
    """Fifth test: it got drier than it likes."""
    if case.habit in (Habit.NEVER_DRY, Habit.TOP_DRY):
        return _below_late_mark(case)
    deep = case.evidence.deep_median
    if deep is None or deep > _LOWEST_MARK:
        return _wrinkled_when_ready(case)
    if case.habit is Habit.HALF_DRY and Sign.LIMP in case.found.signs:
        return give(case, Decision.SOAK_LATE, Reason.SLACK_DRY, Facts(reading=deep))
    if case.habit is Habit.MOSTLY_DRY and _dry_for_a_week(case):
        since = case.past.deep_one_since or case.now
        facts = Facts(reading=deep, days=(case.now - since) / _DAY)
        return give(case, Decision.SOAK_LATE, Reason.DRY_FOR_A_WEEK, facts)
    return _wrinkled_when_ready(case)


def by_threshold(case: Case) -> Verdict:
    """Sixth and seventh test: the habit's mark in each layer, then the extra wait."""
    if not case.evidence.below:
        return _by_surface(case)
    above = _above_line(case)
    if above is not None:
        return _not_yet(case, above)
    if case.habit in DRIEST and not case.evidence.deep:
        return Verdict(Decision.CANT_TELL, Reason.MIDDLE_ONLY, ask=Ask.PROBE_DEEP)
    if case.habit is Habit.DRY_THROUGH:
        return _after_rest(case)
    return give(case, Decision.WATER, Reason.READY, _driest_known(case))


def _below_late_mark(case: Case) -> Verdict | None:
    """One place at the late mark is late, where the layer as a whole is ready."""
    evidence, lines = case.evidence, case.lines
    layers = (
        (Layer.MIDDLE, evidence.middle, evidence.middle_median, lines.middle, lines.late_middle),
        (Layer.DEEP, evidence.deep, evidence.deep_median, lines.deep, lines.late_deep),
    )
    for layer, values, median, line, late in layers:
        if late is None or median is None or median > line.at(slow=case.slow):
            continue
        if min(values) <= late:
            facts = Facts(layer, min(values), late)
            return give(case, Decision.SOAK_LATE, Reason.DRIER_THAN_LIKES, facts)
    return None


def _dry_for_a_week(case: Case) -> bool:
    since, watered = case.past.deep_one_since, case.past.last_watered_at
    if since is None or (watered is not None and watered > since):
        return False
    return case.now - since >= _DRY_WEEK


def _wrinkled_when_ready(case: Case) -> Verdict | None:
    """Wrinkles count as thirst only where the pot is dry enough to explain them."""
    if case.habit is not Habit.MOSTLY_DRY or Sign.WRINKLED not in case.found.signs:
        return None
    if not case.evidence.deep or _above_line(case) is not None:
        return None
    return give(case, Decision.SOAK_LATE, Reason.WRINKLED_DRY)


def _by_surface(case: Case) -> Verdict:
    """Only the surface was felt: enough for the habits that go by it, and to rule water out."""
    surface = case.evidence.surface_median or 0.0
    line = case.lines.surface.at(slow=case.slow)
    facts = Facts(Layer.SURFACE, surface, line)
    if surface > line:
        return Verdict(Decision.WAIT, Reason.SURFACE_MOIST, facts)
    if case.lines.surface_enough:
        return give(case, Decision.WATER, Reason.SURFACE_READY, facts)
    return Verdict(Decision.CANT_TELL, Reason.SURFACE_ONLY, facts, ask=Ask.PROBE_DEEP)


def _above_line(case: Case) -> Facts | None:
    """The layer that is furthest above its mark; None when none is."""
    evidence, lines = case.evidence, case.lines
    known: tuple[tuple[Layer, float | None, float], ...] = (
        (Layer.DEEP, evidence.deep_median, lines.deep.at(slow=case.slow)),
        (Layer.MIDDLE, evidence.middle_median, lines.middle.at(slow=case.slow)),
    )
    if not evidence.middle and case.lines.surface_enough:
        known += ((Layer.SURFACE, evidence.surface_median, lines.surface.at(slow=case.slow)),)
    above = [
        Facts(layer, value, line)
        for layer, value, line in known
        if value is not None and value > line
    ]
    if not above and case.habit is Habit.DRY_THROUGH and not all_dry(evidence.below):
        return Facts(Layer.DEEP, max(evidence.below), lines.deep.at(slow=case.slow))
    return max(above, key=_distance, default=None)


def _distance(facts: Facts) -> float:
    return (facts.reading or 0.0) - (facts.line or 0.0)


def _not_yet(case: Case, above: Facts) -> Verdict:
    reason = Reason.ABOVE_LINE
    if Sign.LIMP in case.found.signs:
        reason = Reason.LIMP_MOIST
    elif Sign.WRINKLED in case.found.signs:
        reason = Reason.WRINKLED_MOIST
    ask = Ask.PROBE_MIDDLE if _floor_hides_top(case) else None
    return Verdict(Decision.WAIT, reason, above, ask=ask)


def _floor_hides_top(case: Case) -> bool:
    """A wet floor can't tell whether the top is dry, where the top is what counts."""
    only_deep = not case.evidence.middle and not case.evidence.surface
    by_top = case.lines.surface_enough and only_deep and not case.situation.one_reading
    return by_top and not case.past.watered_within(_WET_FLOOR, case.now)


def _driest_known(case: Case) -> Facts:
    """The layer the sentence speaks of: the deep one, else the middle."""
    evidence, lines = case.evidence, case.lines
    if evidence.deep_median is not None:
        return Facts(Layer.DEEP, evidence.deep_median, lines.deep.at(slow=case.slow))
    return Facts(Layer.MIDDLE, evidence.middle_median, lines.middle.at(slow=case.slow))


def _after_rest(case: Case) -> Verdict:
    """Dry right through: when the wait is over and this probe still says so, water."""
    wait = rest(case.situation, case.past, case.now)
    if wait is None:
        return give(case, Decision.WATER, Reason.DRY_NO_WAIT)
    facts = Facts(days=wait.days, group=wait.group, column=wait.column)
    if wait.over(case.now):
        return give(case, Decision.WATER, _now_because(wait), facts)
    held = give(case, Decision.DRY_WAIT, _wait_because(wait), facts)
    return held if held.decision is Decision.LEAVE else replace(held, until=wait.until)


def _now_because(wait: Rest) -> Reason:
    return Reason.WINTER_SIP if wait.column is Column.SIP else Reason.REST_OVER


def _wait_because(wait: Rest) -> Reason:
    if wait.column is Column.SPRING:
        return Reason.WINTER_REST
    if wait.column is Column.CALENDAR:
        return Reason.STONES_CALENDAR
    if wait.column is Column.LOW and wait.group is WaitGroup.DESERT:
        return Reason.TOO_DARK
    return Reason.RESTING_UNTIL
