"""Is a reading believable here? Where it isn't, only other evidence counts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final

from core.care.reading import Instrument, Layer, Reading
from core.care.situation import FRESH, Extent, Past, Situation
from core.care.thresholds import DRY_TO, LINES
from core.knowledge.types import Habit, Method

# A dry reading within a day of a watering: the probe stands in a channel, or the water ran past
# (common practice, no source).
JUST_WATERED: Final = timedelta(days=1)

_IN_HAND: Final = frozenset({Instrument.LIFT, Instrument.SCALE})
_BY_TOUCH: Final = frozenset({Instrument.FINGER, Instrument.STICK, Instrument.UNSAID})


class Doubt(StrEnum):
    """Why a reading isn't believed as it stands."""

    BARK = "no-meter-in-bark"  # bark, chips, moss, no mix at all: the meter has no contact
    COARSE_MIX = "coarse-mix"  # grit, pebbles: many meters sit at 1 from the second day
    SALTY_MIX = "salty-mix"  # salts carry the current and read as water
    WICKING = "wicking"  # the floor stands in the reservoir's water
    FRESH_REPOT = "fresh-repot"  # old ball and new mix are two things
    JUST_WATERED = "just-watered"  # a channel, or the water ran past


@dataclass(frozen=True, slots=True)
class Believed:
    """The readings that count, and why the first of the others doesn't."""

    readings: tuple[Reading, ...]
    doubt: Doubt | None


def sift(readings: Iterable[Reading], situation: Situation, past: Past, now: datetime) -> Believed:
    """Keep the readings that can be believed in this pot, at this moment."""
    kept: list[Reading] = []
    doubts: list[Doubt] = []
    for reading in readings:
        reason = doubt(reading, situation, past, now)
        if reason is None:
            kept.append(reading)
        else:
            doubts.append(reason)
    return Believed(tuple(kept), doubts[0] if doubts else None)


def doubt(reading: Reading, situation: Situation, past: Past, now: datetime) -> Doubt | None:
    """Why this reading isn't believed here; None when it is. Weight and lift always are."""
    if reading.instrument in _IN_HAND:
        return None
    if reading.instrument not in _BY_TOUCH:
        reason = _meter_doubt(situation)
        if reason is not None:
            return reason
    if situation.wicking(past, now) and reading.layer is Layer.DEEP:
        return Doubt.WICKING
    if past.repotted_within(FRESH, now):
        return Doubt.FRESH_REPOT
    return Doubt.JUST_WATERED if _too_soon(reading, situation, past, now) else None


def meterless(situation: Situation) -> bool:
    """Whether a meter finds no contact here at all: bark, chips, moss, no mix."""
    by_plant = situation.habit is Habit.SOAK or situation.method in (Method.BARK, Method.NO_SOIL)
    return by_plant or (situation.mix is not None and situation.mix.fill_share is None)


def _meter_doubt(situation: Situation) -> Doubt | None:
    if meterless(situation):
        return Doubt.BARK
    if situation.mix is not None and not situation.mix.meter_ok:
        return Doubt.COARSE_MIX
    return Doubt.SALTY_MIX if situation.salty else None


def _too_soon(reading: Reading, situation: Situation, past: Past, now: datetime) -> bool:
    """Dry, or ready to drink again, the day after it drank: that can't be."""
    if past.extent is Extent.SIP or not past.watered_within(JUST_WATERED, now):
        return False
    return reading.value <= max(DRY_TO, _ready_at(reading.layer, situation, now))


def _ready_at(layer: Layer, situation: Situation, now: datetime) -> float:
    lines = LINES.get(situation.habit_at(now))
    if lines is None:
        return DRY_TO
    by_layer = {Layer.SURFACE: lines.surface, Layer.MIDDLE: lines.middle}
    return by_layer.get(layer, lines.deep).at(slow=situation.slow(now))
