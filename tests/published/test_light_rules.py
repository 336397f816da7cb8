"""Windows and light classes against published figures and the rules of the trade.

Marks: SEEN, SEEN-2ND, FROM MEMORY, COMPUTED; "common practice, no source" (CP) for facts of the
trade; G for an experienced guess, taken from the growers' review.
"""

from __future__ import annotations

import pytest

from core.care.light import LUX_PER_FC, Fit, class_of, fit, measured, place
from core.care.season import Hemisphere
from core.knowledge.library import library
from core.knowledge.types import LightClass


def test_window_classes() -> None:
    """Low 75, medium 150, high 300, direct 1500 ft-c by window and distance: Univ. Illinois
    Extension, Houseplants: Lighting, SEEN."""
    foot = 0.3048
    expected = {
        ("N", 1): LightClass.MEDIUM,
        ("N", 3): LightClass.LOW,
        ("E", 1): LightClass.BRIGHT,
        ("W", 1): LightClass.BRIGHT,
        ("E", 3): LightClass.MEDIUM,
        ("W", 6): LightClass.LOW,
        ("E", 9): LightClass.LOW,
        ("S", 1): LightClass.SUNNY,
        ("S", 4.5): LightClass.BRIGHT,
        ("S", 8): LightClass.MEDIUM,
        ("S", 16): LightClass.LOW,
        ("S", 19): LightClass.LOW,
    }
    found = {(f, feet): place(f, feet * foot).light for f, feet in expected}
    assert found == expected


def test_sixty_foot_candles_are_low_and_five_hundred_high_in_every_scale() -> None:
    """Spread of the published edges: 60 ft-c is low in all, 500 high in all. SEEN to SEEN-2ND."""
    assert class_of(60) is LightClass.LOW
    assert class_of(500) is LightClass.BRIGHT
    assert 1000 / LUX_PER_FC == pytest.approx(92.9, abs=0.05)  # definition, COMPUTED


def test_a_weeping_fig_at_41_foot_candles_is_too_dark() -> None:
    """Moved to 0.26 mol/m2/d (41 ft-c x 12 h) it died: Light acclimatization potential of Leea,
    HortScience abstract, SEEN."""
    fig = library().get("ficus-benjamina")
    assert fit(measured(41), fig.light) is Fit.TOO_DARK


def test_brightness_falls_from_south_over_east_and_west_to_north() -> None:
    """East and west about 60 % of south, north about 20 %: Penhallegon (Oregon State), quoted at
    UC ANR, SEEN. South of the equator north and south change places."""
    order = list(LightClass)
    for distance in (0.3, 1.0, 2.0, 3.0):
        south, east, north = (place(f, distance) for f in "SEN")
        assert south.high_fc >= east.high_fc >= north.high_fc
        assert order.index(south.light) >= order.index(east.light) >= order.index(north.light)
        flipped = place("N", distance, hemisphere=Hemisphere.SOUTH)
        assert (flipped.light, flipped.scorch) == (south.light, south.scorch)


def test_scorch_is_warned_of_at_west_and_south_glass() -> None:
    """Late-afternoon west sun or all-day south sun through glass. CP."""
    assert place("W", 0.3).scorch
    assert place("S", 0.3).scorch
    assert not place("N", 0.3).scorch
    assert not place("E", 0.3).scorch
    assert not place("W", 2).scorch
    assert not place("S", 0.3, curtain=True).scorch
