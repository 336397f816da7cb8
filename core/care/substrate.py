"""What a mix in a pot holds: pores, air, water, and how weight tells of it."""

from __future__ import annotations

from dataclasses import dataclass
from math import expm1
from typing import Final

# Tension rises by 0.1 kPa for each centimetre above the floor of a pot that has just stopped
# draining (Owen & Altland, HortScience, SEEN): so the floor is always its wettest layer.
TENSION_KPA_PER_M: Final = 10.0

# Water a mix still holds at the top of a very tall column, share of volume (G: between 0.17 and
# 0.38, the limits O'Meara et al. 2014, HortScience 49:493, SEEN, dried bark to).
HELD_HIGH_UP: Final = 0.25

# Meter scale as used by the dose: 8 when nothing is missing, 1 when dry right through (G: linear).
FULL_READING: Final = 8.0
DRY_READING: Final = 1.0
_TOP_READING: Final = 10.0

# Further beyond its two weights than half of what lies between them, it is another pot (ours).
_BEYOND_ENDS: Final = 0.5


@dataclass(frozen=True, slots=True)
class Porosity:
    """Shares of the pot's volume, 0 to 1. Total is always air space plus container capacity."""

    air_space: float
    container_capacity: float

    def __post_init__(self) -> None:
        """Raise ValueError when a share is negative or the pores exceed the pot."""
        if min(self.air_space, self.container_capacity) < 0 or self.total > 1:
            raise ValueError("air space and container capacity are shares of the volume")

    @property
    def total(self) -> float:
        """Total porosity."""
        return self.air_space + self.container_capacity


def measured_porosity(volume_l: float, to_saturate_l: float, drained_l: float) -> Porosity:
    """Porosity by the field method (Purdue CEA, Nemali, SEEN).

    Plug the holes, fill with water to the surface of the dry mix (`to_saturate_l` in all), open
    the holes and catch what drains: that is the air space. Raises ValueError when the pot took
    more than its volume or gave back more than it took.
    """
    if volume_l <= 0:
        raise ValueError("a pot has a volume")
    return Porosity(drained_l / volume_l, (to_saturate_l - drained_l) / volume_l)


def leaching_fraction(applied_l: float, drained_l: float) -> float:
    """Leachate over water retained plus leachate (UF/IFAS ENH1268, SEEN), 0 to 1.

    Raises ValueError when nothing was applied or more drained than went in.
    """
    if applied_l <= 0 or not 0 <= drained_l <= applied_l:
        raise ValueError("drained water lies between none and what was applied")
    return drained_l / applied_l


def mean_tension_kpa(height_m: float) -> float:
    """Mean tension of the drained mix in a pot filled `height_m` deep, kPa."""
    return TENSION_KPA_PER_M * height_m / 2


def at_height(mix: Porosity, known_m: float, height_m: float) -> Porosity:
    """Air and water of a mix in a fill `height_m` deep, known from one `known_m` deep.

    Water falls off exponentially from saturation at the floor to `HELD_HIGH_UP`; the pores don't
    change, only who is in them. Raises ValueError for a mix that holds too little for this.
    """
    span = mix.total - HELD_HIGH_UP
    held = (mix.container_capacity - HELD_HIGH_UP) / span if span > 0 else 0.0
    if not 0 < held < 1:
        raise ValueError("this mix doesn't hold enough water to tell")
    steepness = _steepness(held) / known_m
    water = HELD_HIGH_UP + span * _mean_of_decay(steepness * height_m)
    return Porosity(mix.total - water, water)


def _mean_of_decay(x: float) -> float:
    """Mean of exp(-t) for t from 0 to x."""
    return -expm1(-x) / x if x > 0 else 1.0


def _steepness(mean: float) -> float:
    """The x whose `_mean_of_decay` is `mean`, by bisection: it falls steadily from 1 to 0."""
    low, high = 0.0, 1 / mean
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _mean_of_decay(middle) > mean else (low, middle)
    return (low + high) / 2


@dataclass(frozen=True, slots=True)
class WeightEnds:
    """What this pot weighs, in kg: dry (as dry as it has been) and wet (run-off stopped)."""

    dry_kg: float
    wet_kg: float

    def __post_init__(self) -> None:
        """Raise ValueError unless wet is heavier than dry."""
        if not 0 < self.dry_kg < self.wet_kg:
            raise ValueError("a wet pot is heavier than a dry one")


def water_content(weight_kg: float, ends: WeightEnds) -> float:
    """Share of the usable water still there: 0 at the dry weight, 1 at the wet; not clamped."""
    return (weight_kg - ends.dry_kg) / (ends.wet_kg - ends.dry_kg)


def is_this_pot(weight_kg: float, ends: WeightEnds) -> bool:
    """Whether a weight can be this pot's: plants grow and ends shift, but not by so much."""
    return -_BEYOND_ENDS <= water_content(weight_kg, ends) <= 1 + _BEYOND_ENDS


def reading_from_weight(weight_kg: float, ends: WeightEnds) -> float:
    """What a believable meter would read on average, 1 to 10, from the pot's weight."""
    span = FULL_READING - DRY_READING
    reading = DRY_READING + span * water_content(weight_kg, ends)
    return min(_TOP_READING, max(DRY_READING, reading))


def missing_by_weight_l(weight_kg: float, ends: WeightEnds) -> float:
    """Litres missing to the wet weight: a kilogram of water is a litre. Never negative."""
    return max(0.0, ends.wet_kg - weight_kg)


def dryness(reading: float) -> float:
    """How much of the refill is due: 0 at a reading of 8 or more, 1 at 1."""
    return min(1.0, max(0.0, (FULL_READING - reading) / (FULL_READING - DRY_READING)))
