"""At which reading a habit is ready for water, in each layer, in bright and in dim places."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from core.knowledge.types import Habit

# The ideas are common practice of the trade (no source): surface just losing its dark colour,
# top half dry, two thirds dry, dry to the lowest mark everywhere. The depth for `top-dry` is
# published: the top inch (UF/IFAS FFL Minute 2020-10-29, SEEN; UW-Madison XHT1033, SEEN).
# All readings are experienced guesses: move them when real pots say otherwise.

# A dry reading on the meter (common practice: dry 1-3, moist 4-7, wet 8-10).
DRY_TO: Final = 3.0
WET_FROM: Final = 8.0


@dataclass(frozen=True, slots=True)
class Line:
    """Ready at this reading or below: where it grows, and where it is dim, cool or resting."""

    bright: float
    dim: float

    def at(self, *, slow: bool) -> float:
        """The reading for this place."""
        return self.dim if slow else self.bright


@dataclass(frozen=True, slots=True)
class Lines:
    """One habit's row. `late_*`: at or below this reading it got drier than it likes.

    `surface_enough`: a dry surface alone is the sign this habit goes by.
    """

    surface: Line
    middle: Line
    deep: Line
    late_middle: float | None = None
    late_deep: float | None = None
    surface_enough: bool = False


_DRY_SURFACE: Final = Line(3, 2)

# Surface of `never-dry`: "just losing its dark colour" is barely moist, 4 (ours).
LINES: Final[Mapping[Habit, Lines]] = MappingProxyType(
    {
        Habit.NEVER_DRY: Lines(Line(4, 3), Line(5, 4), Line(6, 5), 3, 3, surface_enough=True),
        Habit.TOP_DRY: Lines(_DRY_SURFACE, Line(4, 3), Line(5, 4), None, 2, surface_enough=True),
        Habit.HALF_DRY: Lines(_DRY_SURFACE, Line(3, 2), Line(4, 3)),
        Habit.MOSTLY_DRY: Lines(_DRY_SURFACE, Line(2, 1), Line(3, 2)),
        Habit.DRY_THROUGH: Lines(_DRY_SURFACE, Line(1, 1), Line(1, 1)),
    }
)

# Of three places one may read 2 in a pot that counts as dry right through (ours).
_ALL_DRY: Final = 1.0
_NEARLY_DRY: Final = 2.0
_PLACES_PER_NEARLY_DRY: Final = 3

# Uneven from a spread of 4 marks, of 3 for the two habits that hate wet places most.
_SPREAD: Final = 4.0
_SPREAD_DRIEST: Final = 3.0
DRIEST: Final = frozenset({Habit.MOSTLY_DRY, Habit.DRY_THROUGH})


def all_dry(values: tuple[float, ...]) -> bool:
    """Whether readings of middle and deep, 1 to 10, say dry right through."""
    nearly = [value for value in values if value > _ALL_DRY]
    allowed = len(values) // _PLACES_PER_NEARLY_DRY
    return bool(values) and len(nearly) <= allowed and max(values) <= _NEARLY_DRY


def uneven_from(habit: Habit) -> float:
    """The spread between readings of one layer from which they must not be averaged."""
    return _SPREAD_DRIEST if habit in DRIEST else _SPREAD
