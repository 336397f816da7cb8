"""The plants we know, as one checked whole: look one up by id, or find it by any name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from core.knowledge.faults import KnowledgeError
from core.knowledge.finder import Finder, names_of
from core.knowledge.matching import Ambiguous, Found, read_ambiguous
from core.knowledge.names import fold
from core.knowledge.speciesfile import GROUPS, read_species
from core.knowledge.types import (
    Danger,
    Habit,
    Light,
    LightClass,
    Species,
    Temperature,
    Toxicity,
)

UNKNOWN_ID = "unknown"

# Not importlib.resources, which costs a quarter of the first answer to import.
_HERE = Path(__file__).parent


class Library:
    """All species and the names that must be asked about.

    Raises KnowledgeError when an id or a name is given twice, or a question offers a
    plant that isn't there.
    """

    def __init__(self, species: Iterable[Species], asks: Iterable[Ambiguous]) -> None:
        questions = tuple(asks)
        self._species = MappingProxyType(_by_id(species))
        _check_questions(questions, self._species)
        _check_names(self._species, {fold(name) for one in questions for name in one.names})
        self._finder = Finder(self._species, questions)

    def __iter__(self) -> Iterator[Species]:
        return iter(self._species.values())

    def __len__(self) -> int:
        return len(self._species)

    def __contains__(self, id_: object) -> bool:
        return id_ in self._species

    def get(self, id_: str) -> Species:
        """The species with this id; "unknown" is the careful default. Raises KeyError."""
        return careful_default() if id_ == UNKNOWN_ID else self._species[id_]

    def find(self, text: str) -> Found:
        """What plant a person means by `text`: Match, Ask, or Unknown with what looks near."""
        return self._finder.find(text)


def _by_id(species: Iterable[Species]) -> dict[str, Species]:
    found: dict[str, Species] = {}
    for one in species:
        if one.id == UNKNOWN_ID or found.setdefault(one.id, one) is not one:
            raise KnowledgeError(f"species.toml: {one.id}: id: taken")
    return found


def _check_names(species: Mapping[str, Species], asked: set[str]) -> None:
    """No name means two plants, unless it is one of those that are always asked about."""
    holders: dict[str, str] = {}
    for one in species.values():
        for name in names_of(one):
            key = fold(name)
            holder = holders.setdefault(key, one.id)
            if holder != one.id and key not in asked:
                raise KnowledgeError(
                    f"species.toml: {one.id}: names: {name!r} is taken by {holder}"
                )


def _check_questions(asks: Iterable[Ambiguous], species: Mapping[str, Species]) -> None:
    taken: dict[str, str] = {}
    for one in asks:
        for choice in one.ask.choices:
            if choice.species_id not in species:
                raise KnowledgeError(
                    f"ambiguous.toml: {one.ask.name}: choices: no species {choice.species_id!r}"
                )
        for name in one.names:
            if taken.setdefault(fold(name), one.ask.name) != one.ask.name:
                raise KnowledgeError(f"ambiguous.toml: {one.ask.name}: {name!r} is asked twice")


@cache
def careful_default() -> Species:
    """What is assumed of a plant nobody could name, on the side that does least harm.

    Half-dry, because most potted plants die of wet roots and the thirsty ones show it and
    come back; medium light, which hurts neither a fern nor a succulent within weeks; warned
    of cold at 12.8 °C (55 °F), where the tenderest foliage plants begin to suffer; watered
    with the crown kept dry; for pets and people "unknown", which is never "safe".
    Common practice, no source.
    """
    return Species(
        id=UNKNOWN_ID,
        name="unknown plant",
        family="",
        habit=Habit.HALF_DRY,
        light=Light(LightClass.MEDIUM, 75.0, (200.0, 500.0)),
        temperature=Temperature((18.3, 26.7), 15.6, 12.8),
        toxicity=Toxicity(Danger.UNKNOWN),
        sources=MappingProxyType(dict.fromkeys(GROUPS, "CP")),
        crown_dry=True,
    )


@cache
def library() -> Library:
    """The plants that come with the program, read and checked once."""
    species = read_species(_HERE.joinpath("species.toml").read_text("utf-8"))
    asks = read_ambiguous(_HERE.joinpath("ambiguous.toml").read_text("utf-8"))
    return Library(species, asks)
