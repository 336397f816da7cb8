"""When to look again after a verdict that gives no water."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from types import MappingProxyType
from typing import Final

from core.care.case import Case
from core.care.decision import Decision, Reason, Verdict
from core.care.interval import first_guess, look, while_resting
from core.care.rest import rest
from core.care.situation import FRESH
from core.care.window import ProbeWindow, about

_SOON: Final = timedelta(days=1)
_FEW_DAYS: Final = timedelta(days=3)

# Days until another look is worth it (ours).
_BY_REASON: Final[Mapping[Reason, timedelta]] = MappingProxyType(
    {
        Reason.UNEVEN: _FEW_DAYS,
        Reason.UNEVEN_ONE_WET: timedelta(days=4),
        Reason.LIMP_WET: timedelta(days=2),
        Reason.NOON_WILT: _SOON,
        Reason.JUST_WATERED: _SOON,
        Reason.DORMANT: timedelta(days=14),
        Reason.TERRARIUM: timedelta(days=7),
        Reason.POT_HEAVY: _FEW_DAYS,
        Reason.ROOTS_GREEN: _FEW_DAYS,
    }
)


def next_probe(case: Case, verdict: Verdict) -> ProbeWindow | None:
    """When to look again; None when water comes first, and the watering starts a new count."""
    if verdict.gives_water and not verdict.side_dose:
        return None
    if verdict.decision is Decision.DRY_WAIT:
        wait = rest(case.situation, case.past, case.now)
        return about(_SOON) if wait is None else while_resting(wait, case.now)
    known = _known_span(case, verdict)
    if known is not None:
        return about(known)
    if verdict.decision is Decision.WAIT or verdict.reason is Reason.LEVEL_FULL:
        looked = look(case.situation, case.past, case.now, probed=True)
        return looked or _by_drying(case, verdict)
    return about(_SOON if verdict.decision is Decision.CANT_TELL else _FEW_DAYS)


def _known_span(case: Case, verdict: Verdict) -> timedelta | None:
    """Where the reason itself says how long it will hold."""
    if verdict.until is not None:
        return verdict.until - case.now
    if verdict.reason is Reason.FRESH_REPOT and case.past.repotted_at is not None:
        return case.past.repotted_at + FRESH - case.now
    return _BY_REASON.get(verdict.reason)


def _by_drying(case: Case, verdict: Verdict) -> ProbeWindow:
    """As this pot's drying has it, where that is known."""
    if case.dries is not None:
        return case.dries()
    return first_guess(case.situation, case.past, case.now, _as_deep(case, verdict))


def _as_deep(case: Case, verdict: Verdict) -> float:
    """How far above its mark the wettest layer stands, told as a deep reading."""
    line = case.lines.deep.at(slow=case.slow)
    reading, own = verdict.facts.reading, verdict.facts.line
    if reading is None or own is None:
        return verdict.facts.dry or line
    return line + max(0.0, reading - own)
