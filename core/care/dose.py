"""How much water: half the pot is the ceiling, what is missing is the dose."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from enum import StrEnum
from typing import Final

from core.care.intake import OwnIntake
from core.care.potshape import Pot
from core.care.substrate import dryness
from core.knowledge.types import Habit, LightClass, Method, Mix, WaterTo

# Where there is a hole a tenth more than is missing, so that salts don't stay
# (leaching fraction under 15 %, UF/IFAS ENH1268, SEEN; a tenth is ours).
_RUN_OFF_SHARE: Final = 0.1

# Fills from 20 cm hold less per litre (height effect, Bilderback & Fonteno 1987, SEEN; 20 cm is G:
# an ordinary 30 cm pot is filled just that deep, hence a millimetre of grace).
_DEEP_FILL_M: Final = 0.199

# No hole: a quarter of the pot, an eighth in coarse mix, and never more than half of what is
# missing: what is too much can't leave (direction common practice, numbers G).
_NO_HOLE: Final = 1 / 4
_NO_HOLE_COARSE: Final = 1 / 8
_NO_HOLE_OF_MISSING: Final = 1 / 2

# Dry on one side only: a tenth of the pot, there and nowhere else (common practice, no source).
_ONE_SIDE: Final = 1 / 10

# Both figures are told when they differ by a third of half the pot or more (ours).
_DIFFERS: Final = 1 / 3

# Chips and moss are soaked by time, air plants longer (common practice, no source).
_SOAK_IN_MIX: Final = timedelta(minutes=15)
_SOAK_BARE: Final = timedelta(minutes=30)

# Self-watering planters by light: full, half, a quarter, which may last a month; then empty for
# two to seven days (an interior landscaper's published practice, tdplants.com 2015).
_RESERVOIR: Final = {
    LightClass.SUNNY: 1.0,
    LightClass.BRIGHT: 1.0,
    LightClass.MEDIUM: 0.5,
    LightClass.LOW: 0.25,
}
RESERVOIR_EMPTY: Final = (timedelta(days=2), timedelta(days=7))

# Water in the tray of a bog plant, and among clay pebbles as a share of the pot's depth
# (common practice, no source).
_TRAY_M: Final = 0.02
_PEBBLES_SHARE: Final = 1 / 4

# Against salts: twice the pot's volume, at least every four to six months (UC ANR, SEEN).
_RINSE_POTS: Final = 2.0
RINSE_MONTHS: Final = (4, 6)

# With no reading at all the pot is taken for half dry.
_HALF_DRY: Final = 0.5


class DoseKind(StrEnum):
    """How the amount is given."""

    LITRES = "litres"
    SOAK = "soak"  # minutes in water
    FILL = "fill"  # a reservoir, tray or glass, to a level
    CUP = "cup"  # into the cup of leaves
    NONE = "none"  # nothing is missing


class LimitedBy(StrEnum):
    """What set the litres."""

    MISSING = "missing"
    HALF_POT = "half-pot"
    NO_HOLE = "no-hole"
    OWN_INTAKE = "own-intake"
    WEIGHT = "weight"
    ONE_SIDE = "one-side"


class Vessel(StrEnum):
    """What is filled to a level."""

    RESERVOIR = "reservoir"
    TRAY = "tray"
    GLASS = "glass"
    PEBBLES = "pebbles"


@dataclass(frozen=True, slots=True)
class Drinker:
    """What the plant and its spot say about watering."""

    habit: Habit | None = None
    method: Method = Method.SOIL
    water_to: WaterTo = WaterTo.STEMS
    light: LightClass = LightClass.MEDIUM
    from_top: bool = False  # reservoir or not: freshly repotted, or the wick has gone dry


@dataclass(frozen=True, slots=True)
class Dose:
    """How much water and what decided it.

    `litres` only for LITRES; `soak_for` for SOAK; `vessel` with `fill_share` (0 to 1, of the
    reservoir) or `level_m` (depth of water) for FILL. `half_pot_l` is half the filled pot;
    `differs` that it lies a third or more from `litres` and both should be told. `coarse`:
    the mix holds little, more only runs through. `guessed`: there was no reading, half dry taken.
    """

    kind: DoseKind
    half_pot_l: float
    litres: float | None = None
    limited_by: LimitedBy | None = None
    differs: bool = False
    coarse: bool = False
    guessed: bool = False
    soak_for: timedelta | None = None
    vessel: Vessel | None = None
    fill_share: float | None = None
    level_m: float | None = None


@dataclass(frozen=True, slots=True)
class BareDose:
    """The dose of a pot about which nothing but its size is known."""

    half_pot: Dose  # dry right through
    half_dry: Dose


def dose(
    pot: Pot,
    mix: Mix,
    *,
    middle: float | None = None,
    deep: float | None = None,
    missing_l: float | None = None,
    drinker: Drinker | None = None,
    own: OwnIntake | None = None,
) -> Dose:
    """How much water this pot needs now.

    Readings are on the meter's scale 1 to 10; `missing_l` is known from a weighed pot and
    overrules them; `own` is what the pot has shown it takes and replaces the mix's share.
    """
    drinker = drinker or Drinker()
    by_level = _level(pot, mix, drinker)
    if by_level:
        return by_level
    if drinker.water_to is WaterTo.CUP:
        return Dose(DoseKind.CUP, pot.half_l)
    if _soaked(mix, drinker) and (pot.hole or drinker.method is Method.NO_SOIL):
        time = _SOAK_BARE if drinker.method is Method.NO_SOIL else _SOAK_IN_MIX
        return Dose(DoseKind.SOAK, pot.half_l, soak_for=time)
    reading = mean_reading(middle, deep)
    if missing_l is not None:
        return _litres(pot, mix, missing_l, LimitedBy.WEIGHT)
    missing, why = _missing(pot, mix, reading, own)
    return replace(_litres(pot, mix, missing, why), guessed=reading is None)


def one_side(pot: Pot, mix: Mix) -> Dose:
    """A little for the dry side of an uneven pot."""
    litres = min(_ONE_SIDE * pot.filled_l, _most_without_hole(pot, mix))
    return Dose(DoseKind.LITRES, pot.half_l, litres, LimitedBy.ONE_SIDE, coarse=mix.coarse)


def bare(pot: Pot, mix: Mix) -> BareDose:
    """Both ends of what a pot may need, when only its size is known."""
    return BareDose(dose(pot, mix, deep=1.0), dose(pot, mix))


def rinse_l(pot: Pot) -> float | None:
    """Litres that rinse salts out; None without a hole: never rinse there, repot instead."""
    return _RINSE_POTS * pot.filled_l if pot.hole else None


def mean_reading(middle: float | None, deep: float | None) -> float | None:
    """Mean of middle and deep, or the one there is."""
    values = [value for value in (middle, deep) if value is not None]
    return sum(values) / len(values) if values else None


def refill_share(pot: Pot, mix: Mix) -> float | None:
    """Litres missing per litre of a pot dry right through; None where it is soaked."""
    return mix.fill_share_deep if pot.fill_depth_m > _DEEP_FILL_M else mix.fill_share


def _level(pot: Pot, mix: Mix, drinker: Drinker) -> Dose | None:
    half = pot.half_l
    if mix.id == "water" or drinker.method is Method.IN_WATER:
        return Dose(DoseKind.FILL, half, vessel=Vessel.GLASS, fill_share=1.0)
    if mix.id == "clay-pebbles":
        level = _PEBBLES_SHARE * pot.depth_m
        return Dose(DoseKind.FILL, half, vessel=Vessel.PEBBLES, level_m=level)
    if drinker.habit is Habit.STAND_WET:
        return Dose(DoseKind.FILL, half, vessel=Vessel.TRAY, level_m=_TRAY_M)
    if _drinks_from_reservoir(pot, drinker):
        share = _RESERVOIR[drinker.light]
        return Dose(DoseKind.FILL, half, vessel=Vessel.RESERVOIR, fill_share=share)
    return None


def _drinks_from_reservoir(pot: Pot, drinker: Drinker) -> bool:
    """A reservoir is never for dry-through plants, nor used in the weeks after a repot."""
    unfit = drinker.habit in (Habit.DRY_THROUGH, Habit.SOAK)
    return pot.self_watering and not unfit and not drinker.from_top


def _soaked(mix: Mix, drinker: Drinker) -> bool:
    by_plant = drinker.habit is Habit.SOAK or drinker.method in (Method.BARK, Method.NO_SOIL)
    return by_plant or mix.fill_share is None


def _missing(
    pot: Pot, mix: Mix, reading: float | None, own: OwnIntake | None
) -> tuple[float | None, LimitedBy]:
    """Litres missing, None where only time can tell, and what told it."""
    due = _HALF_DRY if reading is None else dryness(reading)
    if own is not None:
        return own.full_l * due, LimitedBy.OWN_INTAKE
    share = refill_share(pot, mix)
    missing = None if share is None else share * pot.filled_l * due
    return missing, LimitedBy.MISSING


def _most_without_hole(pot: Pot, mix: Mix) -> float:
    if pot.hole:
        return pot.half_l
    return pot.filled_l * (_NO_HOLE_COARSE if mix.coarse else _NO_HOLE)


def _litres(pot: Pot, mix: Mix, missing: float | None, why: LimitedBy) -> Dose:
    if missing is not None and missing <= 0:
        return Dose(DoseKind.NONE, pot.half_l, coarse=mix.coarse)
    most = _most_without_hole(pot, mix)
    wanted = most if missing is None else missing * _of_missing(pot)
    litres = min(most, wanted)
    capped = LimitedBy.HALF_POT if wanted >= most else why
    limit = capped if pot.hole else LimitedBy.NO_HOLE
    differs = pot.hole and pot.half_l - litres >= _DIFFERS * pot.half_l
    return Dose(DoseKind.LITRES, pot.half_l, litres, limit, differs, mix.coarse)


def _of_missing(pot: Pot) -> float:
    return 1 + _RUN_OFF_SHARE if pot.hole else _NO_HOLE_OF_MISSING
