"""Reads the table of species into records, refusing what no plant can be.

An error names the file, the species and the field, so that whoever adds a plant finds it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from core.knowledge.faults import KnowledgeError, parsed
from core.knowledge.speciesfields import FIELDS
from core.knowledge.types import Habit, Species, WaitGroup, WaterTo

# The groups of values a species must carry a source mark for.
GROUPS = (
    "names", "habit", "wait", "light", "temperature", "growing", "water", "leaf", "toxicity",
)  # fmt: skip

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_WATERED = {Habit.STAND_WET: WaterTo.TRAY, Habit.SOAK: WaterTo.ALL_OVER}
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
        if key not in FIELDS:
            raise KnowledgeError(f"{self.file}: {id_}: {key}: no such field")
        name, read = FIELDS[key]
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
