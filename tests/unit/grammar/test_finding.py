"""Quantities inside a longer line: what is found, where, and what is left."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.talk.grammar.quantities import (
    Found,
    Refusal,
    find_duration,
    find_length,
    find_temperature,
    find_volume,
    find_weight,
)
from core.care.units import System, Unit


@pytest.mark.parametrize(
    ("text", "litres", "rest"),
    [
        ("gave the fern 400 ml", 0.4, "gave the fern"),
        ("gave the fern about 400 ml of water yesterday", 0.4, "gave the fern yesterday"),
        ("gave the fern half a litre 2 days ago", 0.5, "gave the fern 2 days ago"),
        ("fern, 1,5 l, yesterday", 1.5, "fern, yesterday"),
        ("fern,400 ml", 0.4, "fern"),
        ("fern-400 ml", 0.4, "fern"),
        ("fern 2 - 400 ml", 0.4, "fern 2"),
        ("fern 1 500 ml", 0.5, "fern 1"),
        ("p1 400ml", 0.4, "p1"),
        ("Nan 400 ml", 0.4, "Nan"),
        ("🌿 400 ml", 0.4, "🌿"),
        ("20-10-20 at 100ppm in 2L", 2, "20-10-20 at 100ppm in"),
        ("gave fern a cup", 0.25, "gave fern"),
    ],
)
def test_a_volume_is_found_in_its_line(text: str, litres: float, rest: str) -> None:
    found = find_volume(text, System.METRIC)
    assert isinstance(found, Found)
    assert found.value.litres == pytest.approx(litres)
    assert found.rest == rest
    start, end = found.span
    assert found.value.said in text[start:end]


@pytest.mark.parametrize("text", ["fig is dry", "fern 3 4", "", "4m 6d", "15 cm pot", "fern 1.5"])
def test_a_line_without_a_volume_has_none(text: str) -> None:
    assert find_volume(text, System.METRIC) is None


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("gave fern 1,500 ml", "ambiguous-comma"),
        ("gave fern 300-400 ml", "one-number"),
        ("gave fern 300 - 400 ml", "one-number"),
        ("gave fern 300 to 400 ml", "one-number"),
        ("gave fern 300 ml or 400 ml", "one-number"),
        ("gave fern 2x200 ml", "one-number"),
        ("gave fern 2 × 200 ml", "one-number"),
        ("gave fern 200 ml x 2", "one-number"),
        ("gave fern -5 ml", "negative"),
        ("gave fern 500 l", "too-big"),
        ("gave fern 9**9 ml", "not-a-number"),
    ],
)
def test_a_volume_that_is_no_good_is_refused_where_it_stands(text: str, key: str) -> None:
    found = find_volume(text, System.METRIC)
    assert isinstance(found, Refusal)
    assert found.key == f"quantities-{key}"


def test_other_kinds_are_found_too() -> None:
    low = find_temperature("tonight -3c outside")
    assert isinstance(low, Found)
    assert (low.value.celsius, low.rest) == (-3, "tonight outside")
    mild = find_temperature("tonight 41 degrees", Unit.FAHRENHEIT)
    assert isinstance(mild, Found)
    assert mild.value.celsius == pytest.approx(5)
    heavy = find_weight("fern 1,84 kg")
    assert isinstance(heavy, Found)
    assert (heavy.value.kg, heavy.rest) == (1.84, "fern")
    far = find_length("fig 30 cm from the glass")
    assert isinstance(far, Found)
    assert (far.value.metres, far.rest) == (0.3, "fig from the glass")
    long = find_duration("sitter Noor for 2 weeks")
    assert isinstance(long, Found)
    assert (long.value.length, long.rest) == (timedelta(weeks=2), "sitter Noor for")


def test_a_bare_degree_without_a_household_scale_is_left_alone() -> None:
    assert find_temperature("tonight 4 degrees") is None


WORDS = st.lists(
    st.sampled_from(["gave", "the", "fern", "fig", "yesterday", "p1", "plant"]), max_size=4
)


@given(WORDS, st.integers(1, 99_999), WORDS)
def test_the_rest_is_the_line_without_the_volume(
    before: list[str], millilitres: int, after: list[str]
) -> None:
    text = " ".join([*before, f"{millilitres} ml", *after])
    found = find_volume(text, System.METRIC)
    assert isinstance(found, Found)
    assert found.value.litres == pytest.approx(millilitres / 1000)
    assert found.rest == " ".join([*before, *after])
    assert text[slice(*found.span)] == f"{millilitres} ml"
