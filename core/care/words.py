"""Words for how wet a layer feels, on the meter's scale of that same layer."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from core.care.reading import Instrument, Layer, Wetness

# A word is about the layer it was felt in and about nothing below it: "dry" by finger is a dry
# surface, not a dry pot. The places on the scale are ours; "moist" spans 5 to 6.
_VALUE: Final = MappingProxyType(
    {
        Wetness.BONE_DRY: 1.0,
        Wetness.DRY: 2.0,
        Wetness.BARELY_MOIST: 4.0,
        Wetness.MOIST: 5.5,
        Wetness.WET: 8.0,
        Wetness.SOGGY: 10.0,
    }
)

# How far each instrument reaches (common practice, no source): a finger 3-6 cm, a stick and a
# meter to the bottom, a lift the whole pot. Most people who don't say use a finger.
_REACH: Final = MappingProxyType(
    {
        Instrument.METER: Layer.DEEP,
        Instrument.FINGER: Layer.SURFACE,
        Instrument.STICK: Layer.DEEP,
        Instrument.LIFT: Layer.WHOLE,
        Instrument.SCALE: Layer.WHOLE,
        Instrument.UNSAID: Layer.SURFACE,
    }
)


def value_of(word: Wetness) -> float:
    """The reading, 1 to 10, that a word stands for in the layer where it was felt."""
    return _VALUE[word]


def reach_of(instrument: Instrument) -> Layer:
    """The layer an instrument tells about when nobody named one."""
    return _REACH[instrument]
