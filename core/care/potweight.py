"""How heavy a watered pot is, so that nobody is told to tip thirty litres over a sink."""

from __future__ import annotations

from math import pi
from typing import Final

from core.care.potsaid import Material
from core.care.potshape import Pot
from core.knowledge.types import Mix

# Wall by material, kg per square metre: usual thickness times density (G).
_WALL: Final = {
    Material.TERRACOTTA: 15.0,
    Material.PLASTIC: 2.0,
    Material.GLAZED: 18.0,
    Material.FABRIC: 0.5,
    Material.WOOD: 9.0,
    Material.METAL: 6.0,
    Material.GLASS: 12.0,
    Material.CONCRETE: 45.0,
    Material.FIBREGLASS: 6.0,
    Material.BASKET: 2.0,
}

# Peat and bark mixes weigh 0.09-0.16 kg a litre dry (University of Arkansas, Greenhouse
# Management Online, SEEN); pebbles about 1.5 (G).
_DRY_KG_PER_L: Final = 0.15
_PEBBLES_KG_PER_L: Final = 1.5

# Just after a pour a mix holds more than it will keep: capacity and half of the air space (G).
_CAPACITY: Final = 0.60
_AIR: Final = 0.20

# From here on a pot is for a baster or a towel, not for a back (ours, after CP).
HEAVY_KG: Final = 8.0


def wet_kg(pot: Pot, mix: Mix | None = None) -> float:
    """Kilograms of pot, mix and water just after a good pour, without the plant."""
    capacity = (mix.container_capacity if mix else None) or _CAPACITY
    air = (mix.air_space if mix else None) or _AIR
    mix_kg = pot.filled_l * (_DRY_KG_PER_L + capacity + air / 2)
    return mix_kg + _wall_kg(pot) + _pebbles_kg(pot)


def is_heavy(pot: Pot, mix: Mix | None = None) -> bool:
    """Whether the watered pot is too heavy to be tipped with ease."""
    return wet_kg(pot, mix) >= HEAVY_KG


def _wall_kg(pot: Pot) -> float:
    mean_side = pot.width_m * (1 + pot.base_share) / 2
    foot = pot.width_m * pot.base_share
    area = pi * mean_side * pot.depth_m + pi / 4 * foot**2
    return area * _WALL[pot.material or Material.PLASTIC]


def _pebbles_kg(pot: Pot) -> float:
    return pot.filled_l * pot.drainage_m / pot.fill_depth_m * _PEBBLES_KG_PER_L
