"""Windows, distances, curtains: from words about a spot to a light class."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.care.light import Fit, Why, fit, may_scorch, measured, outside, place
from core.care.season import Hemisphere
from core.knowledge.types import Light, LightClass

FACINGS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
FERN = Light(LightClass.MEDIUM, 75, (200, 500))
CACTUS = Light(LightClass.SUNNY, 500, (1000, 5000))
VIPER = Light(LightClass.LOW, 25, (75, 200))


def test_without_a_distance_it_stands_at_the_window() -> None:
    guess = place("n")
    assert guess.light is LightClass.MEDIUM
    assert guess.why == (Why.SHADE_SIDE, Why.AT_WINDOW)


def test_far_from_every_window_is_dark() -> None:
    for facing in FACINGS:
        guess = place(facing, 8)
        assert (guess.dark, guess.light) == (True, LightClass.LOW)
        assert Why.FAR in guess.why
        assert fit(guess, VIPER) is Fit.TOO_DARK


def test_a_curtain_ends_direct_sun_and_a_tree_costs_a_class() -> None:
    curtained = place("S", 0.3, curtain=True)
    assert (curtained.light, curtained.scorch) == (LightClass.BRIGHT, False)
    assert place("E", 0.3, obstructed=True).light is LightClass.MEDIUM
    assert place("N", 0.3, obstructed=True).light is LightClass.LOW
    both = place("S", 2, curtain=True, obstructed=True)
    assert both.why[-2:] == (Why.CURTAIN, Why.OBSTRUCTED)


def test_near_the_equator_north_and_south_are_alike() -> None:
    north, south = (place(f, 0.3, hemisphere=Hemisphere.TROPICS) for f in "NS")
    assert (north.light, north.why) == (south.light, (Why.BOTH_SIDES_SUN,))


def test_what_it_means_for_a_plant() -> None:
    sill = place("S", 0.3)
    assert fit(sill, FERN) is Fit.TOO_BRIGHT
    assert fit(sill, CACTUS) is Fit.FINE
    assert (may_scorch(sill, FERN), may_scorch(sill, CACTUS)) == (True, False)
    north = place("N", 0.3)
    assert [fit(north, plant) for plant in (VIPER, FERN, CACTUS)] == [
        Fit.FINE,
        Fit.FINE,
        Fit.TOO_DARK,
    ]
    assert fit(place("E", 2), FERN) is Fit.DIM


def test_outside_and_measured() -> None:
    assert outside("S").light is LightClass.SUNNY
    assert outside("N").light is outside("W", obstructed=True).light is LightClass.BRIGHT
    meter = measured(150)
    assert (meter.low_fc, meter.high_fc, meter.light) == (150, 150, LightClass.MEDIUM)
    assert measured(10).dark


@pytest.mark.parametrize(
    "wrong", [lambda: place("up"), lambda: place("N", -1), lambda: measured(-1)]
)
def test_nonsense_is_refused(wrong: object) -> None:
    with pytest.raises(ValueError, match=r"faces|negative"):
        wrong()  # type: ignore[operator]


@given(
    st.sampled_from(FACINGS),
    st.floats(0, 12),
    st.floats(0, 12),
    st.booleans(),
    st.booleans(),
    st.sampled_from(Hemisphere),
)
def test_further_in_is_never_brighter(
    facing: str,
    one: float,
    other: float,
    curtain: bool,  # noqa: FBT001
    obstructed: bool,  # noqa: FBT001
    hemisphere: Hemisphere,
) -> None:
    near, far = (
        place(facing, d, curtain=curtain, obstructed=obstructed, hemisphere=hemisphere)
        for d in sorted((one, other))
    )
    assert near.high_fc >= far.high_fc
    assert far.low_fc <= far.high_fc
    assert near.scorch >= far.scorch
