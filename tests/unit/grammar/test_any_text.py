"""Whatever is typed: an answer comes, soon, and it is one of the promised kinds."""

from __future__ import annotations

import time
from collections.abc import Callable
from importlib.resources import files

import pytest
from fluent.runtime import FluentBundle, FluentResource
from hypothesis import given
from hypothesis import strategies as st

from bot.talk.grammar.pots import find_pot, read_pot
from bot.talk.grammar.quantities import (
    Found,
    Refusal,
    find_duration,
    find_length,
    find_temperature,
    find_volume,
    find_weight,
    read_duration,
    read_length,
    read_temperature,
    read_volume,
    read_weight,
)
from core.care.units import System, Unit

READERS: list[Callable[[str], object]] = [
    lambda text: read_volume(text, System.US),
    lambda text: find_volume(text, System.IMPERIAL),
    lambda text: read_length(text, Unit.CENTIMETRE),
    find_length,
    read_weight,
    find_weight,
    lambda text: read_temperature(text, Unit.FAHRENHEIT),
    lambda text: find_temperature(text, Unit.CELSIUS),
    read_duration,
    find_duration,
    lambda text: read_pot(text, System.US),
    lambda text: find_pot(text, System.METRIC),
]
TYPED = (
    "1 2 15 1,5 1,500 .5 ½ 1/2 1/0 -3 − 9**9 x × by ml l cups cup oz fl pint gal lb kg g cm in "
    "\" ' ' ft m D d h # #1 °C °F ° degrees a an half of and pot deep wide top base hole no with "
    "pebbles clay glazed cachepot box oval nan inf e400 ^ 🌿 ٣ ５ \u00a0 \u200f , . ; - to or"
)
PIECES = st.lists(st.sampled_from(TYPED.split(" ")), max_size=12)
LINES = st.one_of(st.text(max_size=80), PIECES.map(" ".join), PIECES.map("".join))


@pytest.fixture(scope="module")
def bundle() -> FluentBundle:
    words = files("bot.talk").joinpath("catalogues/en/quantities.ftl").read_text("utf-8")
    made = FluentBundle(["en"], use_isolating=False)
    made.add_resource(FluentResource(words))
    return made


@given(LINES)
def test_any_text_gets_an_answer_and_every_refusal_has_its_words(
    bundle: FluentBundle, text: str
) -> None:
    for reader in READERS:
        answer = reader(text)
        if isinstance(answer, Refusal):
            message = bundle.get_message(answer.key)
            assert message.value is not None
            worded, errors = bundle.format_pattern(message.value, dict(answer.args))
            assert not errors
            assert len(str(worded)) < 400
        elif isinstance(answer, Found):
            start, end = answer.span
            assert 0 <= start < end <= len(text)


@pytest.mark.parametrize(
    "text",
    [
        "9" * 100_000, "1 " * 5_000, "a " * 5_000, "1," * 5_000, "9**" * 5_000, "half a " * 2_000,
        "D1x" * 3_000, "in a " * 3_000, "#" * 10_000, " " * 100_000, "-" * 10_000, "½" * 5_000,
        "no hole " * 1_000, "1 cm of pebbles " * 500, "١" * 10_000, "🌿" * 5_000, "x" * 50_000,
        "1 to " * 3_000, "in a cachepot " * 500, "1/2" * 5_000,
    ],
    ids=lambda text: f"{text[:8]!r}...",
)  # fmt: skip
def test_long_nonsense_takes_no_time(text: str) -> None:
    begun = time.process_time()
    for reader in READERS:
        reader(text)
    assert time.process_time() - begun < 5  # twelve readers on a slow machine, however busy
