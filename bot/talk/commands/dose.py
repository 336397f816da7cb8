"""/dose: how much water, for a plant as it read last or for a bare pot."""

from __future__ import annotations

from bot.talk import dosewords, say
from bot.talk.entries import found_words
from bot.talk.grammar.pots import read_pot
from bot.talk.grammar.quantities import Refusal
from bot.talk.message import Reply
from bot.talk.naming import Spoken, split_plant
from bot.talk.turn import Turn, answer
from core.actions import checking
from core.care.dose import bare
from core.care.pots import Assumed, PotUnclearError, resolve
from core.care.potweight import is_heavy
from core.journal.plants import Plant
from core.journal.portrait import portrait
from core.knowledge.mixes import default_mix
from core.knowledge.types import WaterNeed


def dose(turn: Turn, rest: str) -> Reply:
    """How much a plant needs by its last reading, or a bare pot by its size."""
    if not rest:
        return answer(turn.words("dose-how"))
    found = split_plant(turn, rest, lambda name, _more: f"/dose {name}")
    if isinstance(found, Spoken) and not found.rest.strip("?. "):
        return _plant_dose(turn, found.plant)
    said = read_pot(rest, turn.settings.units)
    if not isinstance(said, Refusal):
        return _bare_dose(turn, rest)
    if isinstance(found, Spoken) or any(char.isdigit() for char in rest):
        return answer(turn.words.refusal(said.key, said.args))
    return found


def _plant_dose(turn: Turn, plant: Plant) -> Reply:
    seen = portrait(plant.state, turn.home)
    if plant.state.pot is None and not seen.unmeasured:
        return answer(turn.words("dose-no-pot", plant=plant.name, call=plant.call))
    given = checking.dose_now(seen, dry_side=checking.wants_dry_side(plant.state))
    known = seen.deep is not None or seen.middle is not None or seen.unmeasured
    head = turn.words("dose-guessed", plant=plant.name)
    if known and plant.state.probed is not None:
        shown = found_words(turn, plant.state.probed.found)
        head = turn.words("dose-of", plant=plant.name, found=shown)
    elif seen.unmeasured:
        head = f"{plant.name}:"
    heavy = turn.words("dose-heavy") if is_heavy(seen.pot, seen.mix) else ""
    low_salt = seen.species.water is WaterNeed.LOW_SALT
    return answer(
        head,
        dosewords.dose_line(turn, given, seen),
        heavy,
        turn.words("dose-low-salt") if low_salt else turn.words("dose-temperature"),
    )


def _bare_dose(turn: Turn, text: str) -> Reply:
    said = read_pot(text, turn.settings.units)
    if isinstance(said, Refusal):
        return answer(turn.words.refusal(said.key, said.args))
    try:
        pot = resolve(said)
    except PotUnclearError:
        return answer(turn.words("add-pot-unclear", said=text[:40]))
    both = bare(pot, default_mix())
    words, units = turn.words, turn.settings.units
    depth = say.length(pot.depth_m, units)
    return answer(
        words("dose-bare", size=said.said, volume=say.millilitres(round(pot.filled_l, 2))),
        words(
            "dose-bare-half",
            amount=say.litres(words, both.half_pot.litres or 0.0, units),
            less=say.plain_litres(both.half_dry.litres or 0.0),
        ),
        words("dose-bare-coarse"),
        words("dose-bare-depth", depth=depth) if Assumed.DEPTH in pot.assumed else "",
        words("dose-heavy") if is_heavy(pot) else "",
    )
