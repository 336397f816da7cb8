"""How long a pot should take, before it ever told: water it holds over water it loses."""

from __future__ import annotations

from collections.abc import Mapping
from math import log, sqrt
from types import MappingProxyType
from typing import Final

from core.care.drydown.grid import wetness
from core.care.situation import Situation
from core.care.thresholds import LINES
from core.knowledge.types import Habit, LightClass

# All figures are ours, but for what stands beside them. Millimetres are litres per square metre of
# pot. A six-inch pot of a middling plant in an office took 35 to 68 g a day (Berger et al. 2024),
# two to four millimetres; small leaves in low light 15 g or less, under one (Conover & Poole 1992).
_HELD_MM_PER_M: Final = 260.0
_SOIL_MM: Final = 1.0  # a day at 1 kPa
_CLAY_WALL: Final = 1.6  # an unglazed wall dries too
_OUTDOORS: Final = 2.0  # wind and sun
_COOL: Final = 0.7
_RESTING: Final = 0.8  # on top of the season's clock
_PLANT_MM: Final[Mapping[Habit, float]] = MappingProxyType(
    {
        Habit.NEVER_DRY: 2.6,
        Habit.TOP_DRY: 1.6,
        Habit.HALF_DRY: 1.5,
        Habit.MOSTLY_DRY: 0.7,
        Habit.DRY_THROUGH: 0.6,
    }
)
_PLANT_ELSE_MM: Final = 1.5
_LIGHT: Final[Mapping[LightClass, float]] = MappingProxyType(
    {
        LightClass.LOW: 0.4,
        LightClass.MEDIUM: 0.75,
        LightClass.BRIGHT: 1.1,
        LightClass.SUNNY: 1.5,
    }
)
_PEAT_FILL: Final = 0.5  # of the volume: core/knowledge/mixes.toml
_STRAIGHT: Final = (1 - wetness(4.5)) / (1 - sqrt(wetness(4.5)))
_COARSE_FILL: Final = 0.3  # mixes without a fill share: bark, clay pebbles
_LOWEST_TARGET: Final = 1.5
_HALF: Final = 0.5


def target(situation: Situation, *, slow: bool = False) -> float:
    """The reading to forecast: the habit's own deep line and one half."""
    lines = LINES.get(situation.habit)
    return _LOWEST_TARGET if lines is None else lines.deep.at(slow=slow) + _HALF


def log_days(situation: Situation, reference: float) -> float:
    """Log of the demand-days from reading 10 to a reference reading, guessed."""
    light = _LIGHT[situation.light or LightClass.MEDIUM]
    wall = _CLAY_WALL if situation.terracotta else 1.0
    lost = _SOIL_MM * wall + _PLANT_MM.get(situation.habit, _PLANT_ELSE_MM) * light
    held = _HELD_MM_PER_M * _share_held(situation)
    lost *= _OUTDOORS if situation.outdoors else 1.0
    lost *= _COOL if situation.cool else 1.0
    lost *= _RESTING if situation.dormant else 1.0
    return log(held * situation.fill_depth_m * _share_used(reference) / lost)


def _share_used(reference: float) -> float:
    """Time from reading 10 to a reference, the loss slowing with the root of the water left.

    So scaled that a reference of 4.5 takes what a straight line would.
    """
    return _STRAIGHT * (1 - sqrt(wetness(reference)))


def _share_held(situation: Situation) -> float:
    """Water a mix gives up, against ordinary potting mix."""
    mix = situation.mix
    if mix is None:
        return 1.0
    return (mix.fill_share or _COARSE_FILL) / _PEAT_FILL
