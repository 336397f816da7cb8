"""What comes of looking for a plant by name: the plant, a question, or nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from core.knowledge.faults import KnowledgeError, parsed
from core.knowledge.types import Species

FIRST = 4  # choices a person is shown at once


@dataclass(frozen=True, slots=True)
class Choice:
    """One of the plants a name may mean, with the words that tell it from the others."""

    label: str
    species_id: str

    @property
    def short(self) -> str:
        """The label up to its colon or bracket: a name short enough for a button."""
        return self.label.partition(":")[0].partition(" (")[0]


@dataclass(frozen=True, slots=True)
class Match:
    """The plant is certain; `as_name` is the name of ours that the text was taken for."""

    species: Species
    as_name: str


@dataclass(frozen=True, slots=True)
class Ask:
    """The name must be asked about; `caution` says why it matters, where lives hang on it."""

    name: str
    choices: tuple[Choice, ...]
    caution: str = ""

    @property
    def first(self) -> tuple[Choice, ...]:
        """At most four choices to show at once, the likeliest first."""
        return self.choices[:FIRST]

    @property
    def rest(self) -> tuple[Choice, ...]:
        """The choices after the first four."""
        return self.choices[FIRST:]


@dataclass(frozen=True, slots=True)
class Unknown:
    """No plant of ours; `nearest` are at most three whose names look a little like it."""

    text: str
    nearest: tuple[Species, ...] = ()


Found: TypeAlias = Match | Ask | Unknown


@dataclass(frozen=True, slots=True)
class Ambiguous:
    """A name that is asked about whenever it is said, under any of its spellings."""

    names: tuple[str, ...]
    ask: Ask


def _ambiguous(name: str, row: Mapping[str, Any], file: str) -> Ambiguous:
    if strange := row.keys() - {"also", "caution", "choices"}:
        raise KnowledgeError(f"{file}: {name}: {', '.join(sorted(strange))}: no such field")
    choices = tuple(Choice(label, id_) for id_, label in row.get("choices", {}).items())
    if len(choices) < 2:  # noqa: PLR2004
        raise KnowledgeError(f"{file}: {name}: choices: a question needs two answers or more")
    return Ambiguous((name, *row.get("also", ())), Ask(name, choices, row.get("caution", "")))


def read_ambiguous(text: str, file: str = "ambiguous.toml") -> tuple[Ambiguous, ...]:
    """The names that must be asked about, from `[ask."<name>"]` tables; KnowledgeError."""
    tables = parsed(text, file).get("ask", {})
    return tuple(_ambiguous(name, row, file) for name, row in tables.items())
