"""How each field of a species table is read: one small reader per kind of value.

A reader gets what TOML made of the value and raises ValueError, KeyError or TypeError when it
can't be; whoever calls it knows the file and the plant and says so.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import StrEnum
from typing import Any, TypeVar

from core.knowledge.months import months
from core.knowledge.types import (
    Danger,
    Habit,
    Leaf,
    Light,
    LightClass,
    Method,
    Temperature,
    Toxicity,
    WaitGroup,
    WaterNeed,
    WaterTo,
)

# Foot-candles that hold a plant of a class, and the range it grows well in. The first two
# classes: University of Georgia Extension B1318 (bright and sunny from memory).
CLASS_LIGHT = {
    LightClass.LOW: (25, (75, 200)),
    LightClass.MEDIUM: (75, (200, 500)),
    LightClass.BRIGHT: (150, (500, 1000)),
    LightClass.SUNNY: (500, (1000, 5000)),
}

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
    told = {name: value.get(name, "") for name in ("principle", "harm", "emergency")}
    return Toxicity(pets, **told)


def _sensitive(value: list[str]) -> frozenset[str]:
    if strange := set(value) - _SALTS:
        raise ValueError(f"{sorted(strange)} not among {sorted(_SALTS)}")
    return frozenset(value)


# What a species table may say: each field's place in the record and how it is read.
FIELDS: Mapping[str, tuple[str, Callable[[Any], object]]] = {
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
