"""Numbers as people type them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.talk.grammar.numbers import Refusal, clip, fold, read_number, tidy


@pytest.mark.parametrize(
    ("text", "value", "rest"),
    [
        ("6in", 6, "in"),
        ("6 1/2 in", 6.5, "in"),
        ("6½ in", 6.5, "in"),
        ("6-1/2 in", 6.5, "in"),
        ("½ cup", 0.5, "cup"),
        ("⅔", 2 / 3, ""),
        ("1⁄2", 0.5, ""),
        ("1,5 l", 1.5, "l"),
        ("1.5", 1.5, ""),
        (".5", 0.5, ""),
        ("0,500", 0.5, ""),
        ("1,500.5", 1500.5, ""),
        ("1.500,5", 1500.5, ""),
        ("1,500,000", 1_500_000, ""),
        ("-3c", -3, "c"),
        ("−3", -3, ""),
        ("–3", -3, ""),
        ("- 3", -3, ""),
        ("minus 3", -3, ""),
        ("+4", 4, ""),
        ("٣٫٥ l", 3.5, "l"),
        ("५", 5, ""),
        ("５００ｍｌ", 500, "ｍｌ"),
        ("a cup", 1, "cup"),
        ("half a cup", 0.5, "cup"),
        ("a half cup", 0.5, "cup"),
        ("half cup", 0.5, "cup"),
        ("three quarters of a cup", 0.75, "cup"),
        ("one and a half cups", 1.5, "cups"),
        ("2 and a half", 2.5, ""),
        ("two", 2, ""),
        ("\u200e12\u00a0cm", 12, "cm"),
    ],
)
def test_the_number_and_what_follows(text: str, value: float, rest: str) -> None:
    found = read_number(text)
    assert isinstance(found, tuple)
    assert found[0] == pytest.approx(value)
    assert found[1] == rest


@pytest.mark.parametrize(
    "text",
    ["nan", "inf", "∞", "10^400", "9**9**9", "1e400", "1/0", "400/500", "1.2.3", "9" * 10_000],
)
def test_what_only_looks_like_a_number_is_refused(text: str) -> None:
    refusal = read_number(text)
    assert isinstance(refusal, Refusal)
    assert refusal.key == "quantities-not-a-number"


@pytest.mark.parametrize("text", ["", " ", "🌿", "fern", "another", "nancy", "halfway", "cup"])
def test_other_words_are_no_number(text: str) -> None:
    assert read_number(text) is None


@pytest.mark.parametrize("text", ["1,500", "1.500", "999,999"])
def test_a_mark_before_three_digits_asks(text: str) -> None:
    refusal = read_number(text)
    assert isinstance(refusal, Refusal)
    assert refusal.key == "quantities-ambiguous-comma"
    assert float(refusal.args["whole"]) == pytest.approx(1000 * float(refusal.args["decimal"]))


@given(st.text(max_size=200))
def test_folding_keeps_track_of_every_place(text: str) -> None:
    folded = fold(text)
    assert len(folded.origin) == len(folded.text) + 1
    assert list(folded.origin) == sorted(folded.origin)
    assert folded.origin[-1] == len(text)
    assert fold(folded.text).text == folded.text


@given(st.decimals(0, 9999, places=2, allow_nan=False), st.sampled_from([".", ","]))
def test_a_decimal_is_read_with_either_mark(number: object, mark: str) -> None:
    found = read_number(str(number).replace(".", mark))
    assert isinstance(found, tuple)
    assert found[0] == pytest.approx(float(str(number)))


@given(st.text())
def test_pieces_said_back_are_short(text: str) -> None:
    assert len(clip(text)) <= 40
    assert tidy(tidy(text)) == tidy(text)
