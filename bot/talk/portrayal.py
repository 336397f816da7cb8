"""What a plant is and wants, in a sentence or two."""

from __future__ import annotations

import re
from collections.abc import Iterable

from bot.talk import say
from bot.talk.turn import Turn
from core.care.levels import kept_by_level
from core.care.potshape import Assumed, Pot
from core.care.units import System
from core.journal.events import Spot
from core.journal.plants import Plant
from core.journal.portrait import Portrait, portrait
from core.journal.state import PlantState
from core.knowledge.library import UNKNOWN_ID
from core.knowledge.mixes import mixes
from core.knowledge.types import Danger, Method, Species

LONGEST_POT = 40
MOST_NAMES = 6
_POISONOUS = frozenset({Danger.TOXIC, Danger.SEVERE, Danger.IRRITANT})
_POT = re.compile(r"pot|#|planter|bowl|box|basket|tub|trough|container|bag|\bpan\b", re.IGNORECASE)


def looked_at(seen: Portrait) -> str:
    """How this plant is asked after: by a probe, its roots, its leaves or its water."""
    if kept_by_level(seen.situation, seen.situation.habit):
        return "level"
    return "roots" if seen.unmeasured else "probe"


_IN_CM = re.compile(r"\d\s*(?:cm|mm)\b", re.IGNORECASE)
_IN_INCHES = re.compile(r"\d\s*(?:in\b|inch|\"|\u2033)", re.IGNORECASE)


def about(
    turn: Turn, state: PlantState, species: Species, pot: Pot | None, *, taken: bool = False
) -> str:
    """`Boston fern (Nephrolepis exaltata), 15 cm pot, bathroom, north window`.

    With `taken` also what had to be taken for granted about the pot.
    """
    parts = [kind(turn, state, species)]
    if pot is not None and state.pot is not None:
        assumed = assumption(turn, pot, state.pot.said) if taken else ""
        said = [pot_words(turn, state, pot), assumed]
        parts.append(" ".join(part for part in said if part))
    if state.mix in mixes():
        parts.append(mixes()[state.mix].names[0])
    parts.extend(part for part in (state.spot.room, window(turn, state.spot)) if part)
    return ", ".join(parts)


def kind(turn: Turn, state: PlantState, species: Species) -> str:
    """The species by the name people use, with the scientific one."""
    if species.id == UNKNOWN_ID:
        return turn.words("plant-kind-unknown", said=state.species_said or "none")
    common = species.common[0] if species.common else species.name
    if common.casefold() == species.name.casefold():
        return species.name
    return turn.words("plant-kind", common=common[:1].upper() + common[1:], name=species.name)


def pot_words(turn: Turn, state: PlantState, pot: Pot) -> str:
    """The pot as it was said, where that says its size; else its width."""
    said = state.pot.said if state.pot else ""
    if said and len(said) <= LONGEST_POT:
        return size_words(turn, said)
    return turn.words("plant-pot", size=say.length(pot.top_m, turn.settings.units))


def size_words(turn: Turn, said: str) -> str:
    """`15 cm` said of a pot is a `15 cm pot`."""
    named = _POT.search(said)
    return said if named else turn.words("plant-pot", size=said)


def window(turn: Turn, spot: Spot) -> str:
    """`north window`, `2 m from the east window`, `low light`."""
    if spot.facing:
        facing = turn.words(f"spot-facing-{spot.facing.casefold()}")
        if spot.distance_m is not None and spot.distance_m > 0.35:
            distance = say.distance(spot.distance_m, turn.settings.units)
            return turn.words("spot-window-from", facing=facing, distance=distance)
        return turn.words("spot-window", facing=facing)
    return turn.words(f"spot-light-{spot.light}") if spot.light else ""


def wants(turn: Turn, species: Species, call: str) -> str:
    """When this plant wants water, in one sentence; `call` is its name as it is typed."""
    if species.id == UNKNOWN_ID:
        return turn.words("plant-wants-unknown", call=call)
    if species.method is Method.NO_SOIL:
        return turn.words("plant-wants-no-soil")
    return turn.words(f"plant-wants-{species.habit.value}")


def assumption(turn: Turn, pot: Pot, said: str) -> str:
    """What had to be taken for granted about the pot, in the unit that it was told in."""
    if Assumed.DEPTH in pot.assumed:
        units = System.METRIC if _IN_CM.search(said) else turn.settings.units
        units = System.US if _IN_INCHES.search(said) else units
        depth = say.length(pot.depth_m, units)
        return turn.words("plant-assumed-depth", depth=depth)
    if Assumed.ROUND in pot.assumed:
        return turn.words("plant-assumed-round")
    return ""


def danger(turn: Turn, species: Species) -> str:
    """Poison, at once and with whom to ask; silence is never "safe"."""
    toxicity = species.toxicity
    harm = toxicity.harm or toxicity.principle
    if toxicity.emergency:
        return turn.words("plant-danger-emergency", whom=toxicity.emergency, harm=harm)
    if toxicity.pets in _POISONOUS:
        harm = harm or turn.words("plant-danger-harm-unsaid")
        return turn.words(f"plant-danger-{toxicity.pets.value}", harm=harm)
    key = f"plant-danger-{toxicity.pets.value.replace('_', '-')}"
    return turn.words(key, harm=toxicity.harm or "none")


def dangers(turn: Turn, known: Iterable[Plant]) -> list[str]:
    """Which of some plants are poisonous, the worst first; no line where none is."""
    names, worst = [], []
    for one in known:
        toxicity = portrait(one.state, turn.home).species.toxicity
        if toxicity.emergency:
            worst.append(turn.words("handover-emergency", name=one.name, whom=toxicity.emergency))
        elif toxicity.pets in _POISONOUS:
            names.append(one.name)
    lines = []
    if worst:
        lines.append(turn.words("handover-emergencies", names="; ".join(worst[:MOST_NAMES])))
    if names:
        shown = say.some(turn.words, names, MOST_NAMES)
        lines.append(turn.words("handover-poisonous", names=shown))
    return lines
