"""From what was said about a pot to its geometry, with every assumption named."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi

from core.care.potsaid import DepthWord, PotSaid, Shape
from core.care.potshape import (
    Assumed,
    Pot,
    box_l,
    cylinder_l,
    frustum_l,
    oval_l,
    tapered_l,
)
from core.knowledge.potsizes import PotSizes, pot_sizes

__all__ = [
    "Assumed",
    "Pot",
    "PotUnclearError",
    "box_l",
    "cylinder_l",
    "frustum_l",
    "oval_l",
    "resolve",
    "saucer_l",
    "with_depth",
]

# Pebbles said without a depth: an inch, as most people pour in (CP), at most a fifth of the pot.
_PEBBLES_M = 0.025
_PEBBLES_MOST = 0.2

# Three bare sizes are top, base and height of a round pot when the second is a likely base;
# a second side under this share of the first, or as long as the first, makes a box (ours).
_BASE_AT_LEAST = 0.6

# A saucer is about as wide as the rim with its wall, and a seventh of that deep, 3 cm at most (G):
# it holds 0.2, 0.5 and 1.2 L around pots of 15, 20 and 30 cm. A straight pot's stands out a little.
_SAUCER_DEPTH_SHARE = 0.14
_SAUCER_DEPTH_MOST_M = 0.03
_SAUCER_TO_RIM = 1.04
_SAUCER_TO_FOOT = 1.15


class PotUnclearError(ValueError):
    """What was said doesn't make a pot.

    `what` is "size" (no width), "trade-size" (no such container class), "oval-width",
    "depth-known" (there is no depth to choose) or "no-room" (nothing is left for the mix).
    """

    def __init__(self, what: str) -> None:
        """Keep what is unclear, for the question to be asked."""
        super().__init__(what)
        self.what = what


@dataclass(frozen=True, slots=True)
class _Body:
    """A pot to the brim: long and short side at the rim, long side at the base, depth."""

    shape: Shape
    top_m: float
    across_m: float
    base_m: float
    depth_m: float
    nominal_m: float | None = None
    assumed: tuple[Assumed, ...] = ()

    def litres(self, low_m: float, high_m: float) -> float:
        """Litres between two heights above the floor."""
        low, high = self._area(low_m), self._area(high_m)
        return tapered_l(high, low, high_m - low_m)

    def _area(self, height_m: float) -> float:
        base_share = self.base_m / self.top_m
        side = base_share + (1 - base_share) * height_m / self.depth_m
        outline = 1.0 if self.shape is Shape.BOX else pi / 4
        return outline * self.top_m * self.across_m * side**2


def resolve(said: PotSaid, sizes: PotSizes | None = None) -> Pot:
    """Work out the pot that was described.

    A width alone makes a round pot three quarters as deep as wide, its base 0.7 of its rim;
    head space and a drainage layer come off the fill; a container class or a volume in litres
    counts as what the mix fills. Raises PotUnclearError.
    """
    sizes = sizes or pot_sizes()
    litres = _said_litres(said, sizes)
    if litres is None:
        return _filled(_body(said, sizes), said, sizes)
    body = _body(said, sizes) if said.top_m or said.length_m else _can(litres, sizes)
    pot = _filled(body, said, sizes)
    mix_share = pot.filled_l / body.litres(0, body.depth_m - _head_m(body, sizes))
    how = Assumed.VOLUME if said.volume_l else Assumed.TRADE
    kept = tuple(key for key in pot.assumed if key is not Assumed.HEAD_SPACE)
    return replace(pot, filled_l=litres * mix_share, brim_l=litres, assumed=(how, *kept))


def with_depth(pot: Pot, depth: DepthWord | str, sizes: PotSizes | None = None) -> Pot:
    """The same pot "shallow", "usual" or "deep" for its width, once that question is answered.

    Raises PotUnclearError("depth-known") for a pot whose depth or volume was said.
    """
    sizes = sizes or pot_sizes()
    if not {Assumed.DEPTH, Assumed.DEPTH_WORD} & set(pot.assumed):
        raise PotUnclearError("depth-known")
    share = sizes.guess[DepthWord(depth).value]
    wide = pot.nominal_m or pot.across_m
    kept = tuple(key for key in pot.assumed if key not in (Assumed.DEPTH, Assumed.DEPTH_WORD))
    body = _Body(
        pot.shape, pot.top_m, pot.across_m, pot.base_m, share * wide, pot.nominal_m,
        (Assumed.DEPTH_WORD, *kept),
    )  # fmt: skip
    new = _fill(body, pot.drainage_m, sizes)
    return replace(
        pot, depth_m=new.depth_m, fill_depth_m=new.fill_depth_m, filled_l=new.filled_l,
        brim_l=new.brim_l, assumed=new.assumed,
    )  # fmt: skip


def saucer_l(pot: Pot) -> float:
    """Litres a fitting saucer holds around the foot of the pot (a guess from its width)."""
    foot = pot.width_m * pot.base_share
    saucer = max(_SAUCER_TO_RIM * pot.width_m, _SAUCER_TO_FOOT * foot)
    depth = min(_SAUCER_DEPTH_MOST_M, _SAUCER_DEPTH_SHARE * pot.width_m)
    return cylinder_l(saucer, depth) - cylinder_l(foot, depth)


def _said_litres(said: PotSaid, sizes: PotSizes) -> float | None:
    if said.volume_l is not None:
        return said.volume_l
    if said.trade_size is None:
        return None
    litres = sizes.trade_l.get(said.trade_size.lstrip("#").strip())
    if litres is None:
        raise PotUnclearError("trade-size")
    return litres


def _can(litres: float, sizes: PotSizes) -> _Body:
    """A nursery can of this volume, scaled from one a metre wide."""
    depth, base = sizes.can["depth_share"], sizes.can["base_share"]
    wide = float((litres / frustum_l(1.0, base, depth)) ** (1 / 3))
    return _Body(Shape.ROUND, wide, wide, base * wide, depth * wide)


def _body(said: PotSaid, sizes: PotSizes) -> _Body:
    if said.shape is None and said.length_m and said.width_m and said.height_m:
        return _three_sizes(said.length_m, said.width_m, said.height_m)
    if said.shape in (Shape.BOX, Shape.OVAL):
        return _straight(said, said.shape, sizes)
    if said.length_m and said.width_m and said.length_m != said.width_m:
        return _straight(said, Shape.BOX, sizes)
    return _round(said, sizes)


def _three_sizes(first_m: float, second_m: float, height_m: float) -> _Body:
    if _BASE_AT_LEAST <= second_m / first_m < 1:
        taken = (Assumed.ROUND,)
        return _Body(Shape.ROUND, first_m, first_m, second_m, height_m, assumed=taken)
    return _Body(Shape.BOX, max(first_m, second_m), min(first_m, second_m),
                 max(first_m, second_m), height_m)  # fmt: skip


def _straight(said: PotSaid, shape: Shape, sizes: PotSizes) -> _Body:
    """A box or an oval tub; its sides are upright unless a base was named."""
    long = said.length_m or said.top_m
    across = said.width_m or (said.top_m if shape is Shape.BOX else None)
    if long is None:
        raise PotUnclearError("size")
    if across is None:
        raise PotUnclearError("oval-width" if shape is Shape.OVAL else "size")
    depth, taken = _depth(said, across, sizes)
    return _Body(shape, long, across, said.base_m or long, depth, assumed=taken)


def _round(said: PotSaid, sizes: PotSizes) -> _Body:
    named = said.top_m or said.length_m or said.width_m
    upright = said.shape is Shape.CYLINDER
    if named is None and said.base_m:
        named = said.base_m if upright else said.base_m / sizes.guess["base_share"]
    if named is None:
        raise PotUnclearError("size")
    depth, taken = _depth(said, named, sizes)
    nominal = None if said.height_m or said.base_m else named
    top = named if nominal is None else sizes.guess["rim_share"] * named
    base = said.base_m or (top if upright else sizes.guess["base_share"] * top)
    taken += (Assumed.RIM,) if nominal else ()
    taken += () if said.base_m or upright else (Assumed.BASE,)
    shape = Shape.CYLINDER if upright else Shape.ROUND
    return _Body(shape, top, top, base, depth, nominal, taken)


def _depth(said: PotSaid, width_m: float, sizes: PotSizes) -> tuple[float, tuple[Assumed, ...]]:
    if said.height_m:
        return said.height_m, ()
    if said.trade_shape:
        return sizes.depth_share[said.trade_shape.value] * width_m, ()
    if said.depth_word:
        return sizes.guess[said.depth_word.value] * width_m, (Assumed.DEPTH_WORD,)
    return sizes.guess["usual"] * width_m, (Assumed.DEPTH,)


def _head_m(body: _Body, sizes: PotSizes) -> float:
    wide = body.nominal_m or min(body.top_m, body.across_m)
    return sizes.head_space.above(wide, body.depth_m)


def _pebbles(said: PotSaid, depth_m: float) -> tuple[float, tuple[Assumed, ...]]:
    if said.drainage_layer_m is not None:
        return said.drainage_layer_m, ()
    if said.drainage_layer:
        return min(_PEBBLES_M, _PEBBLES_MOST * depth_m), (Assumed.DRAINAGE,)
    return 0.0, ()


def _fill(body: _Body, drainage_m: float, sizes: PotSizes) -> Pot:
    """The body with its mix between the pebbles and the head space."""
    line = body.depth_m - _head_m(body, sizes)
    if drainage_m >= line:
        raise PotUnclearError("no-room")
    return Pot(
        body.shape, body.top_m, body.across_m, body.base_m, body.depth_m, line - drainage_m,
        body.litres(drainage_m, line), body.litres(0, body.depth_m),
        drainage_m=drainage_m, nominal_m=body.nominal_m, assumed=body.assumed,
    )  # fmt: skip


def _filled(body: _Body, said: PotSaid, sizes: PotSizes) -> Pot:
    pebbles, guessed = _pebbles(said, body.depth_m)
    pot = _fill(body, pebbles, sizes)
    taken = [*body.assumed, *guessed, Assumed.HEAD_SPACE]
    if said.hole is None:
        taken.append(Assumed.HOLE)
    return replace(
        pot, hole=said.hole is not False, outer=bool(said.outer),
        self_watering=bool(said.self_watering), material=said.material, assumed=tuple(taken),
    )  # fmt: skip
