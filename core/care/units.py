"""Conversion between the units a household uses and the ones we reckon in.

A small pint registry holds only the units below and says how many of one make another. It is
built for the first pair that isn't plainly metric, because importing pint costs a few tenths of
a second. A person's text never comes here: the grammar in front hands over a number and a
member of `Unit`.

Inside we reckon in litres, metres, kilograms, degrees Celsius, seconds and foot-candles.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pint import Unit as PintUnit
    from pint import UnitRegistry


class System(StrEnum):
    """Which measures a household thinks in; it decides what a cup, a pint, a gallon is."""

    METRIC = "metric"
    US = "us"
    IMPERIAL = "imperial"

    @property
    def degrees(self) -> Unit:
        """The scale in which a bare number of degrees is meant."""
        return Unit.FAHRENHEIT if self is System.US else Unit.CELSIUS


class Unit(StrEnum):
    """Every unit we convert; the value is its name in the registry."""

    LITRE = "litre"
    DECILITRE = "decilitre"
    CENTILITRE = "centilitre"
    MILLILITRE = "millilitre"
    METRIC_CUP = "metric_cup"
    METRIC_TABLESPOON = "metric_tablespoon"
    METRIC_TEASPOON = "metric_teaspoon"
    US_GALLON = "us_gallon"
    US_QUART = "us_quart"
    US_PINT = "us_pint"
    US_CUP = "us_cup"
    US_FLUID_OUNCE = "us_fluid_ounce"
    US_TABLESPOON = "us_tablespoon"
    US_TEASPOON = "us_teaspoon"
    US_DRY_GALLON = "us_dry_gallon"
    US_DRY_QUART = "us_dry_quart"
    IMPERIAL_GALLON = "imperial_gallon"
    IMPERIAL_QUART = "imperial_quart"
    IMPERIAL_PINT = "imperial_pint"
    IMPERIAL_CUP = "imperial_cup"
    IMPERIAL_FLUID_OUNCE = "imperial_fluid_ounce"
    CUBIC_INCH = "cubic_inch"
    METRE = "metre"
    CENTIMETRE = "centimetre"
    MILLIMETRE = "millimetre"
    INCH = "inch"
    FOOT = "foot"
    KILOGRAM = "kilogram"
    GRAM = "gram"
    POUND = "pound"
    OUNCE = "ounce"
    CELSIUS = "celsius"
    FAHRENHEIT = "fahrenheit"
    SECOND = "second"
    MINUTE = "minute"
    HOUR = "hour"
    DAY = "day"
    WEEK = "week"
    LUX = "lux"
    FOOT_CANDLE = "foot_candle"


# NIST Handbook 44, Appendix C, for the inch, pound and US measures (all exact); the imperial
# gallon is 4.54609 L exactly (UK Weights and Measures Act 1985). The metric cup and spoons
# are the kitchen ones of 250, 15 and 5 ml; British spoons are taken as metric, as they are
# sold today; an imperial cup is half an imperial pint.
_DEFINITIONS = """
metre = [length]
centimetre = 0.01 * metre
millimetre = 0.001 * metre
inch = 0.0254 * metre
foot = 12 * inch
litre = 0.001 * metre ** 3
decilitre = 0.1 * litre
centilitre = 0.01 * litre
millilitre = 0.001 * litre
metric_cup = 250 * millilitre
metric_tablespoon = 15 * millilitre
metric_teaspoon = 5 * millilitre
cubic_inch = inch ** 3
us_gallon = 231 * cubic_inch
us_quart = us_gallon / 4
us_pint = us_gallon / 8
us_cup = us_gallon / 16
us_fluid_ounce = us_gallon / 128
us_tablespoon = us_gallon / 256
us_teaspoon = us_gallon / 768
us_dry_gallon = 268.8025 * cubic_inch
us_dry_quart = us_dry_gallon / 4
imperial_gallon = 4.54609 * litre
imperial_quart = imperial_gallon / 4
imperial_pint = imperial_gallon / 8
imperial_cup = imperial_gallon / 16
imperial_fluid_ounce = imperial_gallon / 160
kilogram = [mass]
gram = 0.001 * kilogram
pound = 0.45359237 * kilogram
ounce = pound / 16
kelvin = [temperature]; offset: 0
celsius = kelvin; offset: 273.15
fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9
second = [time]
minute = 60 * second
hour = 60 * minute
day = 24 * hour
week = 7 * day
candela = [luminosity]
lux = candela / metre ** 2
foot_candle = candela / foot ** 2
"""


@lru_cache(maxsize=1)
def _registry() -> UnitRegistry[float]:
    import pint  # 0.3 s: only paid by those who convert

    registry: UnitRegistry[float] = pint.UnitRegistry(None)
    for line in _DEFINITIONS.strip().splitlines():
        registry.define(line)
    return registry


_TEMPERATURES = frozenset({Unit.CELSIUS, Unit.FAHRENHEIT})

# Powers of ten and the round numbers of kitchen measures need no library; most households ask
# for nothing else, and so never wait for it. A test compares each with pint.
_METRIC = (
    {
        Unit.LITRE: 1.0,
        Unit.DECILITRE: 0.1,
        Unit.CENTILITRE: 0.01,
        Unit.MILLILITRE: 0.001,
        Unit.METRIC_CUP: 0.25,
        Unit.METRIC_TABLESPOON: 0.015,
        Unit.METRIC_TEASPOON: 0.005,
    },
    {Unit.METRE: 1.0, Unit.CENTIMETRE: 0.01, Unit.MILLIMETRE: 0.001},
    {Unit.KILOGRAM: 1.0, Unit.GRAM: 0.001},
)


def convert(value: float, unit: Unit, to: Unit) -> float:
    """Express `value` of `unit` in `to`; twelve significant digits are kept.

    Raises pint.DimensionalityError when the two measure different things.
    """
    if unit is to:
        return value
    exact = _by_pint(value, unit, to) if unit in _TEMPERATURES else value * _factor(unit, to)
    return float(f"{exact:.12g}")


@lru_cache(maxsize=len(Unit) ** 2)
def _factor(unit: Unit, to: Unit) -> float:
    """How many of `to` make one `unit`."""
    for sizes in _METRIC:
        if unit in sizes and to in sizes:
            return sizes[unit] / sizes[to]
    return _by_pint(1.0, unit, to)


def _by_pint(value: float, unit: Unit, to: Unit) -> float:
    quantity = _registry().Quantity(value, _picked(unit)).to(_picked(to))
    return float(quantity.magnitude)


@lru_cache(maxsize=len(Unit))
def _picked(unit: Unit) -> PintUnit:
    """The unit object, made without a look at pint's parser."""
    from pint.util import UnitsContainer

    return _registry().Unit(UnitsContainer({unit.value: 1}))


def to_litres(value: float, unit: Unit) -> float:
    """Litres in `value` of a unit of volume."""
    return convert(value, unit, Unit.LITRE)


def to_metres(value: float, unit: Unit) -> float:
    """Metres in `value` of a unit of length."""
    return convert(value, unit, Unit.METRE)


def to_kilograms(value: float, unit: Unit) -> float:
    """Kilograms in `value` of a unit of mass."""
    return convert(value, unit, Unit.KILOGRAM)


def to_celsius(value: float, unit: Unit) -> float:
    """Degrees Celsius for a thermometer reading in `unit`."""
    return convert(value, unit, Unit.CELSIUS)


@dataclass(frozen=True, slots=True)
class Kitchen:
    """A measure from the kitchen: `count` of `unit`, the count in quarters, halves or wholes.

    `Unit.LITRE` stands for a one-litre jug: a count of 1/2 is "half of a 1 L jug".
    """

    count: Fraction
    unit: Unit
    litres: float


@dataclass(frozen=True, slots=True)
class _Step:
    """Up to `below_l` litres, measure in `unit` to the nearest `step` of it."""

    below_l: float
    unit: Unit
    step: Fraction


_WHOLE, _HALF, _QUARTER = Fraction(1), Fraction(1, 2), Fraction(1, 4)

# Ours: the largest measure a kitchen has for the amount, in marks it is likely to carry, so
# that the rounding stays well inside what the dose itself is good for.
_LADDERS: dict[System, tuple[_Step, ...]] = {
    System.METRIC: (
        _Step(0.0125, Unit.METRIC_TEASPOON, _HALF),
        _Step(0.03, Unit.METRIC_TABLESPOON, _HALF),
        _Step(0.11, Unit.METRIC_TABLESPOON, _WHOLE),
        _Step(0.5, Unit.METRIC_CUP, _QUARTER),
        _Step(0.9, Unit.METRIC_CUP, _HALF),
        _Step(5.0, Unit.LITRE, _QUARTER),
        _Step(math.inf, Unit.LITRE, _HALF),
    ),
    System.US: (
        _Step(0.0125, Unit.US_TEASPOON, _HALF),
        _Step(0.03, Unit.US_TABLESPOON, _HALF),
        _Step(0.11, Unit.US_TABLESPOON, _WHOLE),
        _Step(0.475, Unit.US_CUP, _QUARTER),
        _Step(0.9, Unit.US_CUP, _HALF),
        _Step(3.7, Unit.US_QUART, _QUARTER),
        _Step(math.inf, Unit.US_GALLON, _QUARTER),
    ),
    System.IMPERIAL: (
        _Step(0.0125, Unit.METRIC_TEASPOON, _HALF),
        _Step(0.03, Unit.METRIC_TABLESPOON, _HALF),
        _Step(0.11, Unit.METRIC_TABLESPOON, _WHOLE),
        _Step(0.27, Unit.IMPERIAL_FLUID_OUNCE, _WHOLE),
        _Step(1.1, Unit.IMPERIAL_PINT, _QUARTER),
        _Step(4.5, Unit.IMPERIAL_PINT, _HALF),
        _Step(math.inf, Unit.IMPERIAL_GALLON, _QUARTER),
    ),
}


def kitchen_measure(litres: float, system: System) -> Kitchen:
    """The friendliest kitchen measure for `litres` (above 0), with what it really holds."""
    step = next(step for step in _LADDERS[system] if litres < step.below_l)
    count = _nearest(convert(litres, Unit.LITRE, step.unit), step.step)
    return Kitchen(count, step.unit, to_litres(float(count), step.unit))


def _nearest(value: float, step: Fraction) -> Fraction:
    """The multiple of `step` nearest to `value`, at least one step."""
    return max(1, math.floor(value / step + Fraction(1, 2))) * step


# Ours: what a measuring jug shows and a hand can pour; (below these litres, nearest this many).
_DOSE_STEPS = ((0.05, 0.005), (0.2, 0.01), (1.0, 0.05), (3.0, 0.1), (10.0, 0.25))
_DOSE_STEP_ABOVE = 0.5


def round_dose(litres: float) -> float:
    """Round a dose (litres) to what can be measured out: 10 ml under 200, 50 ml up to a litre.

    Under 50 ml to the nearest 5 (at least 5), from 1 L to 100 ml, from 3 L to 250 ml, from
    10 L to half a litre. Nothing stays nothing. Never off by more than an eighth from 20 ml up.
    """
    if litres <= 0:
        return 0.0
    size = next((step for below, step in _DOSE_STEPS if litres < below), _DOSE_STEP_ABOVE)
    millilitres = round(size * 1000)
    return max(1, math.floor(litres / size + 0.5)) * millilitres / 1000
