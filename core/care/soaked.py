"""Plants without a meter: orchids in bark, air plants, mounted ferns. Roots, leaves and weight."""

from __future__ import annotations

from datetime import timedelta
from typing import Final

from core.care.belief import JUST_WATERED
from core.care.case import Case, give
from core.care.decision import Ask, Decision, Facts, Reason, Verdict
from core.care.reading import Sign
from core.care.thresholds import DRY_TO
from core.knowledge.types import Habit, Method

# A weekly soak, dry within four hours (trade and botanic-garden advice; the day's grace is ours).
_ABOUT_A_WEEK: Final = timedelta(days=6)


def by_roots(case: Case) -> Verdict | None:
    """Soak when the pot is light or the roots are silvery (common practice, no source)."""
    if not case.meterless:
        return None
    if case.habit is not Habit.SOAK and case.evidence.below:
        return None  # weighed or felt: its habit's own marks hold
    return _by_weight(case) or _by_look(case) or _cant_tell(case)


def _by_weight(case: Case) -> Verdict | None:
    """A pot lifted or weighed, or a stick pushed to the bottom."""
    felt = case.evidence.deep_median or case.evidence.middle_median
    if felt is None:
        return None
    facts = Facts(reading=felt)
    if felt > DRY_TO:
        return Verdict(Decision.WAIT, Reason.POT_HEAVY, facts)
    return give(case, Decision.SOAK, Reason.POT_LIGHT, facts)


def _by_look(case: Case) -> Verdict | None:
    surface = case.evidence.surface_median
    if surface is not None and surface > DRY_TO:
        return Verdict(Decision.WAIT, Reason.SURFACE_MOIST, Facts(reading=surface, line=DRY_TO))
    if Sign.GREEN in case.found.signs:
        return Verdict(Decision.WAIT, Reason.ROOTS_GREEN)
    if case.past.watered_within(JUST_WATERED, case.now):
        return Verdict(Decision.CANT_TELL, Reason.JUST_WATERED, ask=Ask.LIFT)
    if Sign.SILVERY in case.found.signs:
        return give(case, Decision.SOAK, Reason.ROOTS_SILVERY)
    return _bare_plant(case) if case.situation.method is Method.NO_SOIL else None


def _bare_plant(case: Case) -> Verdict | None:
    """An air plant: it dries within hours, so being dry says little until a week has gone."""
    if case.found.signs & {Sign.LIMP, Sign.WRINKLED}:
        return give(case, Decision.SOAK, Reason.LEAVES_THIRSTY)
    if case.evidence.surface_median is None:
        return None
    if case.past.watered_within(_ABOUT_A_WEEK, case.now):
        return Verdict(Decision.WAIT, Reason.SOAKED_LATELY)
    return give(case, Decision.SOAK, Reason.WEEKLY_SOAK)


def _cant_tell(case: Case) -> Verdict:
    if case.situation.method is Method.NO_SOIL:
        return Verdict(Decision.CANT_TELL, Reason.NO_SOIL, ask=Ask.LEAVES)
    reason = Reason.BARK if case.found.readings else Reason.SIGN_ALONE
    if not case.found.readings and not case.found.signs:
        reason = Reason.NOTHING_FOUND
    return Verdict(Decision.CANT_TELL, reason, ask=Ask.ROOTS)
