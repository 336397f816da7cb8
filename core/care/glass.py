"""How cold it gets at a window: the pane's inner face, and a leaf near it.

The pane: `Tsi = Ti - U Rsi (Ti - Te)` (ISO 13788, FROM MEMORY), with Rsi 0.13 m2K/W on windows
(EN ISO 6946, SEEN at lignatur.ch).
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Final

RSI: Final = 0.13

# A room at night where nobody told: 20 C by day, a little less with the heating turned down (ours).
USUAL_ROOM_C: Final = 18.0
# How much colder a room gets at night than it is by day, where only the day is known (ours).
SETBACK_K: Final = 2.0

# On the sill or touching a leaf has the pane's temperature, under 30 cm it loses heat to the pane
# by radiation: about three tenths of the way (ours, from a heat balance with still air).
TOUCHING_M: Final = 0.15
NEAR_M: Final = 0.30
_SHARE_OF_PANE: Final = 0.3

# Still air behind a drawn curtain: its own resistance and the room's film on the warm side, the
# pane on the cold one; 0.1 to 0.2 m2K/W for the curtain, the middle is taken (ours).
_CURTAIN_R: Final = 0.15


class Glazing(StrEnum):
    """Kinds of window as people know them."""

    ONE_PANE = "one-pane"
    TWO_OLD = "two-old"
    TWO_NEW = "two-new"
    THREE = "three"


# W/m2K. Single 5.0-5.7, double clear 2.7-3.0 (Detail magazine, oikodomisis guide; SEEN-2ND); low-e
# double 1.4 and triple 0.7 stand between an ideal and a usual window (ours).
U_VALUE: Final[Mapping[Glazing, float]] = MappingProxyType(
    {Glazing.ONE_PANE: 5.7, Glazing.TWO_OLD: 2.8, Glazing.TWO_NEW: 1.4, Glazing.THREE: 0.7}
)
# What is assumed of a window that nobody described (ours): it errs a little to the cold side.
ASSUMED: Final = Glazing.TWO_OLD


def pane_c(room_c: float, outside_c: float, u_value: float) -> float:
    """The inner face of a pane, C; warmer outside than in, it is as warm as the formula says."""
    return room_c - u_value * RSI * (room_c - outside_c)


def gap_c(room_c: float, outside_c: float, u_value: float) -> float:
    """The air between a drawn curtain and the pane, C: resistances in a row, room to outside."""
    whole = RSI + _CURTAIN_R + 1 / u_value
    to_gap = RSI + _CURTAIN_R
    return room_c - (room_c - outside_c) * to_gap / whole


def leaf_c(
    room_c: float,
    outside_c: float,
    *,
    distance_m: float | None,
    glazing: Glazing = ASSUMED,
    behind_curtain: bool = False,
) -> float:
    """The coldest part of a plant so far from a window, C.

    A distance of None: not at a window. Raises ValueError for a negative distance.
    """
    if distance_m is not None and distance_m < 0:
        raise ValueError("a distance is not negative")
    if distance_m is None or distance_m >= NEAR_M:
        return room_c
    u_value = U_VALUE[glazing]
    pane = pane_c(room_c, outside_c, u_value)
    if behind_curtain:
        # Leaves there may lie against the pane; the colder of the two is told.
        return min(pane, gap_c(room_c, outside_c, u_value))
    if distance_m <= TOUCHING_M:
        return pane
    return room_c - _SHARE_OF_PANE * (room_c - pane)
