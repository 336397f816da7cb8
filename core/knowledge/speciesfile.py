"""Reads the table of species into records, refusing what no plant can be.

An error names the file, the species and the field, so that whoever adds a plant finds it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Any, TypeVar

from core.knowledge.faults import KnowledgeError, parsed
from core.knowledge.months import months
from core.knowledge.types import (
    Danger,
    Habit,
    Leaf,
    Light,
    LightClass,
    Method,
    Species,
    Temperature,
    Toxicity,
    WaitGroup,
    WaterNeed,
    WaterTo,
)

# The groups of values a species must carry a source mark for.
GROUPS = (
    "names", "habit", "wait", "light", "temperature", "growing", "water", "leaf", "toxicity",
)  # fmt: skip

# Foot-candles that hold a plant of a class, and the range it grows well in. The first two
# classes: University of Georgia Extension B1318 (bright and sunny from memory).
CLASS_LIGHT = {
    LightClass.LOW: (25, (75, 200)),
    LightClass.MEDIUM: (75, (200, 500)),
    LightClass.BRIGHT: (150, (500, 1000)),
    LightClass.SUNNY: (500, (1000, 5000)),
}

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_WATERED = {Habit.STAND_WET: WaterTo.TRAY, Habit.SOAK: WaterTo.ALL_OVER}
_SALTS = frozenset({"fluoride", "salt", "lime"})
_Word = TypeVar("_Word", bound=StrEnum)


def words_for(kind: type[_Word]) -> Callable[[str], _Word]:
    """A reader of one word of a closed list."""

    def read(word: str) -> _Word:
        try:
            return kind(word)
        except ValueError:
            raise ValueError(f"{word!r} is not one of {', '.join(kind)}") from None

    return read


def _bool(value: object) -> bool:
    if not isinstance(value, bool):
        raise TypeError("is true or false")
    return value


def _text(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        raise ValueError("is a text that isn't empty")
    return value


def _names(value: list[object]) -> tuple[str, ...]:
    return tuple(map(_text, value))


def _light(value: Mapping[str, Any]) -> Light:
    light_class = words_for(LightClass)(value["class"])
    hold, good = CLASS_LIGHT[light_class]
    hold, (low, high) = value.get("hold_fc", hold), value.get("good_fc", good)
    if not 0 < hold <= low < high:
        raise ValueError(f"needs 0 < hold <= good from < good to, not {hold}, {low}, {high}")
    return Light(light_class, float(hold), (float(low), float(high)))


def _temperature(value: Mapping[str, Any]) -> Temperature:
    low, high = map(float, value["comfort_c"])
    slow, damage = float(value["slow_below_c"]), float(value["damage_below_c"])
    if not damage <= slow <= low < high:
        said = f"{damage}, {slow}, {low}, {high}"
        raise ValueError(f"needs damage <= slow <= comfort from < comfort to, not {said}")
    return Temperature((low, high), slow, damage)


def _toxicity(value: Mapping[str, str]) -> Toxicity:
    pets = words_for(Danger)(value["pets"])
    if value.get("emergency") and pets not in {Danger.TOXIC, Danger.SEVERE}:
        raise ValueError(f"an emergency can't be {pets}")
    return Toxicity(pets, value.get("principle", ""), value.get("emergency", ""))


def _sensitive(value: list[str]) -> frozenset[str]:
    if strange := set(value) - _SALTS:
        raise ValueError(f"{sorted(strange)} not among {sorted(_SALTS)}")
    return frozenset(value)


# What a species table may say: each field's place in the record and how it is read.
_FIELDS: Mapping[str, tuple[str, Callable[[Any], object]]] = {
    "name": ("name", _text),
    "family": ("family", _text),
    "common": ("common", _names),
    "synonyms": ("synonyms", _names),
    "name_status": ("name_status", _text),
    "habit": ("habit", words_for(Habit)),
    "winter_habit": ("winter_habit", words_for(Habit)),
    "method": ("method", words_for(Method)),
    "water_to": ("water_to", words_for(WaterTo)),
    "wait": ("wait", words_for(WaitGroup)),
    "stores_water": ("stores_water", _bool),
    "crown_dry": ("crown_dry", _bool),
    "still_in_bud": ("still_in_bud", _bool),
    "light": ("light", _light),
    "temperature": ("temperature", _temperature),
    "growing": ("growing_months", months),
    "dormant": ("dormant_months", months),
    "sensitive": ("sensitive", _sensitive),
    "water": ("water", words_for(WaterNeed)),
    "leaf": ("leaf", words_for(Leaf)),
    "toxicity": ("toxicity", _toxicity),
    "chill_note": ("chill_note", _text),
    "note": ("note", _text),
}
_NEEDED = ("name", "family", "habit", "light", "temperature", "toxicity", "sources")


def _sources(row: Mapping[str, Any], marks: Mapping[str, str]) -> Mapping[str, str]:
    """Each group's mark, spelled out; a mark is one or more known codes joined by "+"."""
    said: dict[str, str] = dict(row["sources"])
    rest = said.pop("rest", None)
    groups = (*GROUPS, "chill") if "chill_note" in row else GROUPS
    if strange := said.keys() - set(groups):
        raise ValueError(f"no such group of values: {', '.join(sorted(strange))}")
    full = {group: said.get(group) or rest or "" for group in groups}
    for group, mark in full.items():
        if not mark:
            raise ValueError(f"no mark for {group}")
        if unknown := set(mark.split("+")) - marks.keys():
            raise ValueError(f"{group} has a mark nobody explains: {', '.join(sorted(unknown))}")
    return MappingProxyType(full)


def _contradictions(species: Species) -> Iterator[tuple[str, str]]:
    """What no plant can be at once: the field to look at, and why."""
    if not _ID.fullmatch(species.id):
        yield "id", "an id is small letters, digits and hyphens"
    for habit, water_to in _WATERED.items():
        if species.habit is habit and species.water_to is not water_to:
            yield "water_to", f"a {habit} plant is watered {water_to}"
    if both := species.growing_months & species.dormant_months:
        yield "dormant", f"it can't grow and rest in the same months: {sorted(both)}"
    if species.wait is not WaitGroup.NONE and not species.stores_water:
        yield "wait", "only a plant that stores water can wait for it"


class _Reader:
    """Reads one file's tables, so that every complaint can say where it is."""

    def __init__(self, file: str, marks: Mapping[str, str]) -> None:
        self.file = file
        self.marks = marks

    def species(self, id_: str, row: Mapping[str, Any]) -> Species:
        for missing in (key for key in _NEEDED if key not in row):
            raise KnowledgeError(f"{self.file}: {id_}: {missing}: missing")
        fields = dict(self._field(id_, *item) for item in row.items() if item[0] != "sources")
        species = Species(id=id_, sources=self._marked(id_, row), **fields)
        for field, why in _contradictions(species):
            raise KnowledgeError(f"{self.file}: {id_}: {field}: {why}")
        return species

    def _field(self, id_: str, key: str, value: object) -> tuple[str, Any]:
        if key not in _FIELDS:
            raise KnowledgeError(f"{self.file}: {id_}: {key}: no such field")
        name, read = _FIELDS[key]
        try:
            return name, read(value)
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            raise KnowledgeError(f"{self.file}: {id_}: {key}: {error}") from error

    def _marked(self, id_: str, row: Mapping[str, Any]) -> Mapping[str, str]:
        try:
            return _sources(row, self.marks)
        except (TypeError, ValueError, AttributeError) as error:
            raise KnowledgeError(f"{self.file}: {id_}: sources: {error}") from error


def read_species(text: str, file: str = "species.toml") -> tuple[Species, ...]:
    """The species of a TOML text with the tables `[marks]` and `[species.<id>]`, in its order.

    Raises KnowledgeError for anything that can't be (an id given twice among it).
    """
    raw = parsed(text, file)
    reader = _Reader(file, raw.get("marks", {}))
    return tuple(reader.species(id_, row) for id_, row in raw.get("species", {}).items())
