"""The plant's own signs, which overrule the reading."""

from __future__ import annotations

from typing import Final

from core.care.case import Case, give
from core.care.decision import Decision, Facts, Reason, Verdict
from core.care.levels import kept_by_level
from core.care.reading import Sign
from core.care.rest import Column, column_of
from core.care.thresholds import DRY_TO, all_dry
from core.knowledge.types import Habit

# Wilt on wet soil is root trouble, wilt on dry soil is thirst: the probe separates them
# (Missouri Botanical Garden, Problems common to many indoor plants, SEEN). The mark 7 is ours.
_WET_FROM: Final = 7.0

# Seasons in which shrivelling is the plan and water would rot the plant: a cactus in a cool
# winter, living stones that draw on their old leaves (common practice, no source).
_SHRIVELS_BY_PLAN: Final = frozenset({Column.SPRING, Column.CALENDAR})


def by_signs(case: Case) -> Verdict | None:
    """The first test: what the plant shows."""
    if kept_by_level(case.situation, case.habit) or not case.found.signs:
        return None
    return _smell(case) or _limp_on_wet(case) or _wrinkled_on_dry(case)


def _smell(case: Case) -> Verdict | None:
    if Sign.SMELL not in case.found.signs:
        return None
    below = case.evidence.below
    if below and max(below) <= DRY_TO:
        return Verdict(Decision.LEAVE, Reason.SMELL_DRY)
    return Verdict(Decision.TOO_WET, Reason.SMELL)


def _limp_on_wet(case: Case) -> Verdict | None:
    """Leaves that hang or wrinkle on a wet pot: the roots no longer drink."""
    if not case.found.signs & {Sign.LIMP, Sign.WRINKLED}:
        return None
    wet = case.wet_evidence.deep_median or case.wet_evidence.middle_median
    if wet is None or wet < _WET_FROM:
        return None
    if case.situation.outdoors and Sign.WRINKLED not in case.found.signs:
        return Verdict(Decision.LEAVE, Reason.NOON_WILT, Facts(reading=wet))
    return Verdict(Decision.TOO_WET, Reason.LIMP_WET, Facts(reading=wet))


def _wrinkled_on_dry(case: Case) -> Verdict | None:
    thirsty = Sign.WRINKLED in case.found.signs and case.situation.stores_water
    if not thirsty or not case.evidence.deep or not all_dry(case.evidence.below):
        return None
    by_plan = case.habit is Habit.DRY_THROUGH and (
        column_of(case.situation, case.now) in _SHRIVELS_BY_PLAN
    )
    return None if by_plan else give(case, Decision.WATER, Reason.WRINKLED_DRY)
