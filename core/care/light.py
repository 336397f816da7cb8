"""From window and distance to a light class, and from that to what it means for a plant.

A window's light is known to a factor of two at best: it is only used to pick one of four classes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from core.care.season import Hemisphere
from core.knowledge.types import Light, LightClass

LUX_PER_FC: Final = 10.7639

# Upper edges in foot-candles: low 25-75, medium 75-200, high above 200 without sun
# (UGA Extension B1318, SEEN). That sun begins at 1000 is from memory (direct 1000-5000).
_DARK_BELOW: Final = 25.0
_UP_TO: Final = ((LightClass.LOW, 75.0), (LightClass.MEDIUM, 200.0), (LightClass.BRIGHT, 1000.0))
_RANGE: Final[Mapping[LightClass, tuple[float, float]]] = MappingProxyType(
    {
        LightClass.LOW: (25.0, 75.0),
        LightClass.MEDIUM: (75.0, 200.0),
        LightClass.BRIGHT: (200.0, 1000.0),
        LightClass.SUNNY: (1000.0, 5000.0),
    }
)
_TYPICAL: Final = MappingProxyType(
    {
        LightClass.LOW: 75.0,
        LightClass.MEDIUM: 150.0,
        LightClass.BRIGHT: 300.0,
        LightClass.SUNNY: 1500.0,
    }
)
_BEYOND_FC: Final = 15.0

# Window distances of the classes (Univ. Illinois Extension, Houseplants: Lighting, SEEN): low:
# N a few feet, E/W 3-10 ft, S 15-20 ft; medium: N in front, E/W a few feet, S 3-10 ft; high: E/W
# in front, S within 5 ft; direct: S in front. "In front" is taken as 2 ft, "a few" as 4, and
# the gap between 10 and 15 ft as low; where two classes claim a place, the brighter (ours).
_SUN_SIDE: Final = (
    (0.6, LightClass.SUNNY),
    (1.5, LightClass.BRIGHT),
    (3.0, LightClass.MEDIUM),
    (6.0, LightClass.LOW),
)
_EAST_WEST: Final = ((0.6, LightClass.BRIGHT), (1.2, LightClass.MEDIUM), (3.0, LightClass.LOW))
_SHADE_SIDE: Final = ((0.6, LightClass.MEDIUM), (1.2, LightClass.LOW))

# East and west give about 60 % of a south window, north about 20 % (Penhallegon, Oregon State,
# at UC ANR, SEEN); what lies between is interpolated, and light taken to shrink distances (ours).
_BANDS: Final = MappingProxyType(
    {
        "S": (_SUN_SIDE, 1.0),
        "SE": (_SUN_SIDE, 0.8),
        "SW": (_SUN_SIDE, 0.8),
        "E": (_EAST_WEST, 1.0),
        "W": (_EAST_WEST, 1.0),
        "NE": (_EAST_WEST, 0.4 / 0.6),
        "NW": (_EAST_WEST, 0.4 / 0.6),
        "N": (_SHADE_SIDE, 1.0),
    }
)

# A screen takes as much as 30 % (Doxon, New Mexico State, SEEN); a sheer curtain is taken to do
# the same and to end direct sun. A tree or a house opposite halves the light (ours).
_CURTAIN: Final = 0.7
_OBSTRUCTED: Final = 0.5

_UNSAID_M: Final = 0.3  # a plant "at the window" (ours)

# Late-afternoon west sun and all-day south sun through glass scorch (common practice, no source);
# within a metre of the pane (ours).
_SCORCHING: Final = frozenset({"S", "SW", "W"})
_SCORCH_M: Final = 1.0

# Open sun and the shade of a large tree (UGA Extension B1318, SEEN).
_OPEN_SUN_FC: Final = 10_000.0
_TREE_SHADE_FC: Final = 250.0

_ORDER: Final = tuple(LightClass)
_FLIP: Final = str.maketrans("NS", "SN")
_HAIR_M: Final = 0.005


class Why(StrEnum):
    """What made the guess; each has its words in the catalogues."""

    AT_WINDOW = "at-window"  # distance unsaid: taken as at the window
    SUN_SIDE = "sun-side"
    EAST_WEST = "east-west"
    SHADE_SIDE = "shade-side"
    BOTH_SIDES_SUN = "both-sides-sun"  # in the tropics north and south both get sun
    FAR = "far"  # further in than any class reaches
    CURTAIN = "curtain"
    OBSTRUCTED = "obstructed"
    OUTDOORS = "outdoors"
    MEASURED = "measured"


class Fit(StrEnum):
    """What a spot's light means for a species."""

    TOO_DARK = "too-dark"  # can't be kept there: a lamp, or another place; try the reading test
    DIM = "dim"  # holds, hardly grows, drinks little
    FINE = "fine"
    TOO_BRIGHT = "too-bright"


@dataclass(frozen=True, slots=True)
class LightGuess:
    """Light at a spot: its class, the range in foot-candles, what made the guess.

    `dark`: below what any plant holds out in, to be told by the reading test: a place where one
    can't read a book at midday without a lamp is too dark for any plant (common practice, no
    source). `scorch`: sun through glass near enough to burn leaves not used to it.
    """

    light: LightClass
    low_fc: float
    high_fc: float
    why: tuple[Why, ...]
    dark: bool = False
    scorch: bool = False


def place(
    facing: str,
    distance_m: float | None = None,
    *,
    curtain: bool = False,
    obstructed: bool = False,
    hemisphere: Hemisphere = Hemisphere.NORTH,
) -> LightGuess:
    """Light at a distance from a window that faces N, NE, E, SE, S, SW, W or NW.

    `curtain`: a sheer one; `obstructed`: a tree, a house, a porch roof before the window. Without
    a distance the plant stands at the window. Raises ValueError for another facing or a negative
    distance.
    """
    away = _UNSAID_M if distance_m is None else distance_m
    if away < 0:
        raise ValueError("a distance is not negative")
    sunward = _as_northern(facing, hemisphere)
    open_fc = _window_fc(sunward, away)
    why = [_side(sunward, hemisphere)]
    why += [Why.AT_WINDOW] if distance_m is None else []
    why += [Why.FAR] if open_fc < _DARK_BELOW else []
    bare = not curtain and not obstructed
    scorch = bare and away <= _SCORCH_M and sunward in _SCORCHING
    return _guess(_veiled(open_fc, why, curtain=curtain, obstructed=obstructed), why, scorch=scorch)


def outside(
    facing: str = "S", *, obstructed: bool = False, hemisphere: Hemisphere = Hemisphere.NORTH
) -> LightGuess:
    """Light on a balcony or a terrace that faces this way. Raises ValueError as `place` does."""
    shady = _BANDS[_as_northern(facing, hemisphere)][0] is _SHADE_SIDE
    why = [Why.OUTDOORS] + ([Why.OBSTRUCTED] if obstructed else [])
    return _guess(_TREE_SHADE_FC if shady or obstructed else _OPEN_SUN_FC, why)


def measured(foot_candles: float) -> LightGuess:
    """Light by a meter at the leaf, in foot-candles (lux / 10.7639). Raises ValueError below 0."""
    if foot_candles < 0:
        raise ValueError("light is not negative")
    return replace(_guess(foot_candles, [Why.MEASURED]), low_fc=foot_candles, high_fc=foot_candles)


def class_of(foot_candles: float) -> LightClass:
    """The light class of so many foot-candles."""
    return next((light for light, top in _UP_TO if foot_candles <= top), LightClass.SUNNY)


def fit(guess: LightGuess, wanted: Light) -> Fit:
    """What this light means for a species."""
    if guess.dark or guess.high_fc < wanted.hold_fc:
        return Fit.TOO_DARK
    steps = _ORDER.index(guess.light) - _ORDER.index(wanted.light_class)
    if steps < 0:
        return Fit.DIM
    burns = guess.light is LightClass.SUNNY and steps > 1
    return Fit.TOO_BRIGHT if burns else Fit.FINE


def may_scorch(guess: LightGuess, wanted: Light) -> bool:
    """Whether to warn of scorch: strong sun through near glass on a plant not made for it."""
    return guess.scorch and wanted.light_class is not LightClass.SUNNY


def _as_northern(facing: str, hemisphere: Hemisphere) -> str:
    """The facing that has this light in the north; near the equator N and S are as E and W."""
    said = facing.strip().upper()
    if said not in _BANDS:
        raise ValueError(f"a window faces N, NE, E, SE, S, SW, W or NW, not {facing!r}")
    if hemisphere is Hemisphere.SOUTH:
        return said.translate(_FLIP)
    return "E" if hemisphere is Hemisphere.TROPICS and said in ("N", "S") else said


def _side(sunward: str, hemisphere: Hemisphere) -> Why:
    if hemisphere is Hemisphere.TROPICS:
        return Why.BOTH_SIDES_SUN
    bands, _ = _BANDS[sunward]
    if bands is _EAST_WEST:
        return Why.EAST_WEST
    return Why.SUN_SIDE if bands is _SUN_SIDE else Why.SHADE_SIDE


def _window_fc(sunward: str, away_m: float) -> float:
    bands, reach = _BANDS[sunward]
    light = next((light for edge, light in bands if away_m <= edge * reach + _HAIR_M), None)
    return _BEYOND_FC if light is None else _TYPICAL[light]


def _veiled(open_fc: float, why: list[Why], *, curtain: bool, obstructed: bool) -> float:
    """What curtain and obstruction leave; either ends direct sun."""
    veils = [(_CURTAIN, Why.CURTAIN)] * curtain + [(_OBSTRUCTED, Why.OBSTRUCTED)] * obstructed
    for share, reason in veils:
        open_fc = min(open_fc * share, _RANGE[LightClass.BRIGHT][1])
        why.append(reason)
    return open_fc


def _guess(typical_fc: float, why: list[Why], *, scorch: bool = False) -> LightGuess:
    if typical_fc < _DARK_BELOW:
        return LightGuess(LightClass.LOW, 0.0, _DARK_BELOW, tuple(why), dark=True)
    light = class_of(typical_fc)
    return LightGuess(light, *_RANGE[light], tuple(why), scorch=scorch)


def class_guess(light: LightClass) -> LightGuess:
    """A light class that was said outright, with its range."""
    return LightGuess(light, *_RANGE[light], ())
