"""Pots: what is taken for granted, what is refused, what is kept."""

from __future__ import annotations

import json
from dataclasses import replace
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from core.care.pots import Assumed, Pot, PotUnclearError, frustum_l, resolve, saucer_l, with_depth
from core.care.potsaid import DepthWord, Material, PotSaid, Shape, TradeShape
from core.care.potweight import wet_kg
from core.knowledge.potsizes import load_pot_sizes, pot_sizes

metres = st.floats(min_value=0.03, max_value=1.5)


def said(**words: object) -> PotSaid:
    return PotSaid("", **words)  # type: ignore[arg-type]


@given(top=metres, base=metres, height=metres)
def test_frustum_is_the_integral_of_its_slices(top: float, base: float, height: float) -> None:
    slices, _ = quad(lambda z: pi / 4 * (base + (top - base) * z / height) ** 2, 0, height)
    assert frustum_l(top, base, height) == pytest.approx(1000 * slices, rel=1e-7)


@given(top=metres, base=metres, height=metres)
def test_frustum_lies_between_its_cylinders_and_turns_over(
    top: float, base: float, height: float
) -> None:
    low, high = sorted((frustum_l(top, top, height), frustum_l(base, base, height)))
    volume = frustum_l(top, base, height)
    assert low * (1 - 1e-12) <= volume <= high * (1 + 1e-12)
    assert volume == pytest.approx(frustum_l(base, top, height))


@given(width=st.floats(min_value=0.03, max_value=1.5), wider=st.floats(min_value=1.01, max_value=2))
def test_a_wider_pot_holds_more(width: float, wider: float) -> None:
    assert resolve(said(top_m=width)).filled_l < resolve(said(top_m=width * wider)).filled_l


@given(
    top=metres,
    height=metres,
    base=st.floats(min_value=0.3, max_value=1.0),
    shape=st.sampled_from([Shape.ROUND, Shape.BOX, Shape.CYLINDER]),
    pebbles=st.floats(min_value=0, max_value=0.2),
)
def test_mix_never_fills_more_than_the_pot(
    top: float, height: float, base: float, shape: Shape, pebbles: float
) -> None:
    pot = resolve(
        said(top_m=top, height_m=height, base_m=base * top, shape=shape,
             drainage_layer_m=pebbles * height)
    )  # fmt: skip
    assert 0 < pot.filled_l < pot.brim_l
    assert pot.fill_depth_m + pot.drainage_m < pot.depth_m
    assert pot.half_l == pot.filled_l / 2


@pytest.mark.parametrize(
    ("words", "keys"),
    [
        ({"top_m": 0.15}, {Assumed.DEPTH, Assumed.RIM, Assumed.BASE, Assumed.HOLE}),
        ({"top_m": 0.15, "hole": True}, {Assumed.DEPTH, Assumed.RIM, Assumed.BASE}),
        ({"top_m": 0.16, "height_m": 0.15}, {Assumed.BASE, Assumed.HOLE}),
        ({"top_m": 0.16, "base_m": 0.12, "height_m": 0.15, "hole": True}, set()),
        ({"top_m": 0.16, "depth_word": DepthWord.DEEP, "hole": True},
         {Assumed.DEPTH_WORD, Assumed.RIM, Assumed.BASE}),
        ({"top_m": 0.16, "trade_shape": TradeShape.PAN, "hole": True},
         {Assumed.RIM, Assumed.BASE}),
        ({"shape": Shape.BOX, "length_m": 0.6, "width_m": 0.2, "height_m": 0.2, "hole": True},
         set()),
        ({"top_m": 0.2, "height_m": 0.2, "base_m": 0.15, "hole": True, "drainage_layer": True},
         {Assumed.DRAINAGE}),
    ],
)  # fmt: skip
def test_every_assumption_is_named(words: dict[str, object], keys: set[Assumed]) -> None:
    assert set(resolve(said(**words)).assumed) == keys | {Assumed.HEAD_SPACE}


def test_volumes_and_classes_are_what_the_mix_fills() -> None:
    five = resolve(said(volume_l=5.0, hole=True))
    assert (five.filled_l, five.assumed) == (5.0, (Assumed.VOLUME,))
    can = resolve(said(trade_size="#1", trade_gallons=True, hole=True))
    assert (can.filled_l, can.assumed) == (2.8, (Assumed.TRADE,))
    assert can.top_m == pytest.approx(0.165, abs=0.002)  # a "#1" is about 6.5 in wide
    with_pebbles = resolve(said(volume_l=5.0, drainage_layer_m=0.03))
    assert with_pebbles.filled_l < 5.0


def test_a_volume_with_sizes_keeps_the_sizes() -> None:
    pot = resolve(said(volume_l=4.0, top_m=0.22, height_m=0.2, base_m=0.16))
    assert (pot.filled_l, pot.top_m, pot.depth_m) == (4.0, 0.22, 0.2)


def test_three_bare_sizes() -> None:
    round_pot = resolve(said(length_m=0.20, width_m=0.18, height_m=0.15))
    assert (round_pot.shape, round_pot.base_m) == (Shape.ROUND, 0.18)
    assert Assumed.ROUND in round_pot.assumed
    assert round_pot.brim_l == pytest.approx(frustum_l(0.20, 0.18, 0.15))
    window = resolve(said(length_m=0.60, width_m=0.20, height_m=0.18))
    cube = resolve(said(length_m=0.20, width_m=0.20, height_m=0.20))
    assert (window.shape, cube.shape) == (Shape.BOX, Shape.BOX)
    assert cube.brim_l == pytest.approx(8.0)


def test_a_cylinder_is_upright_and_a_base_alone_gives_a_rim() -> None:
    upright = resolve(said(shape=Shape.CYLINDER, top_m=0.2, height_m=0.2))
    assert upright.base_m == upright.top_m
    from_base = resolve(said(base_m=0.14, height_m=0.2))
    assert from_base.top_m == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("words", "what"),
    [
        ({}, "size"),
        ({"height_m": 0.2}, "size"),
        ({"shape": Shape.BOX, "height_m": 0.2}, "size"),
        ({"shape": Shape.OVAL, "top_m": 0.2}, "oval-width"),
        ({"trade_size": "#4"}, "trade-size"),
        ({"top_m": 0.15, "drainage_layer_m": 0.2}, "no-room"),
    ],
)
def test_what_makes_no_pot_is_named(words: dict[str, object], what: str) -> None:
    with pytest.raises(PotUnclearError) as caught:
        resolve(said(**words))
    assert caught.value.what == what


def test_depth_is_chosen_once_it_is_asked() -> None:
    pot = resolve(said(top_m=0.15, outer=True, drainage_layer_m=0.02))
    deep = with_depth(pot, DepthWord.DEEP)
    assert (deep.depth_m, deep.outer, deep.drainage_m) == (0.15, True, 0.02)
    assert Assumed.DEPTH not in deep.assumed
    assert with_depth(deep, "shallow").depth_m == pytest.approx(0.075)
    straight = resolve(said(top_m=0.15, depth_word=DepthWord.DEEP, outer=True,
                            drainage_layer_m=0.02))  # fmt: skip
    assert deep.filled_l == pytest.approx(straight.filled_l)


def test_a_known_depth_is_not_chosen() -> None:
    with pytest.raises(PotUnclearError):
        with_depth(resolve(said(top_m=0.15, height_m=0.12)), "deep")
    with pytest.raises(ValueError, match="huge"):
        with_depth(resolve(said(top_m=0.15)), "huge")


@given(
    top=metres,
    shape=st.sampled_from([Shape.ROUND, Shape.BOX, Shape.CYLINDER]),
    material=st.none() | st.sampled_from(Material),
    hole=st.none() | st.booleans(),
    outer=st.booleans(),
)
def test_a_pot_survives_the_journal(
    top: float, shape: Shape, material: Material | None, *, hole: bool | None, outer: bool
) -> None:
    pot = resolve(said(top_m=top, shape=shape, material=material, hole=hole, outer=outer))
    assert Pot.from_json(json.loads(json.dumps(pot.to_json()))) == pot


def test_the_journal_layout_stands() -> None:
    pot = resolve(said(top_m=0.15, hole=True))
    kept = pot.to_json()
    assert sorted(kept) == [
        "across_m", "assumed", "base_m", "brim_l", "depth_m", "drainage_m", "fill_depth_m",
        "filled_l", "hole", "material", "nominal_m", "outer", "self_watering", "shape", "top_m",
        "v",
    ]  # fmt: skip
    assert kept["v"] == 1
    with pytest.raises(ValueError, match="layout 2"):
        Pot.from_json({**kept, "v": 2})


@given(top=metres, height=metres)
def test_saucers_and_weights_are_never_negative(top: float, height: float) -> None:
    pot = resolve(said(top_m=top, height_m=height))
    assert saucer_l(pot) > 0
    assert wet_kg(pot) > pot.filled_l * 0.5
    assert wet_kg(replace(pot, material=Material.CONCRETE)) > wet_kg(pot)


@pytest.mark.parametrize(
    ("line", "match"), [("[trade_l]", "trade_l"), ("[trade_l]\n'1' = -2", "above 0")]
)
def test_broken_size_tables_are_refused(line: str, match: str) -> None:
    with pytest.raises(ValueError, match=match):
        load_pot_sizes(line)


@given(width=metres, depth=metres)
def test_head_space_leaves_most_of_the_pot(width: float, depth: float) -> None:
    head = pot_sizes().head_space
    assert 0 < head.above(width, depth) <= min(head.large_m, head.most_share * depth)
