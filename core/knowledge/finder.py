"""Finds the plant a person means by a name, and knows when to ask instead of guessing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

from core.knowledge.matching import Ambiguous, Ask, Choice, Found, Match, Unknown
from core.knowledge.misspelt import SHORT, Misspelling, Sure, look_alikes, misspelt
from core.knowledge.names import fold, forms, in_order, squeezed
from core.knowledge.types import Species

_NEAREST = 3
_FEW = 6  # plants a single word may stand for before it says too little ("plant", "golden")


def names_of(species: Species) -> tuple[str, ...]:
    """Every name a species goes by, the accepted one first."""
    return (species.name, *species.common, *species.synonyms)


def label_of(species: Species) -> str:
    """A species in a list of choices: common name, then the botanical one."""
    return f"{species.common[0]} ({species.name})" if species.common else species.name


def ask_between(name: str, plants: Iterable[Species]) -> Ask:
    """The question which of these plants was meant by `name`."""
    return Ask(name, tuple(Choice(label_of(one), one.id) for one in plants))


class Finder:
    """An index of all names; building it is cheap, misspelt names load their library late."""

    def __init__(self, species: Mapping[str, Species], asks: Iterable[Ambiguous]) -> None:
        self._species = species
        self._sure: dict[str, Sure] = {}
        for one in asks:
            self._enter(one.names, one.ask)
        for plant in species.values():
            for name in names_of(plant):
                self._enter((name,), Match(plant, name))
        for genus, plants in self._genera().items():
            self._enter((genus,), _genus(genus, plants))

    def _enter(self, names: Iterable[str], sure: Sure) -> None:
        # What is asked about comes first and stays: it is asked even where a name would fit.
        for name in names:
            self._sure.setdefault(fold(name), sure)

    def _genera(self) -> Mapping[str, dict[str, Species]]:
        genera: dict[str, dict[str, Species]] = defaultdict(dict)
        for plant in self._species.values():
            for name in (plant.name, *plant.synonyms):
                genus = name.removeprefix("x ").split()[0]
                genera[genus][plant.id] = plant
        return genera

    @cached_property
    def _loose(self) -> Mapping[str, Sure]:
        """The same names without spaces and with their words in any order."""
        loose: dict[str, Sure] = {}
        for key, sure in self._sure.items():
            loose.setdefault(squeezed(key), sure)
            loose.setdefault(in_order(key), sure)
        return loose

    def find(self, text: str) -> Found:
        """The plant meant by `text`, a question, or Unknown when nothing comes close."""
        keys = tuple(forms(text))
        for key in keys:
            if sure := self._exact(key):
                return sure
        return self._guess(text, keys) if keys else Unknown(text)

    def _exact(self, key: str) -> Sure | None:
        if sure := self._sure.get(key) or self._loose.get(key):
            return sure
        return self._loose.get(in_order(key)) or self._cultivar(key)

    def _cultivar(self, key: str) -> Sure | None:
        """A known botanical name with more behind it: a cultivar said without its quotes."""
        words = key.split()
        sure = self._sure.get(" ".join(words[:2])) if len(words) > 2 else None  # noqa: PLR2004
        botanical = isinstance(sure, Match) and sure.as_name not in sure.species.common
        return sure if botanical else None

    def _guess(self, text: str, keys: tuple[str, ...]) -> Found:
        """A misspelt name if it is clearly one; a part that is a name; else what looks near."""
        near = [misspelt(key, self._sure) for key in keys]
        for hits in near:
            if len(hits) == 1 and hits[0].clear:
                return hits[0].sure
        for key in keys:
            if sure := self._whole_words(key) or self._part(key):
                return _as_question(sure)
        for hits in near:
            if hits:
                return _between(text, hits)
        return Unknown(text, self._nearest(keys[0]))

    @cached_property
    def _by_word(self) -> Mapping[str, set[str]]:
        """The names that hold a word, by that word."""
        holders: dict[str, set[str]] = defaultdict(set)
        for name in self._sure:
            for word in name.split():
                holders[word].add(name)
        return holders

    def _whole_words(self, key: str) -> Sure | None:
        """The plants with all these words in one of their names: "maidenhair", "flytrap"."""
        holders = (self._by_word.get(word, set()) for word in key.split())
        found_in = set.intersection(*holders)
        names = sorted(found_in, key=lambda name: (not name.startswith(key), len(name)))
        found = [sure for name in names if isinstance(sure := self._sure[name], Match)]
        plants = {sure.species.id: sure.species for sure in found}
        return ask_between(key, plants.values()) if 0 < len(plants) <= _FEW else None

    def _part(self, key: str) -> Sure | None:
        """The longest known name the words end with, or begin with: "variegated rubber plant"."""
        words = key.split()
        for count in range(len(words) - 1, 0, -1):
            for part in (words[-count:], words[:count]):
                name = " ".join(part)
                if len(name) >= SHORT and (sure := self._sure.get(name)):
                    return sure
        return None

    def _nearest(self, key: str) -> tuple[Species, ...]:
        plants: dict[str, Species] = {}
        for sure in look_alikes(key, self._sure):
            if isinstance(sure, Match):
                plants.setdefault(sure.species.id, sure.species)
        return tuple(plants.values())[:_NEAREST]


def _genus(genus: str, plants: Mapping[str, Species]) -> Sure:
    only = tuple(plants.values())
    return Match(only[0], genus) if len(only) == 1 else ask_between(genus, only)


def _as_question(sure: Sure) -> Ask:
    """A name that only part of the text gave is put to the person, however clear it is."""
    return sure if isinstance(sure, Ask) else ask_between(sure.as_name, (sure.species,))


def _between(text: str, hits: Sequence[Misspelling]) -> Ask:
    """One question out of several near names; a caution of any of them is kept."""
    asks = [_as_question(hit.sure) for hit in hits]
    choices = {choice.species_id: choice for ask in asks for choice in ask.choices}
    caution = next((ask.caution for ask in asks if ask.caution), "")
    return Ask(asks[0].name if len(asks) == 1 else text, tuple(choices.values()), caution)
