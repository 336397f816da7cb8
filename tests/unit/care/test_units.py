"""Conversions that need no library say the same as the library."""

from __future__ import annotations

import itertools
import subprocess
import sys

import pytest

from core.care import units
from core.care.units import System, Unit, convert, kitchen_measure

METRIC_PAIRS = [pair for sizes in units._METRIC for pair in itertools.permutations(sizes, 2)]


@pytest.mark.parametrize(("unit", "to"), METRIC_PAIRS)
def test_metric_units_convert_as_pint_converts_them(unit: Unit, to: Unit) -> None:
    registry = units._registry()
    for value in (0.0, 0.37, 1.0, 15.0, 1234.5):
        expected = registry.Quantity(value, unit.value).to(to.value).magnitude
        assert convert(value, unit, to) == pytest.approx(expected, rel=1e-11)


@pytest.mark.parametrize(
    ("unit", "to"), [(Unit.LITRE, Unit.METRE), (Unit.GRAM, Unit.LITRE), (Unit.CELSIUS, Unit.GRAM)]
)
def test_what_measures_different_things_is_refused(unit: Unit, to: Unit) -> None:
    from pint import DimensionalityError

    with pytest.raises(DimensionalityError):
        convert(1.0, unit, to)


def test_a_metric_household_never_waits_for_the_registry() -> None:
    script = (
        "import sys; from core.care.units import *;"
        "convert(15.0, Unit.CENTIMETRE, Unit.METRE); kitchen_measure(0.4, System.METRIC);"
        "assert 'pint' not in sys.modules; kitchen_measure(0.4, System.US);"
        "assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", script], check=True, timeout=60)


@pytest.mark.parametrize("system", System)
def test_a_kitchen_measure_holds_about_what_was_asked(system: System) -> None:
    assert kitchen_measure(0.4, system).litres == pytest.approx(0.4, rel=0.15)
