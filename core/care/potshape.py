"""The geometry of a pot: volumes of its shapes and the resolved pot itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import pi, sqrt
from typing import Any, Self

from core.care.potsaid import Material, Shape

_LITRES = 1000.0  # in a cubic metre
_VERSION = 1


class Assumed(StrEnum):
    """What had to be taken for granted about a pot, named so that a person can correct it."""

    DEPTH = "depth-three-quarters"  # as deep as three quarters of its width
    DEPTH_WORD = "depth-by-word"  # shallow, usual or deep was said
    BASE = "base-0.7"
    RIM = "rim"  # the width named is that of the rim with its walls
    HEAD_SPACE = "head-space"
    HOLE = "hole"
    ROUND = "round-tapered"  # three sizes were top, base and height of a round pot
    TRADE = "trade-size"
    VOLUME = "volume-as-said"  # taken as what the mix fills; sizes worked out from it
    DRAINAGE = "drainage-layer"


def tapered_l(top_area_m2: float, base_area_m2: float, height_m: float) -> float:
    """Litres in a straight-sided body between two similar faces (frustum of any outline)."""
    middle = sqrt(top_area_m2 * base_area_m2)
    return _LITRES * height_m / 3 * (top_area_m2 + middle + base_area_m2)


def frustum_l(top_m: float, base_m: float, height_m: float) -> float:
    """Litres in a round pot: `pi h (D^2 + D d + d^2) / 12`, diameters and height in metres."""
    return _LITRES * pi * height_m * (top_m**2 + top_m * base_m + base_m**2) / 12


def cylinder_l(width_m: float, height_m: float) -> float:
    """Litres in an upright cylinder, diameter and height in metres."""
    return frustum_l(width_m, width_m, height_m)


def box_l(length_m: float, width_m: float, height_m: float) -> float:
    """Litres in a box, inside sides in metres."""
    return _LITRES * length_m * width_m * height_m


def oval_l(length_m: float, width_m: float, height_m: float) -> float:
    """Litres in an upright oval tub, inside axes and height in metres."""
    return box_l(length_m, width_m, height_m) * pi / 4


@dataclass(frozen=True, slots=True)
class Pot:
    """A pot worked out, inside measures in metres and litres.

    `top_m` is the diameter or the long side at the rim, `across_m` the short side (equal on
    round pots), `base_m` the long side at the base. `depth_m` runs from floor to rim,
    `fill_depth_m` is the depth of mix (less head space and drainage layer), `filled_l` its
    volume, `brim_l` the whole inside. `nominal_m` is the width a person named when that was
    all they said. `assumed` lists what was taken for granted.
    """

    shape: Shape
    top_m: float
    across_m: float
    base_m: float
    depth_m: float
    fill_depth_m: float
    filled_l: float
    brim_l: float
    hole: bool = True
    outer: bool = False
    self_watering: bool = False
    material: Material | None = None
    drainage_m: float = 0.0
    nominal_m: float | None = None
    assumed: tuple[Assumed, ...] = ()

    @property
    def half_l(self) -> float:
        """Half of the filled pot: the dose for a pot dry right through, the ceiling for all."""
        return self.filled_l / 2

    @property
    def width_m(self) -> float:
        """Diameter of the round pot with the same opening."""
        return sqrt(self.top_m * self.across_m)

    @property
    def base_share(self) -> float:
        """Base against rim, side by side."""
        return self.base_m / self.top_m

    def to_json(self) -> dict[str, Any]:
        """Plain values for the journal; `v` tells the layout."""
        return {
            "v": _VERSION,
            "shape": self.shape.value,
            "top_m": self.top_m,
            "across_m": self.across_m,
            "base_m": self.base_m,
            "depth_m": self.depth_m,
            "fill_depth_m": self.fill_depth_m,
            "filled_l": self.filled_l,
            "brim_l": self.brim_l,
            "hole": self.hole,
            "outer": self.outer,
            "self_watering": self.self_watering,
            "material": self.material.value if self.material else None,
            "drainage_m": self.drainage_m,
            "nominal_m": self.nominal_m,
            "assumed": [key.value for key in self.assumed],
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Self:
        """The pot `to_json` wrote. Raises ValueError for a layout newer than this program."""
        fields = dict(data)
        if fields.pop("v", None) != _VERSION:
            raise ValueError(f"pot layout {data.get('v')!r} is not known here")
        fields["shape"] = Shape(fields["shape"])
        fields["material"] = Material(fields["material"]) if fields["material"] else None
        fields["assumed"] = tuple(Assumed(key) for key in fields["assumed"])
        return cls(**fields)
