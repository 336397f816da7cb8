"""What one check says about the deep reading: an interval, and how far to trust it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import inf, sqrt
from types import MappingProxyType
from typing import Final, NamedTuple

from core.care.reading import Instrument, Layer, Reading, Wetness

_OPEN_BELOW: Final = 0.5
_OPEN_ABOVE: Final = 10.5
_HALF_MARK: Final = 0.5
_LOWEST_MARK, _HIGHEST_MARK = 1.0, 10.0

# Spread of a meter in one place (ours); a second and third place share it out, but for what all
# places of a pot have in common.
_METER_SD: Final = 0.75
_SHARED_SD: Final = 0.4
# A scale knows the whole pot's water to a third of a mark, once its two ends are known (ours).
_SCALE_SD: Final = 0.35
_SCALE_WIDTH: Final = 0.05
# The middle is about a mark ahead of the deep, the surface by up to six (the lines of the habits
# say the same); so they tell less.
_MIDDLE_AHEAD: Final = 1.0
_MIDDLE_SD: Final = 1.2
_SURFACE_AHEAD: Final = 6.0
_SURFACE_SD: Final = 1.5
_HAND_SD: Final = 1.0

# Words as intervals of the meter's scale: dry 1-3, moist 4-7, wet 8-10 (common practice).
_WORDS: Final[Mapping[Wetness, tuple[float, float]]] = MappingProxyType(
    {
        Wetness.BONE_DRY: (-inf, 1.5),
        Wetness.DRY: (-inf, 3.5),
        Wetness.BARELY_MOIST: (2.5, 5.5),
        Wetness.MOIST: (3.5, 7.5),
        Wetness.WET: (7.5, inf),
        Wetness.SOGGY: (8.5, inf),
    }
)


class Report(NamedTuple):
    """The deep reading lies between `low` and `high`, told by something with this spread."""

    low: float
    high: float
    sd: float

    @property
    def middle(self) -> float:
        """The middle of the interval, its open ends at the ends of the scale."""
        return (max(self.low, _OPEN_BELOW) + min(self.high, _OPEN_ABOVE)) / 2


def of_word(word: Wetness, instrument: Instrument = Instrument.METER) -> Report:
    """A word; a finger's is about the surface, any other's about the deep or the whole pot."""
    low, high = _closed(*_WORDS[word])
    if instrument is Instrument.FINGER:
        return _from_surface(low, high)
    return Report(low, high, _METER_SD if instrument is Instrument.METER else _HAND_SD)


def of_values(values: Iterable[float]) -> Report:
    """Numbers of a meter from one or several places of the same depth, 1 to 10."""
    every = list(values)
    mean = sum(every) / len(every)
    own = (_METER_SD**2 - _SHARED_SD**2) / len(every)
    return Report(*_around(mean, _HALF_MARK), sqrt(own + _SHARED_SD**2))


def of_weight(weight: float, dry: float, wet: float) -> Report:
    """A pot weighed, in the unit of its known dry and wet weight.

    Raises ValueError when the wet weight isn't above the dry one.
    """
    if not dry < wet:
        raise ValueError(f"a wet pot is heavier than a dry one: {wet} against {dry}")
    share = min(1.0, max(0.0, (weight - dry) / (wet - dry)))
    return Report(*_around(1 + 9 * share, _SCALE_WIDTH), _SCALE_SD)


def of_readings(readings: Iterable[Reading]) -> Report | None:
    """One check as a person told it: deep for choice, else middle, else surface."""
    by_layer: dict[Layer, list[Reading]] = {}
    for reading in readings:
        by_layer.setdefault(reading.layer, []).append(reading)
    for layer in (Layer.WHOLE, Layer.DEEP, Layer.MIDDLE, Layer.SURFACE):
        if layer in by_layer:
            return _of_layer(layer, by_layer)
    return None


def _of_layer(layer: Layer, by_layer: Mapping[Layer, list[Reading]]) -> Report:
    found = _alike(by_layer[layer])
    if layer is Layer.MIDDLE:
        ahead = _MIDDLE_AHEAD
        return Report(*_closed(found.low + ahead, found.high + ahead), max(found.sd, _MIDDLE_SD))
    if layer is Layer.SURFACE:
        return _from_surface(found.low, found.high)
    return found


def _alike(readings: list[Reading]) -> Report:
    """Readings of one layer as one report."""
    weighed = [r.value for r in readings if r.instrument is Instrument.SCALE]
    if weighed:
        return Report(*_around(weighed[-1], _SCALE_WIDTH), _SCALE_SD)
    words = [r for r in readings if r.word is not None]
    if len(words) == len(readings):
        found = [_closed(*_WORDS[r.word]) for r in words if r.word is not None]
        low, high = (sum(ends) / len(ends) for ends in zip(*found, strict=True))
        return Report(low, high, _HAND_SD)
    return of_values(r.value for r in readings)


def _from_surface(low: float, high: float) -> Report:
    """The deep is never much drier than the surface, and may be far wetter."""
    return Report(*_closed(low, high + _SURFACE_AHEAD), _SURFACE_SD)


def _around(value: float, half: float) -> tuple[float, float]:
    if value <= _LOWEST_MARK:
        return _OPEN_BELOW, _LOWEST_MARK + half
    if value >= _HIGHEST_MARK:
        return _HIGHEST_MARK - half, _OPEN_ABOVE
    return value - half, value + half


def _closed(low: float, high: float) -> tuple[float, float]:
    return max(low, _OPEN_BELOW), min(high, _OPEN_ABOVE)
