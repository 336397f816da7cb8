"""How much, in words: the amount, why not half the pot, how to give it."""

from __future__ import annotations

from bot.talk import say
from bot.talk.pourwords import in_halves
from bot.talk.turn import Turn
from core.care.dose import Dose, DoseKind, LimitedBy
from core.care.potshape import Pot
from core.care.pourplan import Plan, Way, drinks_badly, plan
from core.journal.portrait import Portrait
from core.knowledge.types import Mix, WaterNeed

_SHARES = {1.0: "1", 0.5: "half", 0.25: "quarter"}


def dose_line(turn: Turn, dose: Dose, seen: Portrait) -> str:
    """The amount for a plant as it stands, with the water it needs."""
    dry = drinks_badly(seen.mix, seen.middle, seen.deep)
    line = dose_words(turn, dose, seen.pot, seen.mix, bone_dry=dry)
    if seen.species.water is WaterNeed.RAIN:
        return f"{line} {turn.words('dose-rain')}"
    return line


def dose_words(turn: Turn, dose: Dose, pot: Pot, mix: Mix, *, bone_dry: bool = False) -> str:
    """One line: `About 400 ml (about 1½ cups), in two halves.` and what it is."""
    words, units = turn.words, turn.settings.units
    if dose.kind is DoseKind.LITRES and dose.litres is not None:
        how = _how(turn, plan(pot, mix, dose, bone_dry=bone_dry), dose.litres)
        return f"{how} {_why(turn, dose)}".strip()
    if dose.kind is DoseKind.SOAK and dose.soak_for is not None:
        minutes = round(dose.soak_for.total_seconds() / 60)
        return words("dose-soak", minutes=minutes)
    if dose.kind is DoseKind.FILL and dose.vessel is not None:
        return words(
            f"dose-fill-{dose.vessel.value}",
            share=words(f"pour-share-{_SHARES.get(dose.fill_share or 1.0, 'half')}"),
            depth=say.length(dose.level_m, units) if dose.level_m else "",
        )
    return words("dose-cup" if dose.kind is DoseKind.CUP else "dose-none")


def _how(turn: Turn, laid: Plan, litres: float) -> str:
    """The amount and in how many portions it will be given."""
    words, units = turn.words, turn.settings.units
    pieces = len(laid.portions_l)
    key = {
        Way.TOP: "halves" if in_halves(laid) else "many",
        Way.PORTIONS: "portions",
        Way.NO_HOLE: "one-go",
        Way.DRY_SIDE: "dry-side",
    }.get(laid.way, "plain")
    most = say.short(words, max(laid.portions_l, default=0.0), units)
    return words(f"dose-{key}", amount=say.litres(words, litres, units), n=pieces, most=most)


def _why(turn: Turn, dose: Dose) -> str:
    """What decided the amount, where it isn't plainly half the pot."""
    half = say.short(turn.words, dose.half_pot_l, turn.settings.units)
    if dose.limited_by is LimitedBy.NO_HOLE:
        return turn.words("dose-why-no-hole")
    if dose.limited_by is LimitedBy.ONE_SIDE:
        return ""
    if dose.coarse:
        return turn.words("dose-why-coarse")
    if dose.limited_by is LimitedBy.OWN_INTAKE:
        return turn.words("dose-why-own", half=half)
    if dose.limited_by is LimitedBy.WEIGHT:
        return turn.words("dose-why-weight")
    return turn.words("dose-why-missing", half=half) if dose.differs else ""
