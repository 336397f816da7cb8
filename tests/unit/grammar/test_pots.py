"""Pots as people describe them."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest

from bot.talk.grammar.pots import find_pot, read_pot
from bot.talk.grammar.quantities import Found, Refusal
from core.care.pots import resolve
from core.care.potsaid import DepthWord, Material, PotSaid, Shape, TradeShape
from core.care.units import System

INCH = 0.0254
POTS = [
    ("6in", PotSaid("", top_m=6 * INCH)),
    ('6"', PotSaid("", top_m=6 * INCH)),
    ("6”", PotSaid("", top_m=6 * INCH)),
    ("6 inch", PotSaid("", top_m=6 * INCH)),
    ("six inch pot", PotSaid("", top_m=6 * INCH)),
    ("6 1/2 in", PotSaid("", top_m=6.5 * INCH)),
    ("6½ in", PotSaid("", top_m=6.5 * INCH)),
    ("15 cm", PotSaid("", top_m=0.15)),
    ("15cm", PotSaid("", top_m=0.15)),
    ("15\u00a0cm pot", PotSaid("", top_m=0.15)),
    ("150mm", PotSaid("", top_m=0.15)),
    ("15", PotSaid("", top_m=0.15, unit_assumed=True)),
    ("15 pot", PotSaid("", top_m=0.15, unit_assumed=True)),
    ("15 cm blue pot", PotSaid("", top_m=0.15)),
    ("20x18x15 cm", PotSaid("", length_m=0.20, width_m=0.18, height_m=0.15)),
    ("20×18×15 cm", PotSaid("", length_m=0.20, width_m=0.18, height_m=0.15)),
    ("20 cm x 18 cm x 15 cm", PotSaid("", length_m=0.20, width_m=0.18, height_m=0.15)),
    (
        "30 x 20 x 15cm box",
        PotSaid("", shape=Shape.BOX, length_m=0.30, width_m=0.20, height_m=0.15),
    ),
    ("30L x 20W x 15H cm", PotSaid("", length_m=0.30, width_m=0.20, height_m=0.15)),
    ("30 x 20 cm 15 high", PotSaid("", length_m=0.30, width_m=0.20, height_m=0.15)),
    ("W30 D20 H15 cm", PotSaid("", length_m=0.30, width_m=0.20, height_m=0.15)),
    ("20x18 cm", PotSaid("", top_m=0.20, height_m=0.18)),
    ("20x18 cm box", PotSaid("", shape=Shape.BOX, length_m=0.20, width_m=0.18)),
    (
        "20x14x18 cm round",
        PotSaid("", shape=Shape.ROUND, top_m=0.20, base_m=0.14, height_m=0.18),
    ),
    ("oval 30x20x15 cm", PotSaid("", shape=Shape.OVAL, length_m=0.3, width_m=0.2, height_m=0.15)),
    ("D20 d14 h18 cm", PotSaid("", top_m=0.20, base_m=0.14, height_m=0.18)),
    ("d20 d14 h18 cm", PotSaid("", top_m=0.20, base_m=0.14, height_m=0.18)),
    ("D20, d14, h18 cm", PotSaid("", top_m=0.20, base_m=0.14, height_m=0.18)),
    ("Ø20 h 18 cm", PotSaid("", top_m=0.20, height_m=0.18)),
    ("top 20 cm, base 14 cm, height 18 cm", PotSaid("", top_m=0.2, base_m=0.14, height_m=0.18)),
    ("20 cm top 14 cm base 18 cm high", PotSaid("", top_m=0.2, base_m=0.14, height_m=0.18)),
    (
        "20cm diameter at the top, 14cm at the base, 18cm tall",
        PotSaid("", top_m=0.2, base_m=0.14, height_m=0.18),
    ),
    (
        "D16 h15 cm terracotta",
        PotSaid("", top_m=0.16, height_m=0.15, material=Material.TERRACOTTA),
    ),
    ("20 cm pot 18 cm deep", PotSaid("", top_m=0.20, height_m=0.18)),
    ("20 cm wide, 18 cm deep", PotSaid("", top_m=0.20, height_m=0.18)),
    ("14 cm cylinder 12 high", PotSaid("", shape=Shape.CYLINDER, top_m=0.14, height_m=0.12)),
    ("20 cm square pot", PotSaid("", shape=Shape.BOX, top_m=0.20)),
    ("#1", PotSaid("", trade_size="#1")),
    ("# 1", PotSaid("", trade_size="#1")),
    ("#3 container", PotSaid("", trade_size="#3")),
    ("no. 3 container", PotSaid("", trade_size="#3")),
    ("1 gal pot", PotSaid("", trade_size="#1", trade_gallons=True)),
    (
        "5 gallon fabric pot",
        PotSaid("", trade_size="#5", trade_gallons=True, material=Material.FABRIC),
    ),
    ("5 litre pot", PotSaid("", volume_l=5.0)),
    ("6in azalea", PotSaid("", top_m=6 * INCH, trade_shape=TradeShape.AZALEA)),
    ('8" bulb pan', PotSaid("", top_m=8 * INCH, trade_shape=TradeShape.PAN)),
    ("6 inch standard pot", PotSaid("", top_m=6 * INCH, trade_shape=TradeShape.STANDARD)),
    ("shallow 15 cm bowl", PotSaid("", top_m=0.15, depth_word=DepthWord.SHALLOW)),
    ("tall 15 cm pot", PotSaid("", top_m=0.15, depth_word=DepthWord.DEEP)),
    ("usual", PotSaid("", depth_word=DepthWord.USUAL)),
    ("15 cm unglazed clay", PotSaid("", top_m=0.15, material=Material.TERRACOTTA)),
    ("15 cm glazed terracotta", PotSaid("", top_m=0.15, material=Material.GLAZED)),
    ("12 cm glass jar", PotSaid("", top_m=0.12, material=Material.GLASS)),
    ("15 cm, no hole", PotSaid("", top_m=0.15, hole=False)),
    ("15 cm pot without drainage", PotSaid("", top_m=0.15, hole=False)),
    ("15 cm pot with a hole", PotSaid("", top_m=0.15, hole=True)),
    ("15 cm pot with drainage holes", PotSaid("", top_m=0.15, hole=True)),
    (
        "15 cm plastic pot in a glazed cachepot",
        PotSaid("", top_m=0.15, material=Material.PLASTIC, outer=True),
    ),
    ("12 cm pot in a 15 cm outer pot", PotSaid("", top_m=0.12, outer=True)),
    ("15 cm pot, no cachepot", PotSaid("", top_m=0.15, outer=False)),
    ("30 cm self-watering planter", PotSaid("", top_m=0.30, self_watering=True)),
    ("30 cm planter with a reservoir", PotSaid("", top_m=0.30, self_watering=True)),
    (
        "20 cm pot with 2 cm of pebbles at the bottom",
        PotSaid("", top_m=0.20, drainage_layer=True, drainage_layer_m=0.02),
    ),
    (
        "20 cm pot with a drainage layer of 3 cm",
        PotSaid("", top_m=0.20, drainage_layer=True, drainage_layer_m=0.03),
    ),
    ("20 cm pot, clay pebbles in the bottom", PotSaid("", top_m=0.20, drainage_layer=True)),
    ("20 cm pot, no pebbles", PotSaid("", top_m=0.20, drainage_layer=False)),
]


def same(found: object, expected: PotSaid) -> None:
    assert isinstance(found, PotSaid), found
    for field in fields(PotSaid):
        if field.name != "said":
            value = getattr(expected, field.name)
            wanted = pytest.approx(value) if isinstance(value, float) else value
            assert getattr(found, field.name) == wanted, field.name


@pytest.mark.parametrize(("text", "expected"), POTS, ids=[text for text, _ in POTS])
def test_a_pot_is_read(text: str, expected: PotSaid) -> None:
    same(read_pot(text, System.METRIC), expected)


NO_PIECE = {"15", "usual"}  # too little to be sure of in the middle of a line


@pytest.mark.parametrize(
    ("text", "expected"), [pot for pot in POTS if pot[0] not in NO_PIECE], ids=str
)
def test_a_piece_of_a_line_that_is_a_pot_is_found_whole(text: str, expected: PotSaid) -> None:
    found = find_pot(text, System.METRIC)
    assert isinstance(found, Found)
    assert found.rest == ""
    same(found.value, expected)


@pytest.mark.parametrize(
    "text",
    [
        "fern", "Boston fern", "bathroom", "north window", "30 cm from the glass", "azalea",
        "2 m from the window", "box", "Buxus", "pothos", "glass", "clay pebbles", "peat mix",
        "low light", "bright spot", "wooden floor", "on a 20 cm shelf", "4 hours", "a cup",
        "fern 3", "15", "pot", "deep", "oval", "by the window", "", "🌿",
    ],
)  # fmt: skip
def test_a_piece_about_something_else_is_no_pot(text: str) -> None:
    assert find_pot(text, System.METRIC) is None


@pytest.mark.parametrize(
    ("text", "rest", "said"),
    [
        ("fern in a 15 cm pot", "fern in a", "15 cm pot"),
        ("fig 20 cm terracotta", "fig", "20 cm terracotta"),
        ("Ida's 6in azalea pot", "Ida's", "6in azalea pot"),
        ("20 cm pot with clay pebbles", "with clay pebbles", "20 cm pot"),
    ],
)
def test_what_is_not_the_pot_is_handed_back(text: str, rest: str, said: str) -> None:
    found = find_pot(text, System.METRIC)
    assert isinstance(found, Found)
    assert found.rest == rest
    assert found.value.said.startswith(said)


@pytest.mark.parametrize(
    ("text", "key", "args"),
    [
        ("300 cm pot", "too-big", {"most": "200 cm"}),
        ("1 cm pot", "too-small", {"least": "2 cm"}),
        ("-5 cm pot", "negative", {"least": "2 cm"}),
        ("nan cm", "not-a-number", {}),
        ("9" * 5000 + " cm", "too-big", {"most": "200 cm"}),
        ("5000 litre pot", "too-big", {"most": "1000 l"}),
        ("#4", "trade-size", {"known": "#1, #2, #3, #5, #7, #10, #15"}),
        ("20 x 18 x 15 x 12 cm", "which-size", {}),
        ("20 cm pot and 15 cm pot", "which-size", {}),
        ("15 cm pott 18 deap", "extra-words", {"extra": "pott 18 deap"}),
        ("30 cm from the glass", "extra-words", {"extra": "from the"}),
        ("banana", "no-pot", {"example": "15 cm pot"}),
        ("400 g pot", "no-pot", {}),
        ("🌿", "no-pot", {}),
        ("", "nothing-said", {}),
    ],
)
def test_a_pot_that_cannot_be_is_refused(text: str, key: str, args: dict[str, str]) -> None:
    refusal = read_pot(text, System.METRIC)
    assert isinstance(refusal, Refusal), refusal
    assert refusal.key == f"quantities-{key}"
    assert args.items() <= refusal.args.items()


def test_the_household_decides_the_unit_that_was_not_said() -> None:
    same(read_pot("6", System.US), PotSaid("", top_m=6 * INCH, unit_assumed=True))
    same(read_pot("15", System.METRIC), PotSaid("", top_m=0.15, unit_assumed=True))


def test_a_gallon_said_outright_to_be_imperial_is_a_measure() -> None:
    """UK Weights and Measures Act 1985: 4.54609 L (FROM MEMORY, exact)."""
    same(read_pot("3 imperial gallon tub", System.US), PotSaid("", volume_l=3 * 4.54609))


def test_a_size_that_was_read_makes_a_pot() -> None:
    """A 6 in pot holds about 5 cups, 1.18 L (Univ. Nebraska Extension 2021, SEEN): 1.0-1.4 L."""
    for text in ("6in", "6 inch azalea pot", "15 cm pot"):
        said = read_pot(text, System.US)
        assert isinstance(said, PotSaid)
        assert 1.0 <= resolve(said).filled_l <= 1.4


def test_letters_of_any_case_and_width_read_the_same() -> None:
    plain = read_pot("15 cm terracotta pot", System.METRIC)
    assert isinstance(plain, PotSaid)
    for text in ("15 CM TERRACOTTA POT", "１５ ｃｍ terracotta pot", "15\u202fcm  Terracotta\tpot"):
        other = read_pot(text, System.METRIC)
        assert isinstance(other, PotSaid)
        assert replace(other, said=plain.said) == plain
