"""Volumes, lengths, weights, temperatures and durations: the forms people type."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.talk.grammar.quantities import (
    Bounds,
    Duration,
    Length,
    Note,
    Refusal,
    Temperature,
    Volume,
    Weight,
    read_duration,
    read_length,
    read_temperature,
    read_volume,
    read_weight,
)
from core.care.units import System, Unit, convert

# NIST Handbook 44, App. C; UK Weights and Measures Act 1985 (FROM MEMORY, exact definitions)
US_CUP, US_FL_OZ, US_PINT = 0.2365882365, 0.0295735295625, 0.473176473
IMPERIAL_PINT, IMPERIAL_FL_OZ = 0.56826125, 0.0284130625
POUND, OUNCE = 0.45359237, 0.028349523125


def volume(text: str, system: System = System.METRIC) -> Volume:
    found = read_volume(text, system)
    assert isinstance(found, Volume), found
    return found


def refused(found: object) -> Refusal:
    assert isinstance(found, Refusal), found
    return found


@pytest.mark.parametrize(
    ("text", "litres"),
    [
        ("500ml", 0.5),
        ("500 ml", 0.5),
        ("250 ML", 0.25),
        ("400\u00a0ml", 0.4),
        ("４００ｍｌ", 0.4),
        ("٤٠٠ ml", 0.4),
        ("1,5 l", 1.5),
        ("1.5 L", 1.5),
        ("1 litre", 1),
        ("2 liters", 2),
        ("half a litre", 0.5),
        ("3 dl", 0.3),
        ("25 cl", 0.25),
        ("300 cc", 0.3),
        ("㎖ 3", None),
        ("3 ㎖", 0.003),
        ("2 tablespoons", 0.03),
        ("3 tsp", 0.015),
        ("1 l 200 ml", 1.2),
        ("1 l and 200 ml", 1.2),
        ("about 400 ml.", 0.4),
        ("(~400 ml)", 0.4),
        ("a cup and a half", 0.375),
        ("2,000 l", 2),
    ],
)
def test_volumes_are_read(text: str, litres: float | None) -> None:
    if litres is None:
        refused(read_volume(text, System.METRIC))
    else:
        assert volume(text).litres == pytest.approx(litres)


@pytest.mark.parametrize(
    ("text", "us", "imperial"),
    [
        ("2 cups", 2 * US_CUP, IMPERIAL_PINT),
        ("a cup", US_CUP, IMPERIAL_PINT / 2),
        ("half a cup", US_CUP / 2, IMPERIAL_PINT / 4),
        ("½ cup", US_CUP / 2, IMPERIAL_PINT / 4),
        ("1 1/2 cup", 1.5 * US_CUP, 0.75 * IMPERIAL_PINT),
        ("1½ cups", 1.5 * US_CUP, 0.75 * IMPERIAL_PINT),
        ("12 fl oz", 12 * US_FL_OZ, 12 * IMPERIAL_FL_OZ),
        ("12 fl. oz.", 12 * US_FL_OZ, 12 * IMPERIAL_FL_OZ),
        ("1 pint", US_PINT, IMPERIAL_PINT),
        ("a quart", 2 * US_PINT, 2 * IMPERIAL_PINT),
        ("1 gal", 8 * US_PINT, 8 * IMPERIAL_PINT),
        ("1 imperial pint", IMPERIAL_PINT, IMPERIAL_PINT),
        ("1 US pint", US_PINT, US_PINT),
        ("1 U.S. cup", US_CUP, US_CUP),
        ("1 metric cup", 0.25, 0.25),
    ],
)
def test_the_household_decides_whose_cup_it_is(text: str, us: float, imperial: float) -> None:
    assert volume(text, System.US).litres == pytest.approx(us)
    assert volume(text, System.IMPERIAL).litres == pytest.approx(imperial)


@pytest.mark.parametrize(
    ("text", "system", "notes"),
    [
        ("2 cups", System.US, (Note.US,)),
        ("2 cups", System.IMPERIAL, (Note.IMPERIAL,)),
        ("2 cups", System.METRIC, (Note.METRIC,)),
        ("1 pint", System.METRIC, (Note.US,)),
        ("12 oz", System.US, (Note.US, Note.FLUID)),
        ("12 ounces", System.IMPERIAL, (Note.IMPERIAL, Note.FLUID)),
        ("2 us cups", System.IMPERIAL, ()),
        ("400 ml", System.US, ()),
        ("2 tbsp", System.US, ()),
    ],
)
def test_the_result_says_whose_measure_was_taken(
    text: str, system: System, notes: tuple[Note, ...]
) -> None:
    assert volume(text, system).notes == notes


@pytest.mark.parametrize("text", ["½ cup", "４００ｍｌ", "400\u00a0ml", "1,5 l", "6½ cups"])
def test_what_was_said_is_kept_as_it_was_typed(text: str) -> None:
    assert volume(text).said == text.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("text", "key", "args"),
    [
        ("1,500 ml", "ambiguous-comma", {"whole": "1500", "decimal": "1.5"}),
        ("20,000 ml", "ambiguous-comma", {"whole": "20000", "decimal": "20"}),
        ("1.500 ml", "ambiguous-comma", {"whole": "1500", "decimal": "1.5"}),
        ("-5 ml", "negative", {"least": "1 ml"}),
        ("0 ml", "too-small", {"least": "1 ml"}),
        ("0.0001 l", "too-small", {"least": "0.001 l"}),
        ("300 l", "too-big", {"most": "100 l"}),
        ("9999 cups", "too-big", {"most": "400 cups"}),
        ("9" * 10_000 + " ml", "too-big", {"most": "100000 ml"}),
        ("9" * 10_000, "too-big", {"most": "100000 ml"}),
        ("nan ml", "not-a-number", {"example": "400 ml"}),
        ("inf l", "not-a-number", {}),
        ("10^400 ml", "not-a-number", {}),
        ("9**9**9", "not-a-number", {}),
        ("1/0 l", "not-a-number", {}),
        ("lots", "not-a-number", {}),
        ("🌿", "not-a-number", {}),
        ("", "nothing-said", {"example": "400 ml"}),
        (" \u200b ", "nothing-said", {}),
        ("400", "which-unit", {"one": "400 ml", "other": "1 l"}),
        ("2", "which-unit", {"one": "2 ml", "other": "2 l"}),
        ("400 zz", "unknown-unit", {"unit": "zz"}),
        ("400 🌿", "unknown-unit", {"unit": "🌿"}),
        ("10⁴ ml", "unknown-unit", {}),
        ("400 g", "wrong-kind", {"got": "weight"}),
        ("15 cm", "wrong-kind", {"got": "length"}),
        ("300-400 ml", "one-number", {"first": "300", "second": "400"}),
        ("2 x 200 ml", "one-number", {"first": "2", "second": "200"}),
        ("400 ml please", "extra-words", {"taken": "400 ml", "extra": "please"}),
    ],
)
def test_a_refusal_says_what_would_work(text: str, key: str, args: dict[str, str]) -> None:
    refusal = refused(read_volume(text, System.METRIC))
    assert refusal.key == f"quantities-{key}"
    assert args.items() <= refusal.args.items()
    assert all(len(arg) <= 60 for arg in refusal.args.values())


def test_a_comma_is_not_asked_about_when_only_one_reading_is_possible() -> None:
    """1.84 kg is a pot, 1840 kg a car; 1.25 g is no pot, 1250 g is."""
    assert read_weight("1,840 kg") == Weight(1.84, "1,840 kg", Unit.KILOGRAM)
    assert read_weight("1,250 g") == Weight(1.25, "1,250 g", Unit.GRAM)


def test_a_bare_volume_takes_the_default_unit() -> None:
    assert read_volume("400", System.METRIC, default=Unit.MILLILITRE) == Volume(
        0.4, "400", Unit.MILLILITRE
    )


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("6in", 6 * 0.0254),
        ('6"', 6 * 0.0254),
        ("6”", 6 * 0.0254),
        ("6″", 6 * 0.0254),
        ("6''", 6 * 0.0254),
        ("6 inch", 6 * 0.0254),
        ("6 inches", 6 * 0.0254),
        ("6-inch", 6 * 0.0254),
        ("6 in.", 6 * 0.0254),
        ("6 1/2 in", 6.5 * 0.0254),
        ("6½ in", 6.5 * 0.0254),
        ("15 cm", 0.15),
        ("15cm", 0.15),
        ("150mm", 0.15),
        ("1,5 m", 1.5),
        ("5' 2\"", 62 * 0.0254),
        ("5 ft 2 in", 62 * 0.0254),
        ("15", 0.15),
        ("0 cm", 0),
    ],
)
def test_lengths_are_read(text: str, metres: float) -> None:
    length = read_length(text, Unit.CENTIMETRE)
    assert isinstance(length, Length)
    assert length.metres == pytest.approx(metres)


@pytest.mark.parametrize(
    ("text", "kg"),
    [
        ("1.84 kg", 1.84),
        ("1,84 kg", 1.84),
        ("1840 g", 1.84),
        ("4 lb 3 oz", 4 * POUND + 3 * OUNCE),
        ("4lb3oz", 4 * POUND + 3 * OUNCE),
        ("4 lbs. and 3 ozs.", 4 * POUND + 3 * OUNCE),
        ("4 pounds", 4 * POUND),
        ("12 oz", 12 * OUNCE),
        ("2 kilos", 2),
    ],
)
def test_weights_are_read(text: str, kg: float) -> None:
    weight = read_weight(text)
    assert isinstance(weight, Weight)
    assert weight.kg == pytest.approx(kg)


@pytest.mark.parametrize(
    ("text", "default", "celsius"),
    [
        ("68F", None, 20),
        ("68 °F", None, 20),
        ("68 degrees Fahrenheit", None, 20),
        ("20 °C", None, 20),
        ("20 ºC", None, 20),
        ("20℃", None, 20),
        ("-3c", None, -3),
        ("–3 °C", None, -3),
        ("minus 3 C", None, -3),
        ("4", Unit.CELSIUS, 4),
        ("41", Unit.FAHRENHEIT, 5),
        ("41°", Unit.FAHRENHEIT, 5),
        ("-3 degrees", Unit.CELSIUS, -3),
        ("3,5 C", None, 3.5),
    ],
)
def test_temperatures_are_read(text: str, default: Unit | None, celsius: float) -> None:
    temperature = read_temperature(text, default)
    assert isinstance(temperature, Temperature)
    assert temperature.celsius == pytest.approx(celsius)


@pytest.mark.parametrize(
    ("text", "key", "args"),
    [
        ("900 °F", "too-big", {"most": "140 °F"}),
        ("-300 °C", "too-small", {"least": "-60 °C"}),
        ("900", "too-big", {"most": "60 °C"}),
        ("4", "which-unit", {"one": "4 °C", "other": "4 °F"}),
        ("20°", "which-unit", {"one": "20 °C", "other": "20 °F"}),
    ],
)
def test_temperatures_beyond_weather_are_refused(text: str, key: str, args: dict[str, str]) -> None:
    refusal = refused(read_temperature(text))
    assert refusal.key == f"quantities-{key}"
    assert args.items() <= refusal.args.items()


@pytest.mark.parametrize(
    ("text", "length"),
    [
        ("10m", timedelta(minutes=10)),
        ("8d", timedelta(days=8)),
        ("1h", timedelta(hours=1)),
        ("2 weeks", timedelta(weeks=2)),
        ("30 min", timedelta(minutes=30)),
        ("1 h 30 min", timedelta(minutes=90)),
        ("1h30m", timedelta(minutes=90)),
        ("an hour and a half", timedelta(minutes=90)),
        ("half an hour", timedelta(minutes=30)),
        ("a week", timedelta(weeks=1)),
        ("90 s", timedelta(seconds=90)),
    ],
)
def test_durations_are_read(text: str, length: timedelta) -> None:
    assert read_duration(text) == Duration(length, text)


@pytest.mark.parametrize("text", ["0 d", "-1 h", "4000000 d", "soon", "3 months", "1e9 s"])
def test_durations_nobody_means_are_refused(text: str) -> None:
    refused(read_duration(text))


UNITS = {"ml": 0.001, "cl": 0.01, "dl": 0.1, "l": 1.0}


@given(st.integers(1, 9999), st.sampled_from(sorted(UNITS)), st.sampled_from(["", " ", "\u00a0"]))
def test_a_written_volume_reads_as_itself(count: int, unit: str, space: str) -> None:
    litres = count * UNITS[unit]
    found = read_volume(f"{count}{space}{unit}", System.METRIC, bounds=Bounds(0.001, 10_000))
    assert isinstance(found, Volume)
    assert found.litres == pytest.approx(litres)


@given(st.integers(1, 40), st.sampled_from([1, 2, 3, 5, 7]), st.sampled_from(System))
def test_cups_in_eighths_read_as_themselves(whole: int, eighths: int, system: System) -> None:
    cup = {System.METRIC: Unit.METRIC_CUP, System.US: Unit.US_CUP}.get(system, Unit.IMPERIAL_CUP)
    found = volume(f"{whole} {eighths}/8 cups", system)
    assert convert(found.litres, Unit.LITRE, cup) == pytest.approx(whole + eighths / 8)


@given(
    st.sampled_from(["ml", "l", "cups", "fl oz", "pint", "qt", "gal", "tbsp", "tsp", "us cups"]),
    st.sampled_from(System),
    st.sampled_from(["1000000", "0.00001"]),
)
def test_the_bound_that_is_offered_is_taken(unit: str, system: System, count: str) -> None:
    refusal = refused(read_volume(f"{count} {unit}", system))
    offered = refusal.args.get("most") or refusal.args["least"]
    assert isinstance(read_volume(offered, system), Volume)


@given(st.text("0123456789.,", min_size=1, max_size=6), st.sampled_from(System))
def test_the_units_offered_for_a_bare_number_are_taken(number: str, system: System) -> None:
    refusal = read_volume(number, system)
    if isinstance(refusal, Refusal) and refusal.key == "quantities-which-unit":
        assert isinstance(read_volume(refusal.args["other"], system), Volume)
        assert isinstance(read_volume(refusal.args["one"], system), Volume)
