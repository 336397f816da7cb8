"""How a plant is really grown: what it stands in overrules how its kind usually is."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from core.knowledge.types import Habit, Method, Mix, Species

_LIKE_BARK: Final = frozenset({"orchid-bark", "moss"})
_STANDING: Final = frozenset({"water", "clay-pebbles"})


def as_grown(species: Species, mix: Mix) -> Species:
    """The species as this mix makes it.

    In water or clay pebbles any plant goes by the level (common practice, no source). A bark
    plant in potting mix can be probed, and is kept half dry: it must neither stay wet nor dry
    out (grower sheets say "not until nearly dry" and "never completely dry"; half-dry is ours).
    """
    if mix.id in _STANDING:
        return replace(species, method=Method.IN_WATER, habit=Habit.STAND_WET)
    if species.method is Method.BARK and mix.id not in _LIKE_BARK:
        return replace(species, method=Method.SOIL, habit=Habit.HALF_DRY)
    return species
