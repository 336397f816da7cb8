"""/poison: what the lists say of a plant, of a kind, or of all plants here."""

from __future__ import annotations

from bot.talk import portrayal, say
from bot.talk.message import Option, Reply
from bot.talk.naming import exact, split_plant
from bot.talk.turn import Turn, answer
from core.journal import plants
from core.journal.plants import Plant
from core.journal.portrait import portrait
from core.knowledge.library import UNKNOWN_ID, library
from core.knowledge.matching import Ask, Match
from core.knowledge.types import Danger, Species

MOST_NAMES = 6
MOST_CHOICES = 4
_UNSURE = frozenset({Danger.UNKNOWN, Danger.CONFLICTING})


def poison(turn: Turn, rest: str) -> Reply:
    """One plant by its name, a kind by its name, or all that are dangerous."""
    said = rest.strip(" ?.!")
    if not said:
        return _all(turn)
    named = exact(turn, said)
    if named is not None:
        return _of_plant(turn, named.plant)
    kind = library().find(said)
    if isinstance(kind, Match):
        return answer(_of_kind(turn, kind.species))
    if isinstance(kind, Ask):
        return _which(turn, kind)
    found = split_plant(turn, said, lambda name, _rest: f"/poison {name}") if turn.names() else None
    if found is not None and not isinstance(found, Reply):
        return _of_plant(turn, found.plant)
    return answer(turn.words("poison-unknown", said=said[:40]))


def _of_plant(turn: Turn, plant: Plant) -> Reply:
    species = portrait(plant.state, turn.home).species
    if species.id == UNKNOWN_ID:
        return answer(turn.words("poison-no-kind", plant=plant.name, call=plant.call))
    return answer(f"{plant.name}: {_of_kind(turn, species)}")


def _of_kind(turn: Turn, species: Species) -> str:
    """With the substance, which a vet may want to know."""
    common = species.common[0] if species.common else species.name
    said = turn.words(
        "poison-of",
        common=common[:1].upper() + common[1:],
        name=species.name,
        danger=portrayal.danger(turn, species),
    )
    told = species.toxicity
    substance = turn.words("poison-substance", what=told.principle) if told.principle else ""
    return f"{said} {substance if told.harm else ''}".strip()


def _which(turn: Turn, kind: Ask) -> Reply:
    buttons = tuple(
        Option(choice.short[:1].upper() + choice.short[1:40], f"/poison {choice.short}")
        for choice in kind.first[:MOST_CHOICES]
    )
    return answer(turn.words("add-which", kind=kind.name), kind.caution, buttons=buttons)


def _all(turn: Turn) -> Reply:
    known = plants.living(turn.tx, turn.who.household_id)
    if not known:
        return answer(turn.words("name-no-plants"))
    unsure = [one.name for one in known if _toxicity(turn, one) in _UNSURE]
    shown = say.some(turn.words, unsure, MOST_NAMES)
    return answer(
        *portrayal.dangers(turn, known),
        turn.words("poison-unsure", names=shown) if unsure else "",
        turn.words("handover-no-promise"),
    )


def _toxicity(turn: Turn, plant: Plant) -> Danger:
    return portrait(plant.state, turn.home).species.toxicity.pets
