"""What people say they found, in the words of their hands."""

from __future__ import annotations

import pytest

from bot.talk.grammar.readings import read_found
from core.care.reading import Found, Instrument, Layer, Wetness


@pytest.mark.parametrize(
    ("said", "layer", "word", "instrument"),
    [
        ("dry 2 inches down", Layer.SURFACE, Wetness.DRY, Instrument.UNSAID),
        ("dry two inches down", Layer.SURFACE, Wetness.DRY, Instrument.UNSAID),
        ("wet at 3 cm", Layer.SURFACE, Wetness.WET, Instrument.UNSAID),
        ("moist 10 cm deep", Layer.MIDDLE, Wetness.MOIST, Instrument.UNSAID),
        ("finger 2 knuckles dry", Layer.SURFACE, Wetness.DRY, Instrument.FINGER),
        ("knuckle dry", Layer.SURFACE, Wetness.DRY, Instrument.FINGER),
        ("toothpick moist", Layer.DEEP, Wetness.MOIST, Instrument.STICK),
        ("almost dry", Layer.SURFACE, Wetness.BARELY_MOIST, Instrument.UNSAID),
    ],
)
def test_words_with_a_depth_or_a_tool(
    said: str, layer: Layer, word: Wetness, instrument: Instrument
) -> None:
    """A finger reaches 3 to 6 cm, a stick the bottom (common practice, no source)."""
    found = read_found(said)
    assert isinstance(found, Found)
    (one,) = found.readings
    assert (one.layer, one.word, one.instrument) == (layer, word, instrument)


@pytest.mark.parametrize(
    ("said", "values"),
    [
        ("3\ufe0f\u20e3", [3]),
        ("3 in 2 places", [3]),
        ("3 in two spots", [3]),
        ("in three places 3 4 5", [3, 4, 5]),
        ("4 at 5 cm", [4]),
        ("3 5 cm down", [3]),
    ],
)
def test_numbers_beside_other_signs(said: str, values: list[float]) -> None:
    found = read_found(said)
    assert isinstance(found, Found)
    assert [one.value for one in found.readings] == values
