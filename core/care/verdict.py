"""From a reading to a verdict: the tests in their order, the median last."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from core.care.case import Case, WhenToProbe, give, lay_out
from core.care.decision import Ask, Decision, Facts, Reason, Verdict
from core.care.dryness import by_late_mark, by_threshold
from core.care.levels import by_level
from core.care.nextprobe import next_probe
from core.care.reading import Found, Instrument, Layer, Reading
from core.care.signs import by_signs
from core.care.situation import FRESH, Past, Situation
from core.care.soaked import by_roots
from core.care.thresholds import DRIEST, DRY_TO, WET_FROM, all_dry, uneven_from
from core.care.window import about
from core.knowledge.types import Habit

__all__ = ["Ask", "Decision", "Facts", "Past", "Reason", "Situation", "Verdict", "judge"]

# Too wet for too long: past half of this pot's own dry-down, and at least this long (ours).
_WET_AT_LEAST: Final = timedelta(days=5)
_WET_AT_LEAST_SLOW: Final = timedelta(days=10)

_DAY: Final = timedelta(days=1)
_BY_FINGER, _BY_STICK = Instrument.FINGER, Instrument.STICK


def judge(
    found: Found,
    situation: Situation,
    past: Past,
    now: datetime,
    dries: WhenToProbe | None = None,
) -> Verdict:
    """What one check leads to.

    A weighed pot comes as a reading of the whole pot by scale. `now` is aware, in the zone of
    the household. `dries` says when to probe again by this pot's drying, this check included;
    None: guessed. Never raises; always gives a reason.
    """
    if not any(_unsaid(reading) for reading in found.readings):
        return _judge(found, situation, past, now, dries)
    surface = _judge(found, situation, past, now, dries)
    others = [
        _judge(_felt(found, instrument, layer), situation, past, now, dries)
        for instrument, layer in ((_BY_STICK, Layer.DEEP), (Instrument.LIFT, Layer.WHOLE))
    ]
    harmless = surface.decision in (Decision.WAIT, Decision.LEAVE, Decision.TOO_WET)
    if harmless or all(other.gives_water == surface.gives_water for other in others):
        return surface
    soon = about(timedelta(days=1))
    return Verdict(Decision.CANT_TELL, Reason.HOW_FELT, ask=Ask.HOW_FELT, next_probe=soon)


def _unsaid(reading: Reading) -> bool:
    """A bare word: most people feel with a finger, but nobody said so."""
    bare = reading.instrument is Instrument.UNSAID and reading.word is not None
    return bare and reading.layer is Layer.SURFACE


def _felt(found: Found, instrument: Instrument, layer: Layer) -> Found:
    readings = tuple(
        replace(reading, instrument=instrument, layer=layer) if _unsaid(reading) else reading
        for reading in found.readings
    )
    return replace(found, readings=readings)


def _judge(
    found: Found, situation: Situation, past: Past, now: datetime, dries: WhenToProbe | None
) -> Verdict:
    case = lay_out(found, situation, past, now, dries)
    verdict = _first(case)
    return replace(
        verdict,
        middle=case.evidence.middle_median,
        deep=case.evidence.deep_median,
        all_dry=all_dry(case.evidence.below),
        not_dry=max(case.evidence.below, default=0.0) >= DRY_TO,
        restarted=_voids_clock(case),
        ask=verdict.ask or _better_weighed(case, verdict),
        next_probe=next_probe(case, verdict),
    )


def _first(case: Case) -> Verdict:
    for test in _ORDER:
        verdict = test(case)
        if verdict is not None:
            return verdict
    return by_threshold(case)


def _voids_clock(case: Case) -> bool:
    """A reading of 3 or more while the extra wait was running: it wasn't dry right through."""
    first, watered = case.past.first_dry_at, case.past.last_watered_at
    if case.habit is not Habit.DRY_THROUGH or first is None:
        return False
    running = watered is None or watered <= first
    return running and max(case.evidence.below, default=0.0) >= DRY_TO


def _in_terrarium(case: Case) -> Verdict | None:
    """No dose behind glass: it is opened when it fogs (common practice, no source)."""
    return Verdict(Decision.LEAVE, Reason.TERRARIUM) if case.situation.terrarium else None


def _believable(case: Case) -> Verdict | None:
    """Second test: nothing that was found can be believed here, or nothing was found."""
    if case.evidence.below or case.evidence.surface:
        return None
    if case.doubt is not None:
        reason = Reason(case.doubt.value)
        return Verdict(Decision.CANT_TELL, reason, ask=_instead(reason))
    if case.found.weight_kg is not None:
        return Verdict(Decision.CANT_TELL, Reason.WEIGHT_UNKNOWN, ask=Ask.PROBE)
    reason = Reason.SIGN_ALONE if case.found.signs else Reason.NOTHING_FOUND
    return Verdict(Decision.CANT_TELL, reason, ask=Ask.PROBE)


def _instead(reason: Reason) -> Ask:
    """The evidence to look for where the meter is no good."""
    return {Reason.WICKING: Ask.PROBE_MIDDLE, Reason.BARK: Ask.ROOTS}.get(reason, Ask.LIFT)


def _uneven(case: Case) -> Verdict | None:
    """Third test, before any averaging: places of one layer that differ too much.

    A pot of which no place is ready to drink only waits.
    """
    spread = case.evidence.spread
    if spread is None or spread.marks < uneven_from(case.habit):
        return None
    facts = Facts(dry=spread.dry, wet=spread.wet)
    if case.habit in DRIEST:
        return Verdict(Decision.LEAVE, Reason.UNEVEN_ONE_WET, facts)
    if spread.dry > case.lines.deep.at(slow=case.slow):
        return Verdict(Decision.WAIT, Reason.UNEVEN_NOT_DRY, facts)
    return give(case, Decision.DRY_SIDE, Reason.UNEVEN, facts)


def _wet_too_long(case: Case) -> Verdict | None:
    """Fourth test: the floor still wet long after this pot is used to be drier.

    Not for a reservoir, a pot of which no cycle is known, a fresh repot or a new plant.
    """
    deep, watered, usual = (
        case.evidence.deep_median,
        case.past.last_watered_at,
        case.past.usual_drydown,
    )
    if deep is None or deep < WET_FROM or watered is None or usual is None or _no_alarms(case):
        return None
    wet_for = case.now - watered
    least = _WET_AT_LEAST_SLOW if case.slow else _WET_AT_LEAST
    if wet_for < least or wet_for <= usual / 2:
        return None
    facts = Facts(Layer.DEEP, deep, days=wet_for / _DAY)
    return Verdict(Decision.TOO_WET, Reason.WET_TOO_LONG, facts)


def _no_alarms(case: Case) -> bool:
    past, now = case.past, case.now
    new = past.arrived_at is not None and now - past.arrived_at < FRESH
    unsettled = new or past.repotted_within(FRESH, now) or past.finished_cycles < 1
    return unsettled or case.situation.wicking(past, now)


def _better_weighed(case: Case, verdict: Verdict) -> Ask | None:
    """In a pot under 8 cm a scale says more than a meter; said once, when nothing else is."""
    if not case.situation.better_weighed:
        return None
    by_meter = any(r.instrument is Instrument.METER for r in case.found.readings)
    sure = verdict.decision in (Decision.WAIT, Decision.WATER, Decision.SOAK_LATE)
    return Ask.WEIGH if by_meter and sure else None


_ORDER: Final[tuple[Callable[[Case], Verdict | None], ...]] = (
    by_signs,
    _in_terrarium,
    by_level,
    by_roots,
    _believable,
    _uneven,
    _wet_too_long,
    by_late_mark,
)
