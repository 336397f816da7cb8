"""The closed list of unit words of each language we read, and how to say a unit back.

Words are lower case, without points, in singular and plural as typed. A word whose size
depends on where one lives (cup, pint, gallon) stands for a unit of each system.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from enum import StrEnum
from functools import lru_cache

from core.care.units import System, Unit


class Kind(StrEnum):
    """What a quantity measures."""

    VOLUME = "volume"
    LENGTH = "length"
    WEIGHT = "weight"
    TEMPERATURE = "temperature"
    DURATION = "duration"


UnitWord = Unit | Mapping[System, Unit]


def _by_system(metric: Unit, us: Unit, imperial: Unit) -> Mapping[System, Unit]:
    return {System.METRIC: metric, System.US: us, System.IMPERIAL: imperial}


# A metric household that says pint, quart or gallon is taken to mean the US ones, because
# most published advice for house plants does; the result says so. Spoons: see `Unit`.
CUP = _by_system(Unit.METRIC_CUP, Unit.US_CUP, Unit.IMPERIAL_CUP)
PINT = _by_system(Unit.US_PINT, Unit.US_PINT, Unit.IMPERIAL_PINT)
QUART = _by_system(Unit.US_QUART, Unit.US_QUART, Unit.IMPERIAL_QUART)
GALLON = _by_system(Unit.US_GALLON, Unit.US_GALLON, Unit.IMPERIAL_GALLON)
FLUID_OUNCE = _by_system(Unit.US_FLUID_OUNCE, Unit.US_FLUID_OUNCE, Unit.IMPERIAL_FLUID_OUNCE)
TABLESPOON = _by_system(Unit.METRIC_TABLESPOON, Unit.US_TABLESPOON, Unit.METRIC_TABLESPOON)
TEASPOON = _by_system(Unit.METRIC_TEASPOON, Unit.US_TEASPOON, Unit.METRIC_TEASPOON)
BY_SYSTEM = (CUP, PINT, QUART, GALLON, FLUID_OUNCE, TABLESPOON, TEASPOON)

_FLUID = ("fl oz", "floz", "fl ounce", "fl ounces", "fluid oz", "fluid ounce", "fluid ounces")
_OUNCE = ("oz", "ozs", "ounce", "ounces")
_QUALIFIED: Mapping[tuple[str, ...], Mapping[System, Unit]] = {
    ("cup", "cups"): CUP,
    ("pint", "pints", "pt"): PINT,
    ("quart", "quarts", "qt"): QUART,
    ("gallon", "gallons", "gal"): GALLON,
    (*_FLUID, *_OUNCE): FLUID_OUNCE,
}
_NATIONS = {
    "us": System.US,
    "u s": System.US,
    "american": System.US,
    "imperial": System.IMPERIAL,
    "imp": System.IMPERIAL,
    "uk": System.IMPERIAL,
    "british": System.IMPERIAL,
}


def _words(*entries: tuple[str, UnitWord]) -> dict[str, UnitWord]:
    return {word: unit for words, unit in entries for word in words.split("|")}


def _of_nations() -> dict[str, UnitWord]:
    """`us cup`, `imperial pints` and the like: said outright, so the household doesn't matter."""
    return {
        f"{nation} {word}": sizes[system]
        for words, sizes in _QUALIFIED.items()
        for nation, system in _NATIONS.items()
        for word in words
    }


WORDS: Mapping[str, Mapping[Kind, Mapping[str, UnitWord]]] = {
    "en": {
        Kind.VOLUME: {
            **_words(
                ("l|lt|ltr|liter|liters|litre|litres", Unit.LITRE),
                ("dl|deciliter|deciliters|decilitre|decilitres", Unit.DECILITRE),
                ("cl|centiliter|centiliters|centilitre|centilitres", Unit.CENTILITRE),
                ("ml|mls|mil|mils|cc|ccm", Unit.MILLILITRE),
                ("milliliter|milliliters|millilitre|millilitres", Unit.MILLILITRE),
                ("cup|cups|cupful|cupfuls", CUP),
                ("metric cup|metric cups", Unit.METRIC_CUP),
                ("pint|pints|pt|pts", PINT),
                ("quart|quarts|qt|qts", QUART),
                ("gallon|gallons|gal|gals", GALLON),
                ("tablespoon|tablespoons|tablespoonful|tablespoonfuls", TABLESPOON),
                ("tbsp|tbsps|tbs|tbl", TABLESPOON),
                ("teaspoon|teaspoons|teaspoonful|teaspoonfuls|tsp|tsps", TEASPOON),
                ("|".join((*_FLUID, *_OUNCE)), FLUID_OUNCE),
            ),
            **_of_nations(),
        },
        Kind.LENGTH: _words(
            ("mm|millimeter|millimeters|millimetre|millimetres", Unit.MILLIMETRE),
            ("cm|cms|centimeter|centimeters|centimetre|centimetres", Unit.CENTIMETRE),
            ("m|meter|meters|metre|metres", Unit.METRE),
            ('in|ins|inch|inches|inchs|"', Unit.INCH),
            ("ft|foot|feet|'", Unit.FOOT),
        ),
        Kind.WEIGHT: _words(
            ("g|gr|grm|grms|gram|grams|gramme|grammes", Unit.GRAM),
            ("kg|kgs|kilo|kilos|kilogram|kilograms|kilogramme|kilogrammes", Unit.KILOGRAM),
            ("lb|lbs|pound|pounds", Unit.POUND),
            ("|".join(_OUNCE), Unit.OUNCE),
        ),
        Kind.TEMPERATURE: _words(
            ("c|°c|deg c|degs c|degree c|degrees c|celsius|centigrade", Unit.CELSIUS),
            ("°celsius|degree celsius|degrees celsius|degrees centigrade", Unit.CELSIUS),
            ("f|°f|deg f|degs f|degree f|degrees f|fahrenheit", Unit.FAHRENHEIT),
            ("°fahrenheit|degree fahrenheit|degrees fahrenheit", Unit.FAHRENHEIT),
        ),
        Kind.DURATION: _words(
            ("s|sec|secs|second|seconds", Unit.SECOND),
            ("m|min|mins|minute|minutes", Unit.MINUTE),
            ("h|hr|hrs|hour|hours", Unit.HOUR),
            ("d|day|days", Unit.DAY),
            ("w|wk|wks|week|weeks", Unit.WEEK),
        ),
    }
}

DEGREE_WORDS: Mapping[str, frozenset[str]] = {
    "en": frozenset({"°", "deg", "degs", "degree", "degrees"})
}
"""Words for a degree that don't say of which scale: the household's is taken."""

OUNCE_WORDS: Mapping[str, frozenset[str]] = {"en": frozenset(_OUNCE)}
"""Ounces that may be of weight or of volume: the context decides, and the result says so."""

SYMBOLS: Mapping[Unit, str] = {
    Unit.LITRE: "l",
    Unit.DECILITRE: "dl",
    Unit.CENTILITRE: "cl",
    Unit.MILLILITRE: "ml",
    Unit.METRE: "m",
    Unit.CENTIMETRE: "cm",
    Unit.MILLIMETRE: "mm",
    Unit.INCH: "in",
    Unit.FOOT: "ft",
    Unit.KILOGRAM: "kg",
    Unit.GRAM: "g",
    Unit.POUND: "lb",
    Unit.OUNCE: "oz",
    Unit.CELSIUS: "°C",
    Unit.FAHRENHEIT: "°F",
    Unit.SECOND: "seconds",
    Unit.MINUTE: "minutes",
    Unit.HOUR: "hours",
    Unit.DAY: "days",
    Unit.WEEK: "weeks",
}
_NAMES = {
    "cup": "cups",
    "pint": "pints",
    "quart": "quarts",
    "gallon": "gallons",
    "fluid_ounce": "fl oz",
    "tablespoon": "tbsp",
    "teaspoon": "tsp",
}


def symbol(unit: Unit, system: System) -> str:
    """How to write a unit so that it is read back in a household of `system`: `ml`, `us cups`."""
    if unit in SYMBOLS:
        return SYMBOLS[unit]
    whose, _, name = unit.value.partition("_")
    own = any(sizes[system] is unit for sizes in BY_SYSTEM)
    return _NAMES[name] if own else f"{whose} {_NAMES[name]}"


def nation(word: UnitWord, unit: Unit) -> System | None:
    """Whose measure `unit` is, when the word alone left that open and it makes a difference."""
    if isinstance(word, Unit) or word is TABLESPOON or word is TEASPOON:
        return None
    return System(unit.value.partition("_")[0])


# Up to three words or signs after a number, points after abbreviations dropped.
_TOKEN = re.compile(r" ?-?(?:([^\W\d_]+)\.?|([\"'°]))")
_MAX_TOKENS = 3


def phrases_at(text: str, start: int) -> list[tuple[str, int]]:
    """The phrases of one to three words that begin at `start`, longest first, with their ends."""
    phrases: list[tuple[str, int]] = []
    phrase, at = "", start
    while len(phrases) < _MAX_TOKENS and (match := _TOKEN.match(text, at)):
        token, at = (match[1] or match[2]).casefold(), match.end()
        glued = not phrase or phrase.endswith("°")
        phrase = phrase + token if glued else f"{phrase} {token}"
        phrases.append((phrase, at))
    return phrases[::-1]


@lru_cache(maxsize=64)
def words_of(kind: Kind, language: str) -> Mapping[str, UnitWord]:
    """The unit words of a kind."""
    return WORDS[language][kind]


def word_at(text: str, start: int, kind: Kind, language: str) -> tuple[str, UnitWord, int] | None:
    """The unit word of `kind` at `start` of a folded text: word, what it means, its end."""
    words = words_of(kind, language)
    for phrase, end in phrases_at(text, start):
        if phrase in words:
            return phrase, words[phrase], end
    return None


def degree_at(text: str, start: int, language: str) -> int:
    """The end of a word for a degree that names no scale, 0 when there is none at `start`."""
    degrees = DEGREE_WORDS[language]
    return next((end for phrase, end in phrases_at(text, start) if phrase in degrees), 0)


def kind_at(text: str, start: int, language: str) -> Kind | None:
    """Which kind the unit word at `start` is of, if it is one at all."""
    return next((kind for kind in Kind if word_at(text, start, kind, language)), None)
