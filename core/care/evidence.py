"""From readings to what they say of each layer: the driest, the wettest, the median."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from math import floor
from statistics import median

from core.care.reading import Instrument, Layer, Reading
from core.care.situation import Situation


@dataclass(frozen=True, slots=True)
class Spread:
    """Driest and wettest place of one layer, on the scale 1 to 10."""

    dry: float
    wet: float

    @property
    def marks(self) -> float:
        """How many marks lie between them."""
        return self.wet - self.dry


@dataclass(frozen=True, slots=True)
class Evidence:
    """Readings by layer, 1 to 10; a pot lifted or weighed counts as middle and deep both.

    `probed` keeps them as they were taken, layer by layer, for the question of evenness.
    """

    surface: tuple[float, ...] = ()
    middle: tuple[float, ...] = ()
    deep: tuple[float, ...] = ()
    probed: tuple[tuple[float, ...], ...] = ()

    @property
    def below(self) -> tuple[float, ...]:
        """All readings from under the surface."""
        return self.middle + self.deep

    @property
    def lowest_layer(self) -> tuple[float, ...]:
        """The readings from furthest down."""
        return self.deep or self.middle or self.surface

    @property
    def spread(self) -> Spread | None:
        """The widest spread within one layer under the surface; None without two readings."""
        spreads = [Spread(min(layer), max(layer)) for layer in self.probed if len(layer) > 1]
        return max(spreads, key=lambda spread: spread.marks, default=None)

    @property
    def surface_median(self) -> float | None:
        """Median of the surface readings."""
        return _median(self.surface)

    @property
    def middle_median(self) -> float | None:
        """Median of the middle readings."""
        return _median(self.middle)

    @property
    def deep_median(self) -> float | None:
        """Median of the deep readings."""
        return _median(self.deep)


def gather(readings: Iterable[Reading], situation: Situation) -> Evidence:
    """Sort readings into layers, as this pot's depth has it.

    Weight is the best reading there is and stands alone below the surface where there is one.
    """
    layers: defaultdict[Layer, tuple[float, ...]] = defaultdict(tuple)
    weighed: tuple[float, ...] = ()
    for reading in readings:
        if reading.instrument is Instrument.SCALE:
            weighed += (_to_mark(reading.value),)
        else:
            layers[_layer(reading, situation)] += (reading.value,)
    probed = (layers[Layer.MIDDLE], layers[Layer.DEEP])
    if weighed:
        return Evidence(layers[Layer.SURFACE], weighed, weighed, probed)
    middle, deep = (layer + layers[Layer.WHOLE] for layer in probed)
    if situation.one_reading and not deep:
        middle, deep = (), middle
    return Evidence(layers[Layer.SURFACE], middle, deep, probed)


def _layer(reading: Reading, situation: Situation) -> Layer:
    if reading.instrument is Instrument.LIFT:
        return Layer.WHOLE
    if reading.layer is Layer.SURFACE and situation.finger_tells_all:
        return Layer.DEEP
    return reading.layer


def _to_mark(value: float) -> float:
    """A weight is exact and the marks are not: take the nearest."""
    return float(floor(value + 0.5))


def _median(values: tuple[float, ...]) -> float | None:
    return float(median(values)) if values else None
