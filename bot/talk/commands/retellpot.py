"""The pot told or corrected: its size, hole, outer pot, reservoir and weights."""

from __future__ import annotations

from bot.talk import say
from bot.talk.commands.retell import describe
from bot.talk.grammar.pots import read_pot
from bot.talk.grammar.quantities import Refusal, read_weight
from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.care.pots import PotUnclearError, resolve
from core.care.potsaid import DepthWord
from core.care.potshape import Assumed, Pot
from core.journal.events import Described
from core.journal.plants import Plant
from core.journal.portrait import portrait


def pot(turn: Turn, plant: Plant, said: str) -> Reply:
    """Its pot, or only how deep that is."""
    depth = next((word for word in DepthWord if word.value in said.casefold().split()), None)
    if depth is not None and len(said.split()) <= 2 and plant.state.pot is not None:
        return _pot_told(turn, describe(turn, plant, Described(depth=depth.value)))
    found = read_pot(said, turn.settings.units)
    if isinstance(found, Refusal):
        return answer(turn.words.refusal(found.key, found.args))
    try:
        resolve(found)
    except PotUnclearError:
        return answer(turn.words("add-pot-unclear", said=said[:40]))
    return _pot_told(turn, describe(turn, plant, Described(pot=found, depth="")))


def _pot_told(turn: Turn, plant: Plant) -> Reply:
    seen = portrait(plant.state, turn.home)
    return answer(
        turn.words(
            "plant-pot-told",
            name=plant.name,
            depth=say.length(seen.pot.depth_m, turn.settings.units),
            wide=_width(turn, seen.pot),
            volume=say.volume(turn.words, seen.pot.filled_l, turn.settings.units),
        ),
        turn.words("plant-pot-round") if Assumed.ROUND in seen.pot.assumed else "",
        turn.words(
            "plant-pot-half", amount=say.litres(turn.words, seen.pot.half_l, turn.settings.units)
        ),
    )


def _width(turn: Turn, pot_: Pot) -> str:
    """`20 cm`, or `30 x 20 cm` for a box."""
    units = turn.settings.units
    across = say.length(pot_.nominal_m or pot_.across_m, units)
    if abs(pot_.top_m - pot_.across_m) < 0.005:
        return across
    return f"{say.length(pot_.top_m, units).split()[0]} x {across}"


def _yes(said: str) -> bool | None:
    word = said.casefold().strip(" .!")
    if word in ("", "yes", "y", "one", "it has", "true"):
        return True
    return False if word in ("no", "n", "none", "not", "without", "false") else None


def _switch(turn: Turn, plant: Plant, said: str, what: str) -> Reply:
    value = _yes(said)
    if value is None:
        return answer(turn.words("plant-yes-or-no", call=plant.call, what=what))
    told = {
        "hole": Described(hole=value),
        "outer": Described(outer=value),
        "reservoir": Described(self_watering=value),
    }[what]
    describe(turn, plant, told)
    return answer(turn.words(f"plant-{what}-{'yes' if value else 'no'}", name=plant.name))


def hole(turn: Turn, plant: Plant, said: str) -> Reply:
    """Whether the pot has a hole."""
    return _switch(turn, plant, said, "hole")


def outer(turn: Turn, plant: Plant, said: str) -> Reply:
    """Whether it stands in an outer pot."""
    return _switch(turn, plant, said, "outer")


def reservoir(turn: Turn, plant: Plant, said: str) -> Reply:
    """Whether it waters itself from a reservoir."""
    return _switch(turn, plant, said, "reservoir")


def _weigh(turn: Turn, plant: Plant, said: str, which: str) -> Reply:
    found = read_weight(said)
    if isinstance(found, Refusal):
        return answer(turn.words.refusal(found.key, found.args))
    state = plant.state
    wet = found.kg if which == "wet" else state.wet_kg
    dry = found.kg if which == "dry" else state.dry_kg
    if wet is not None and dry is not None and wet <= dry:
        return answer(turn.words("plant-weights-crossed"))
    told = Described(wet_kg=found.kg) if which == "wet" else Described(dry_kg=found.kg)
    describe(turn, plant, told)
    shown = say.weight(found.kg, turn.settings.units)
    return answer(turn.words(f"plant-weight-{which}", name=plant.name, weight=shown))


def wet(turn: Turn, plant: Plant, said: str) -> Reply:
    """Its weight just after run-off stopped."""
    return _weigh(turn, plant, said, "wet")


def dry(turn: Turn, plant: Plant, said: str) -> Reply:
    """Its weight when it was ready for water."""
    return _weigh(turn, plant, said, "dry")
