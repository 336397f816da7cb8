"""What a plant stands in overrules how its kind is usually grown."""

from __future__ import annotations

from core.care.grown import as_grown
from core.knowledge.library import library
from core.knowledge.mixes import mixes
from core.knowledge.types import Habit, Method


def test_a_moth_orchid_in_bark_is_soaked() -> None:
    """Bark is how it is usually grown, and no meter tells anything there."""
    orchid = library().get("phalaenopsis-amabilis")
    assert as_grown(orchid, mixes()["orchid-bark"]).habit is Habit.SOAK


def test_a_moth_orchid_in_potting_mix_is_probed() -> None:
    """In peat a soak by the week would rot it; it is read like other pots."""
    grown = as_grown(library().get("phalaenopsis-amabilis"), mixes()["peat"])
    assert grown.method is Method.SOIL
    assert grown.habit is Habit.HALF_DRY


def test_any_plant_in_water_goes_by_the_level() -> None:
    """A cutting in a glass has no reading."""
    grown = as_grown(library().get("epipremnum-aureum"), mixes()["water"])
    assert grown.method is Method.IN_WATER
    assert grown.habit is Habit.STAND_WET


def test_soil_leaves_a_soil_plant_as_it_is() -> None:
    """A fern in peat is a fern."""
    fern = library().get("nephrolepis-exaltata")
    assert as_grown(fern, mixes()["peat"]) is fern
