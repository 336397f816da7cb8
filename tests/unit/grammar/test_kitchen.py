"""Kitchen measures and rounded doses: close enough to the amount, and in marks people have."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.care.units import Kitchen, System, Unit, kitchen_measure, round_dose, to_litres

LITRES = st.floats(0.001, 100)


@given(LITRES, st.sampled_from(System))
def test_a_kitchen_measure_is_about_the_amount(litres: float, system: System) -> None:
    kitchen = kitchen_measure(litres, system)
    assert kitchen.litres == pytest.approx(to_litres(float(kitchen.count), kitchen.unit))
    assert (4 * kitchen.count).denominator == 1
    assert kitchen.count > 0
    # within half a teaspoon, from a tablespoon up within a quarter of the amount
    slack = 0.00255 if litres < 0.015 else litres / 4
    assert abs(kitchen.litres - litres) <= slack + 1e-9


@pytest.mark.parametrize(
    ("millilitres", "system", "count", "unit"),
    [
        (400, System.US, Fraction(7, 4), Unit.US_CUP),
        (600, System.US, Fraction(5, 2), Unit.US_CUP),
        (600, System.METRIC, Fraction(5, 2), Unit.METRIC_CUP),
        (30, System.METRIC, Fraction(2), Unit.METRIC_TABLESPOON),
        (5, System.METRIC, Fraction(1), Unit.METRIC_TEASPOON),
        (1500, System.METRIC, Fraction(3, 2), Unit.LITRE),
        (946, System.US, Fraction(1), Unit.US_QUART),
        (568, System.IMPERIAL, Fraction(1), Unit.IMPERIAL_PINT),
        (142, System.IMPERIAL, Fraction(5), Unit.IMPERIAL_FLUID_OUNCE),
    ],
)
def test_familiar_amounts_have_their_familiar_measure(
    millilitres: float, system: System, count: Fraction, unit: Unit
) -> None:
    kitchen = kitchen_measure(millilitres / 1000, system)
    assert kitchen == Kitchen(count, unit, to_litres(float(count), unit))


@given(st.floats(0.02, 100))
def test_a_rounded_dose_is_never_off_by_more_than_an_eighth(litres: float) -> None:
    assert abs(round_dose(litres) - litres) <= litres / 8 + 1e-9


@given(LITRES)
def test_rounding_twice_changes_nothing(litres: float) -> None:
    assert round_dose(round_dose(litres)) == round_dose(litres)


@given(LITRES, LITRES)
def test_more_water_never_rounds_to_less(one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert round_dose(less) <= round_dose(more)


@pytest.mark.parametrize(
    ("litres", "rounded"),
    [(0, 0), (-1, 0), (0.001, 0.005), (0.187, 0.19), (0.337, 0.35), (0.56, 0.55), (1.24, 1.2)],
)
def test_doses_land_on_the_marks_of_a_jug(litres: float, rounded: float) -> None:
    assert round_dose(litres) == rounded
