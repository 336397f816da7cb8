"""How a dose is given: the way, the portions and the pauses between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from enum import StrEnum
from math import ceil
from typing import Any, Final, Self

from core.care.dose import Dose, DoseKind, LimitedBy, Vessel
from core.care.pots import saucer_l
from core.care.potshape import Pot
from core.care.potweight import is_heavy
from core.knowledge.types import Mix, WaterTo

# Top watering: the first half, then five to ten minutes before anybody looks; with a meter five
# to seven before it is probed; from below five to ten (common practice, no source).
_LOOK_TOP: Final = timedelta(minutes=7)
_LOOK_METER: Final = timedelta(minutes=6)
_LOOK_BOTTOM: Final = timedelta(minutes=7)

# From bone dry, or in coarse mix: three or four portions, ten to fifteen minutes apart, because
# run-off is then no sign of enough (common practice; dry peat takes up 21.5 points of volume less
# from overhead water, Bartley et al. 2023, HortScience 58:79, SEEN).
_LOOK_PORTIONS: Final = timedelta(minutes=12)
_PORTIONS_SMALL, _PORTIONS = 3, 4
_SMALL_DOSE_L: Final = 0.3

# Or stand it in water for 20 to 45 minutes (common practice, no source).
STAND_FOR: Final = timedelta(minutes=30)

# The first portion is at most a quarter of the pot, and from 20 cm up at most a litre or what
# the saucer takes (G).
_QUARTER: Final = 1 / 4
_BIG_FROM_M: Final = 0.199  # 20 cm, forgiving the rounding of a unit
_BIG_PORTION_L: Final = 1.0

# Once the first portion was held, the next may be up to twice as large (ours).
_LATER_LARGER: Final = 2.0

# "Add a little" between two looks at the meter: a quarter of the dose (ours).
_LITTLE: Final = 1 / 4

# Run-off means enough only in a mix still moist (3 or more) and not coarse (G, after CP).
_MOIST_FROM: Final = 3.0

_VERSION: Final = 1


class Way(StrEnum):
    """How the water reaches the roots."""

    TOP = "top"
    METER = "meter"  # from the top, probed between portions
    PORTIONS = "portions"  # from the top, little by little: bone dry or coarse
    BOTTOM = "bottom"  # from the saucer
    SOAK = "soak"  # the pot or plant stands in water for some minutes
    NO_HOLE = "no-hole"  # one small portion
    FILL = "fill"  # a reservoir, tray or glass
    DRY_SIDE = "dry-side"  # a little, on the dry side only
    CUP = "cup"  # into the cup of leaves


_PLAN_LOOK: Final = {
    Way.TOP: _LOOK_TOP,
    Way.METER: _LOOK_METER,
    Way.PORTIONS: _LOOK_PORTIONS,
    Way.BOTTOM: _LOOK_BOTTOM,
}


@dataclass(frozen=True, slots=True)
class Plan:
    """A pour before it begins.

    `dose_l` is what the pot needs, `portions_l` the litres of each portion in order, empty where
    litres mean nothing; `again_l` the portion that may be repeated after them while `ceiling_l`
    isn't reached (meter and saucer). `look_after` is the pause after a portion.
    `run_off_stops`: water in the saucer means enough. `dry_start`: the mix was too dry to drink
    at once. `water_to`: where the water goes.
    """

    way: Way
    dose_l: float = 0.0
    portions_l: tuple[float, ...] = ()
    look_after: timedelta = timedelta(0)
    ceiling_l: float = 0.0
    again_l: float = 0.0
    run_off_stops: bool = True
    dry_start: bool = False
    water_to: WaterTo = WaterTo.STEMS
    heavy: bool = False
    outer: bool = False
    vessel: Vessel | None = None
    fill_share: float | None = None
    level_m: float | None = None

    def to_dict(self) -> dict[str, Any]:
        """Plain values; `v` tells the layout."""
        return {
            "v": _VERSION,
            "way": self.way.value,
            "dose_l": self.dose_l,
            "portions_l": list(self.portions_l),
            "look_after_s": self.look_after.total_seconds(),
            "ceiling_l": self.ceiling_l,
            "again_l": self.again_l,
            "run_off_stops": self.run_off_stops,
            "dry_start": self.dry_start,
            "water_to": self.water_to.value,
            "heavy": self.heavy,
            "outer": self.outer,
            "vessel": self.vessel.value if self.vessel else None,
            "fill_share": self.fill_share,
            "level_m": self.level_m,
        }

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """The plan `to_dict` wrote. Raises ValueError for a layout not known here."""
        fields = dict(data)
        if fields.pop("v", None) != _VERSION:
            raise ValueError(f"plan layout {data.get('v')!r} is not known here")
        fields["way"] = Way(fields["way"])
        fields["portions_l"] = tuple(fields["portions_l"])
        fields["look_after"] = timedelta(seconds=fields.pop("look_after_s"))
        fields["water_to"] = WaterTo(fields["water_to"])
        fields["vessel"] = Vessel(fields["vessel"]) if fields["vessel"] else None
        return cls(**fields)


def drinks_badly(mix: Mix, *readings: float | None) -> bool:
    """Whether water will run past: coarse mix, or a reading under 3 in any other."""
    return mix.coarse or any(value < _MOIST_FROM for value in readings if value is not None)


def ways_for(pot: Pot, mix: Mix, dose: Dose, *, bone_dry: bool = False) -> tuple[Way, ...]:
    """The ways this dose can be given, the usual one first; the others a person may ask for."""
    only = _only_way(pot, dose)
    if only:
        return (only,)
    usual = Way.PORTIONS if bone_dry or mix.coarse else Way.TOP
    meter = (Way.METER,) if mix.meter_ok else ()
    return tuple(dict.fromkeys((usual, Way.BOTTOM, Way.SOAK, Way.PORTIONS, *meter)))


def plan(
    pot: Pot,
    mix: Mix,
    dose: Dose,
    *,
    water_to: WaterTo = WaterTo.STEMS,
    bone_dry: bool = False,
    way: Way | None = None,
) -> Plan:
    """Lay out the pour of a dose.

    `bone_dry`: the mix is too dry to drink at once (see `drinks_badly`). A `way` this pot can't
    take, such as from the saucer without a hole, gives the usual one instead. When nothing is
    missing the plan has no portions.
    """
    if dose.kind is DoseKind.NONE:
        return Plan(Way.TOP, water_to=water_to, outer=pot.outer)
    possible = ways_for(pot, mix, dose, bone_dry=bone_dry)
    chosen = way if way in possible else possible[0]
    blank = Plan(
        chosen,
        dose.litres or 0.0,
        water_to=water_to,
        dry_start=bone_dry,
        run_off_stops=not (bone_dry or mix.coarse),
        heavy=is_heavy(pot, mix),
        outer=pot.outer,
        look_after=_PLAN_LOOK.get(chosen, timedelta(0)),
    )
    return _laid_out(blank, pot, dose)


def in_portions(plan: Plan, left_l: float) -> Plan:
    """The rest of a pour, little by little, once water was seen to run straight through."""
    pieces = max(_PORTIONS_SMALL, ceil(left_l / plan.portions_l[0]))
    return replace(
        plan,
        way=Way.PORTIONS,
        portions_l=_equal(left_l, pieces),
        again_l=0.0,
        look_after=_LOOK_PORTIONS,
        run_off_stops=False,
        ceiling_l=left_l,
    )


def standing_in_water(plan: Plan) -> Plan:
    """The rest of a pour with the pot in water, when the top won't take it."""
    return replace(plan, way=Way.SOAK, portions_l=(), again_l=0.0, look_after=STAND_FOR)


def wet_from_above(plan: Plan, litres: float) -> Plan:
    """One portion from the top for a pot whose foot finds no water, then left to drink."""
    return replace(plan, way=Way.PORTIONS, portions_l=(litres,), again_l=0.0)


def _only_way(pot: Pot, dose: Dose) -> Way | None:
    by_kind = {DoseKind.SOAK: Way.SOAK, DoseKind.FILL: Way.FILL, DoseKind.CUP: Way.CUP}
    if dose.kind in by_kind:
        return by_kind[dose.kind]
    if dose.limited_by is LimitedBy.ONE_SIDE:
        return Way.DRY_SIDE
    return None if pot.hole else Way.NO_HOLE


def _laid_out(blank: Plan, pot: Pot, dose: Dose) -> Plan:
    litres = dose.litres or 0.0
    if blank.way is Way.CUP:
        return blank
    if blank.way is Way.SOAK:
        return replace(blank, look_after=dose.soak_for or STAND_FOR)
    if blank.way is Way.FILL:
        return replace(blank, vessel=dose.vessel, fill_share=dose.fill_share, level_m=dose.level_m)
    if blank.way is Way.BOTTOM:
        once = min(saucer_l(pot), dose.half_pot_l)
        return replace(blank, portions_l=(once,), again_l=once, ceiling_l=dose.half_pot_l)
    return _portioned(blank, pot, litres, dose.half_pot_l)


def _portioned(blank: Plan, pot: Pot, litres: float, half_pot_l: float) -> Plan:
    most = _most_at_once(pot)
    if blank.way is Way.TOP:
        return replace(blank, portions_l=_first_then(litres, most), ceiling_l=litres)
    if blank.way is Way.PORTIONS:
        wanted = _PORTIONS if litres > _SMALL_DOSE_L else _PORTIONS_SMALL
        portions = _equal(litres, max(wanted, ceil(litres / most)))
        return replace(blank, portions_l=portions, ceiling_l=litres)
    if blank.way is Way.METER:
        first = min(litres / 2, most)
        little = min(litres * _LITTLE, most)
        return replace(blank, portions_l=(first,), again_l=little, ceiling_l=half_pot_l)
    return replace(blank, portions_l=(litres,), ceiling_l=litres)


def _most_at_once(pot: Pot) -> float:
    quarter = _QUARTER * pot.filled_l
    if (pot.nominal_m or pot.width_m) < _BIG_FROM_M:
        return quarter
    return min(quarter, _BIG_PORTION_L, saucer_l(pot))


def _first_then(litres: float, most_l: float) -> tuple[float, ...]:
    """Half of the dose or as much as may be given at once; then the rest, in larger pieces."""
    first = min(litres / 2, most_l)
    rest = litres - first
    return (first, *_equal(rest, ceil(rest / (_LATER_LARGER * first))))


def _equal(litres: float, pieces: int) -> tuple[float, ...]:
    return (litres / pieces,) * pieces
