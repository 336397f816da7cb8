"""What a person said about a pot: plain data, nothing assumed and nothing worked out.

Lengths are metres, volumes litres. None means "not said". Turning this into a geometry,
with the assumptions named, is the work of the pot model.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Shape(StrEnum):
    """The outline a person named."""

    ROUND = "round"  # tapering, wider at the top, unless the sizes say otherwise
    BOX = "box"
    OVAL = "oval"
    CYLINDER = "cylinder"


class TradeShape(StrEnum):
    """Growers' names for how deep a round pot is against its width."""

    STANDARD = "standard"
    AZALEA = "azalea"
    PAN = "pan"


class DepthWord(StrEnum):
    """A depth said in a word instead of a number."""

    SHALLOW = "shallow"
    USUAL = "usual"
    DEEP = "deep"


class Material(StrEnum):
    """What the pot is made of, as far as it matters for drying."""

    TERRACOTTA = "terracotta"  # unglazed clay: the wall dries too
    PLASTIC = "plastic"
    GLAZED = "glazed"  # ceramic, porcelain, stoneware
    FABRIC = "fabric"
    WOOD = "wood"
    METAL = "metal"
    GLASS = "glass"
    CONCRETE = "concrete"  # cement and stone too
    FIBREGLASS = "fibreglass"  # and resin
    BASKET = "basket"  # wire, wicker or coir


@dataclass(frozen=True, slots=True)
class PotSaid:
    """One pot as it was described.

    `top_m` and `base_m` are diameters of a round pot at rim and base; `length_m` and
    `width_m` the sides of a box or the axes of an oval. Three sizes without a shape word
    fill `length_m`, `width_m`, `height_m` and leave `shape` None; a single size is `top_m`.
    `trade_size` is a container class such as "#1"; `trade_gallons` is True when it was said
    as "1 gal pot", which in the nursery trade means the class and not the measure.
    `drainage_layer_m` is the depth of pebbles at the bottom, `drainage_layer` that there
    are some. `outer`: the pot stands in another one. `unit_assumed`: no unit was said, the
    household's was taken.
    """

    said: str
    shape: Shape | None = None
    top_m: float | None = None
    base_m: float | None = None
    height_m: float | None = None
    length_m: float | None = None
    width_m: float | None = None
    depth_word: DepthWord | None = None
    trade_size: str | None = None
    trade_gallons: bool = False
    trade_shape: TradeShape | None = None
    volume_l: float | None = None
    material: Material | None = None
    hole: bool | None = None
    outer: bool | None = None
    self_watering: bool | None = None
    drainage_layer: bool | None = None
    drainage_layer_m: float | None = None
    unit_assumed: bool = False
