"""/dose: how much water, for a plant as it read last or for a bare pot."""

from __future__ import annotations

from dataclasses import replace

from bot.talk import dosewords, portrayal, say
from bot.talk.answers import ANY_POT
from bot.talk.entries import found_words
from bot.talk.grammar.pots import read_pot
from bot.talk.grammar.quantities import Refusal
from bot.talk.grammar.readings import read_found
from bot.talk.message import Option, Reply
from bot.talk.naming import Spoken, split_plant
from bot.talk.turn import Turn, answer
from bot.talk.verdictwords import reason_words
from core.actions import checking
from core.care.dose import DoseKind, bare
from core.care.pots import Assumed, PotUnclearError, resolve
from core.care.potweight import is_heavy
from core.care.reading import Found, Layer
from core.journal.plants import Plant
from core.journal.portrait import Portrait, of_layer, portrait, with_weight
from core.knowledge.mixes import default_mix
from core.knowledge.types import WaterNeed


def dose(turn: Turn, rest: str) -> Reply:
    """How much a plant needs by its last reading, or a bare pot by its size."""
    if not rest:
        return answer(turn.words("dose-how"))
    found = split_plant(turn, rest, lambda name, more: f"/dose {name} {more}".strip())
    if isinstance(found, Spoken):
        return _of_plant(turn, found)
    said = read_pot(rest, turn.settings.units)
    if not isinstance(said, Refusal):
        return _bare_dose(turn, rest)
    if any(char.isdigit() for char in rest):
        return answer(turn.words.refusal(said.key, said.args))
    return found


def _of_plant(turn: Turn, spoken: Spoken) -> Reply:
    plant, rest = spoken.plant, spoken.rest.strip("?. ")
    if plant.state.terrarium:
        return answer(turn.words("dose-closed", plant=plant.name))
    seen = portrait(plant.state, turn.home)
    if plant.state.pot is None and not seen.unmeasured:
        return no_pot(turn, plant)
    if not rest:
        return _plant_dose(turn, plant, seen)
    read = read_found(rest)
    if isinstance(read, Found):
        return _dose_at(turn, plant, seen, read)
    meant = f"{plant.call} 3"
    return answer(turn.words("dose-strange", said=rest[:30], plant=plant.name, meant=meant))


def no_pot(turn: Turn, plant: Plant) -> Reply:
    """The pot isn't known: say what is missing, and take the next answer for it."""
    hidden = Option(ANY_POT, f"/plant {plant.call} pot {{text}}")
    return answer(turn.words("dose-no-pot", plant=plant.name, call=plant.call), buttons=(hidden,))


def _plant_dose(turn: Turn, plant: Plant, seen: Portrait) -> Reply:
    """By its last check; where that says no water, none."""
    probed, judged = plant.state.probed, plant.state.judged
    fresh = seen.deep is not None or seen.middle is not None
    if judged is not None and not checking.asks_for_water(judged.decision) and probed is not None:
        why = reason_words(turn, judged, plant.name)
        return answer(turn.words("dose-not-now", plant=plant.name, why=why), _half(turn, seen))
    if not fresh and not seen.unmeasured:
        return _guess(turn, plant, seen)
    given = checking.dose_now(seen, dry_side=checking.wants_dry_side(plant.state))
    shown = found_words(turn, probed.found) if probed is not None and fresh else "none"
    line = dosewords.dose_line(turn, given, seen)
    return answer(
        turn.words("dose-of", plant=plant.name, dose=_small(line)),
        turn.words("dose-by", found=shown) if shown != "none" else "",
        _manner(turn, seen),
    )


def _dose_at(turn: Turn, plant: Plant, seen: Portrait, found: Found) -> Reply:
    """What it would need at a reading that was only asked about."""
    readings = with_weight(found, seen.ends).readings
    as_if = replace(
        seen,
        middle=of_layer(readings, Layer.MIDDLE),
        deep=of_layer(readings, Layer.DEEP),
        missing_l=None,
    )
    line = dosewords.dose_line(turn, checking.dose_now(as_if), as_if)
    said = found_words(turn, found)
    return answer(
        turn.words("dose-if", plant=plant.name, found=said, dose=_small(line)), _manner(turn, seen)
    )


def _guess(turn: Turn, plant: Plant, seen: Portrait) -> Reply:
    """No fresh reading: half dry and dry right through, and that the reading decides."""
    half_dry = checking.dose_now(seen)
    dry = checking.dose_now(replace(seen, deep=1.0))
    if half_dry.kind is not DoseKind.LITRES or not half_dry.litres or not dry.litres:
        line = dosewords.dose_line(turn, half_dry, seen)
        return answer(turn.words("dose-of", plant=plant.name, dose=_small(line)))
    words, units = turn.words, turn.settings.units
    return answer(
        words(
            "dose-guessed",
            plant=plant.name,
            amount=say.litres(words, half_dry.litres, units),
            dry=say.short(words, dry.litres, units),
        ),
        words("dose-probe-first", call=plant.call),
        _manner(turn, seen),
    )


def _half(turn: Turn, seen: Portrait) -> str:
    if seen.unmeasured:
        return ""
    dry = checking.dose_now(replace(seen, middle=None, deep=1.0))
    if not dry.litres:
        return ""
    amount = say.litres(turn.words, dry.litres, turn.settings.units)
    return turn.words("dose-when-dry", amount=amount)


def _manner(turn: Turn, seen: Portrait) -> str:
    """Once the heavy pot, else the water it wants."""
    if is_heavy(seen.pot, seen.mix) and not seen.unmeasured:
        return turn.words("dose-heavy")
    low_salt = seen.species.water is WaterNeed.LOW_SALT
    return turn.words("dose-low-salt" if low_salt else "dose-temperature")


def _small(line: str) -> str:
    return line[:1].lower() + line[1:]


# --- a pot without a plant ----------------------------------------------------------------


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
        words(
            "dose-bare",
            size=portrayal.size_words(turn, said.said),
            amount=say.litres(words, both.half_pot.litres or 0.0, units),
            less=say.short(words, both.half_dry.litres or 0.0, units),
        ),
        words("dose-bare-volume", volume=say.volume(words, pot.filled_l, units)),
        words("dose-bare-depth", depth=depth) if Assumed.DEPTH in pot.assumed else "",
        words("dose-heavy") if is_heavy(pot) else "",
    )
