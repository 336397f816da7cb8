"""What a person found when they probed: numbers, words, weight, signs of the plant."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from pydantic import PlainSerializer


class Layer(StrEnum):
    """How far down the pot a reading was taken."""

    SURFACE = "surface"
    MIDDLE = "middle"
    DEEP = "deep"
    WHOLE = "whole"  # the pot lifted or weighed


class Instrument(StrEnum):
    """What the reading was taken with; it decides which layer the word speaks of."""

    METER = "meter"
    FINGER = "finger"  # reaches 3-6 cm: the surface
    STICK = "stick"  # to the bottom: deep
    LIFT = "lift"  # the whole pot
    SCALE = "scale"
    UNSAID = "unsaid"


class Wetness(StrEnum):
    """Words for how wet a layer feels, driest first."""

    BONE_DRY = "bone dry"
    DRY = "dry"
    BARELY_MOIST = "barely moist"
    MOIST = "moist"
    WET = "wet"
    SOGGY = "soggy"


class Sign(StrEnum):
    """What the plant itself shows; it overrules the reading."""

    LIMP = "limp"
    WRINKLED = "wrinkled"  # or folded: the leaves of a plant that stores water
    SILVERY = "silvery"  # orchid roots silvery all over
    GREEN = "green"  # orchid roots green: they still hold water
    SMELL = "smell"  # sour smell or soft stems


# Kept in one order: a set has its own in each program, and equal checks make equal texts.
Signs = Annotated[frozenset[Sign], PlainSerializer(sorted)]


class Level(StrEnum):
    """Water in a tray, a glass or a reservoir."""

    EMPTY = "empty"
    LOW = "low"
    FULL = "full"


@dataclass(frozen=True, slots=True)
class Reading:
    """One place probed. `value` is on the meter's scale 1 (dry) to 10 (wet)."""

    value: float
    layer: Layer = Layer.DEEP
    instrument: Instrument = Instrument.METER
    word: Wetness | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """All that one check told: readings in the order given, weight in kg, level, signs."""

    readings: tuple[Reading, ...] = ()
    weight_kg: float | None = None
    level: Level | None = None
    signs: Signs = frozenset()
