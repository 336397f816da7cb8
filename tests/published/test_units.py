"""Conversions against the published definitions, and the ways in which unit parsers go wrong.

Marks: FROM MEMORY (the publication was not read; the definitions are exact), COMPUTED.
"""

from __future__ import annotations

import subprocess
import sys

import pytest

from bot.talk.grammar.pots import find_pot, read_pot
from bot.talk.grammar.quantities import (
    Note,
    Refusal,
    Temperature,
    Volume,
    Weight,
    find_temperature,
    find_volume,
    find_weight,
    read_duration,
    read_length,
    read_temperature,
    read_volume,
    read_weight,
)
from core.care import units
from core.care.units import System, Unit, convert


@pytest.mark.parametrize(
    ("value", "unit", "to", "expected"),
    [
        # NIST Handbook 44, Appendix C (FROM MEMORY, exact definitions)
        (1, Unit.US_GALLON, Unit.CUBIC_INCH, 231),
        (1, Unit.US_GALLON, Unit.LITRE, 3.785412),
        (1, Unit.US_DRY_GALLON, Unit.CUBIC_INCH, 268.8025),
        (1, Unit.US_DRY_GALLON, Unit.LITRE, 4.404884),
        (1, Unit.US_DRY_QUART, Unit.CUBIC_INCH, 67.200625),
        (1, Unit.US_DRY_QUART, Unit.LITRE, 1.101221),
        (1, Unit.CUBIC_INCH, Unit.MILLILITRE, 16.387064),
        (1, Unit.US_CUP, Unit.MILLILITRE, 236.588237),
        (1, Unit.US_GALLON, Unit.US_FLUID_OUNCE, 128),
        (1, Unit.US_CUP, Unit.US_TABLESPOON, 16),
        (1, Unit.US_TABLESPOON, Unit.US_TEASPOON, 3),
        (1, Unit.INCH, Unit.CENTIMETRE, 2.54),
        (1, Unit.POUND, Unit.KILOGRAM, 0.45359237),
        (1, Unit.POUND, Unit.OUNCE, 16),
        # UK Weights and Measures Act 1985: the gallon is 4.54609 L (FROM MEMORY, exact)
        (1, Unit.IMPERIAL_GALLON, Unit.LITRE, 4.54609),
        (1, Unit.IMPERIAL_PINT, Unit.MILLILITRE, 568.26125),
        (1, Unit.IMPERIAL_GALLON, Unit.IMPERIAL_FLUID_OUNCE, 160),
        # foot-candle: one lumen on a square foot (COMPUTED from the foot: 1 / 0.3048^2)
        (1, Unit.FOOT_CANDLE, Unit.LUX, 10.7639),
        (1000, Unit.LUX, Unit.FOOT_CANDLE, 92.9030),
    ],
)
def test_a_definition_holds_both_ways(value: float, unit: Unit, to: Unit, expected: float) -> None:
    assert convert(value, unit, to) == pytest.approx(expected, rel=1e-6)
    assert convert(expected, to, unit) == pytest.approx(value, rel=1e-6)


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    # F = 9/5 C + 32: freezing, boiling, where the scales meet, a warm room (COMPUTED)
    [(32, 0), (212, 100), (-40, -40), (68, 20), (50, 10)],
)
def test_the_two_thermometers_agree(fahrenheit: float, celsius: float) -> None:
    assert convert(fahrenheit, Unit.FAHRENHEIT, Unit.CELSIUS) == pytest.approx(celsius, abs=1e-9)
    assert convert(celsius, Unit.CELSIUS, Unit.FAHRENHEIT) == pytest.approx(fahrenheit, abs=1e-9)


class TestWhereUnitParsersGoWrong:
    """Each was seen to be misread by a general unit parser (hgrecco/pint 0.25.3, measured)."""

    @pytest.mark.parametrize(
        ("text", "system", "litres"),
        [
            ("1,5 l", System.METRIC, 1.5),  # there: 15 l
            ("1 1/2 cup", System.US, 0.354882),  # there: 0.5 cup
            ("250 ML", System.METRIC, 0.25),  # there: megalitres
            ("8 fl oz", System.US, 0.236588),  # there: femtolitre times ounce
            ("½ cup", System.US, 0.118294),  # there: a syntax error
            ("٣ ml", System.METRIC, 0.003),  # there: a syntax error
            ("1 gallon", System.IMPERIAL, 4.54609),  # pint #2048: US gallons all the same
            ("1 gallon", System.US, 3.785412),
        ],
    )
    def test_a_volume_is_read_as_meant(self, text: str, system: System, litres: float) -> None:
        volume = read_volume(text, system)
        assert isinstance(volume, Volume)
        assert volume.litres == pytest.approx(litres, rel=1e-5)

    @pytest.mark.parametrize(
        ("text", "celsius"),
        [("20 C", 20), ("68 F", 20), ("20 °C", 20), ("-3 C", -3)],  # there: coulomb, farad, error
    )
    def test_a_temperature_is_a_temperature(self, text: str, celsius: float) -> None:
        temperature = read_temperature(text)
        assert isinstance(temperature, Temperature)
        assert temperature.celsius == pytest.approx(celsius)

    @pytest.mark.parametrize("text", ["nan ml", "inf l", "-inf l", "NaN", "9**9**9", "6^800000 ml"])
    def test_what_is_no_number_is_refused(self, text: str) -> None:
        refusal = read_volume(text, System.METRIC)
        assert isinstance(refusal, Refusal)
        assert refusal.key == "quantities-not-a-number"

    def test_ounces_are_of_volume_where_water_is_meant_and_of_weight_on_the_scale(self) -> None:
        """hgrecco/pint #1784: an ounce is mass there, so cups to ounces fails."""
        water, scale = read_volume("12 oz", System.US), read_weight("12 oz")
        assert isinstance(water, Volume)
        assert isinstance(scale, Weight)
        assert water.litres == pytest.approx(12 * 0.0295735, rel=1e-5)
        assert water.notes == (Note.US, Note.FLUID)
        assert scale.kg == pytest.approx(0.75 * 0.45359237)

    def test_no_text_reaches_the_parser_of_pint(self, monkeypatch: pytest.MonkeyPatch) -> None:
        registry = units._registry()

        def fail(*args: object, **kwargs: object) -> None:
            pytest.fail(f"pint was asked to parse {args!r}")

        for name in ("parse_expression", "parse_units", "parse_units_as_container", "__call__"):
            monkeypatch.setattr(type(registry), name, fail)
        monkeypatch.setattr("pint.util.string_preprocessor", fail)
        for text in ("1,5 l", "9**9**9 ml", "a cup", "20 °C", "4 lb 3 oz", "6in pot", "2 h", "x"):
            for system in System:
                read_volume(text, system)
                find_volume(f"gave the fern {text}", system)
                read_pot(text, system)
                find_pot(text, system)
            read_length(text, Unit.CENTIMETRE)
            read_weight(text)
            find_weight(text)
            read_temperature(text, Unit.CELSIUS)
            find_temperature(text)
            read_duration(text)

    def test_the_registry_is_loaded_when_something_is_converted_and_not_before(self) -> None:
        """hgrecco/pint #1742, #2430: import and registry are slow, so a start must not pay."""
        script = (
            "import sys; from core.care.units import System, Unit, convert;"
            "from bot.talk.grammar.quantities import read_volume;"
            "from bot.talk.grammar.pots import find_pot;"
            "find_pot('north window', System.METRIC);"
            "assert 'pint' not in sys.modules; convert(1.0, Unit.INCH, Unit.METRE);"
            "assert 'pint' in sys.modules"
        )
        subprocess.run([sys.executable, "-c", script], check=True, timeout=60)
