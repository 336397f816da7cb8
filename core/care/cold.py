"""Which plants a cold night endangers, and why."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from core.care.glass import ASSUMED, USUAL_ROOM_C, Glazing, leaf_c
from core.knowledge.types import Temperature

# Outdoor low below which windows stay shut, or the plant moves away first: 50 F (common practice,
# no source). What likes it cool, by its own limit, silences the rule.
SHUT_BELOW_C: Final = 10.0
# No leaf of the species table is harmed by so mild a night, at no window and not outdoors: a test
# looks.
NOBODY_MINDS_C: Final = 18.0


class Danger(StrEnum):
    """What the night may do to a plant."""

    OUTDOORS = "outdoors"  # it stands outside and minds the cold
    GLASS = "glass"  # the place will be colder than its leaves bear
    SLOW = "slow"  # colder than it grows in, no harm
    DRAFT = "draft"  # an open window would be


@dataclass(frozen=True, slots=True)
class Place:
    """A spot as the cold sees it. Metres; None: not at a window."""

    distance_m: float | None = None
    outdoors: bool = False
    at_window: bool = False
    behind_curtain: bool = False
    glazing: Glazing = ASSUMED


@dataclass(frozen=True, slots=True)
class Chill:
    """What is to be feared, how cold the leaf gets and what it bears, C."""

    danger: Danger
    leaf_c: float
    bears_c: float


def chill(
    bears: Temperature, place: Place, low_c: float, room_c: float = USUAL_ROOM_C
) -> Chill | None:
    """What a night with this outdoor low does to a plant; None where nothing need be said.

    The gravest comes first: leaves harmed outside, then at the pane, then a window left open,
    then mere slowness.
    """
    harm = bears.damage_below_c
    if place.outdoors:
        return Chill(Danger.OUTDOORS, low_c, harm) if low_c < harm else None
    leaf = leaf_c(
        room_c,
        low_c,
        distance_m=place.distance_m,
        glazing=place.glazing,
        behind_curtain=place.behind_curtain,
    )
    if leaf < harm:
        return Chill(Danger.GLASS, leaf, harm)
    if place.at_window and low_c < SHUT_BELOW_C and low_c < harm:
        return Chill(Danger.DRAFT, low_c, harm)
    if leaf < bears.slow_below_c and place.distance_m is not None:
        return Chill(Danger.SLOW, leaf, bears.slow_below_c)
    return None
