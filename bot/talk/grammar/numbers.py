"""Numbers as people type them: digits of any script, fractions, decimal comma, number words.

A comma or point between digits is a decimal mark, unless exactly three digits follow: then
`1,500` can be one and a half or fifteen hundred, and both values are kept, for the reader to
choose between by what is possible, or to ask. Nothing here raises; every pattern is linear.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Generic, TypeVar

T = TypeVar("T")

MAX_CHARS = 4096
"""Longer texts are read up to here; a chat message seldom can be longer."""

_MAX_SAID = 40


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a text was not taken: `key` names a message of the catalogue, `args` fill it.

    The keys and their args are listed in `quantities` and `pots`.
    """

    key: str
    args: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Found(Generic[T]):
    """A `value` found in a longer text: its `span` in the text as given, and the `rest` of it."""

    value: T
    span: tuple[int, int]
    rest: str


@dataclass(frozen=True, slots=True)
class Folded:
    """A text in plain characters; `origin[i]` is where character i stood in the original."""

    text: str
    origin: tuple[int, ...]
    original: str

    def cut(self, start: int, end: int) -> tuple[tuple[int, int], str]:
        """The span in the original for a span here, and the original without it."""
        first, last = self.origin[start], self.origin[end]
        return (first, last), tidy(f"{self.original[:first]} {self.original[last:]}")


@dataclass(frozen=True, slots=True)
class Numeral:
    """A number at a place of a folded text, from `start` to `end`.

    `other` is the second way to read it (`1,500`), None when there is one way only. `sound`
    is False for what looks like a number and is none (`9**9`, `1/0`, `nan`, `1.2.3`).
    """

    value: float
    start: int
    end: int
    other: float | None = None
    sound: bool = True


# What keyboards and auto-correction put in place of plain characters.
_ALIKE = {
    **dict.fromkeys("×✕✖⨯╳", "x"),
    **dict.fromkeys("″“”„‟＂〃", '"'),
    **dict.fromkeys("′‘’‚‛＇`´", "'"),
    **dict.fromkeys("−–—‒―﹣－‐‑", "-"),
    **dict.fromkeys("˚º", "°"),
    **dict.fromkeys("⌀∅Øø", "Ø"),
    **dict.fromkeys("⁄∕／", "/"),
    **dict.fromkeys("，", ","),
    **dict.fromkeys("．٫", "."),
    "℃": "°C",
    "℉": "°F",
    "＃": "#",
    "∞": "inf",
}
_DROPPED = frozenset("\u200b\u200c\u200d\u200e\u200f\u2060\ufeff\u00ad٬")


def fold(text: str) -> Folded:
    """Turn look-alikes, foreign digits, vulgar fractions and odd spaces into plain characters."""
    chars: list[str] = []
    origin: list[int] = []
    kept = text[:MAX_CHARS]
    for place, char in enumerate(kept):
        plain = _plain(char)
        if "/" in plain[1:] and chars and chars[-1].isdigit():  # 6½ is 6 1/2, not 61/2
            plain = " " + plain
        if plain == " " and chars and chars[-1] == " ":
            continue
        if plain == "'" and chars and chars[-1] == "'":
            chars[-1] = '"'
            continue
        chars.extend(plain)
        origin.extend([place] * len(plain))
    return Folded("".join(chars), (*origin, len(kept)), text)


@lru_cache(maxsize=1024)
def _plain(char: str) -> str:
    if char in _DROPPED:
        return ""
    if char in _ALIKE:
        return _ALIKE[char]
    if char.isspace():
        return " "
    digit = unicodedata.decimal(char, None)
    if digit is not None:
        return str(digit)
    compatible = unicodedata.normalize("NFKC", char)
    if "VULGAR FRACTION" in unicodedata.name(char, ""):
        return compatible.replace("\u2044", "/")
    return compatible if compatible.isalpha() else char


def tidy(text: str) -> str:
    """One space between words, none at the ends nor before a comma, no commas left hanging."""
    spaced = " ".join(text.split())
    return spaced.replace(" ,", ",").replace(",,", ",").strip(" ,;:-")


def clip(text: str) -> str:
    """A short piece of what was typed, fit to be said back."""
    spaced = " ".join(text[: 4 * _MAX_SAID].split())
    return spaced if len(spaced) <= _MAX_SAID else spaced[: _MAX_SAID - 1] + "…"


def _words(*entries: tuple[str, float]) -> dict[str, float]:
    return {word: value for words, value in entries for word in words.split("|")}


# Number words of each language we read, with the words that join a half to them.
NUMBER_WORDS: Mapping[str, Mapping[str, float]] = {
    "en": _words(
        ("three quarters|three quarters of a|three quarters of an", 0.75),
        ("two thirds|two thirds of a|two thirds of an", 2 / 3),
        ("half|a half|half a|half an|half of a|half of an", 0.5),
        ("a third|a third of a|a third of an", 1 / 3),
        ("quarter|a quarter|quarter of a|quarter of an|a quarter of a|a quarter of an", 0.25),
        ("a|an|one", 1),
        ("two|a couple|a couple of", 2),
        *((word, value) for value, word in enumerate(["three", "four", "five", "six", "seven"], 3)),
        *(
            (word, value)
            for value, word in enumerate(["eight", "nine", "ten", "eleven", "twelve"], 8)
        ),
    )
}
_AND_PART = {"en": {"and a half": 0.5, "and a quarter": 0.25, "and three quarters": 0.75}}
_MINUS_WORDS = {"en": ("minus",)}
SANE = 1e15
"""No count of anything comes near this; what does is a slip or a prank."""


def _alternation(words: Mapping[str, float]) -> str:
    longest_first = sorted(words, key=len, reverse=True)
    return "|".join(word.replace(" ", r"[ -]") for word in longest_first)


@lru_cache(maxsize=8)
def _worded(language: str) -> re.Pattern[str]:
    return re.compile(rf"(?:{_alternation(NUMBER_WORDS[language])})(?![^\W_])", re.IGNORECASE)


@lru_cache(maxsize=8)
def _joined(language: str) -> re.Pattern[str]:
    return re.compile(rf" (?:{_alternation(_AND_PART[language])})(?![^\W_])", re.IGNORECASE)


_DIGITS = re.compile(r"\d+(?:[.,]\d+)*|\.\d+")
_SUM = re.compile(r" ?(?:\*\*|[*^=+]|e[+-]?(?=\d)) ?(?=[\d-])", re.IGNORECASE)
_FRACTION = re.compile(r"(\d{1,3})/(\d{1,3})(?![\d/])")
_MIXED = re.compile(r"(?: +| ?- ?| and )(\d{1,2})/(\d{1,2})(?![\d/])")
_NOT_FINITE = re.compile(r"(?:nan|inf|infinity)(?![^\W_])", re.IGNORECASE)
_START = re.compile(r"[-+]?(?:\d+|\.\d+)|\b[^\W\d_]")
_INSIDE = re.compile(r"[^\W_]$|[#_]$|\d[.,]$|[*^] ?$")  # before a place that is no beginning
_TIMES = re.compile(r"\dx", re.IGNORECASE)
_MAX_TERMS = 8  # how far arithmetic is followed
_MAX_PARTS = 64  # the finest fraction anybody measures in


def numeral_at(text: str, start: int, language: str = "en") -> Numeral | None:
    """The number that begins exactly at `start` of a folded text, sign included, or None."""
    sign, at = _sign(text, start, language)
    numeral = _digits_at(text, at, language) or _word_at(text, at, language)
    if numeral is None:
        return None
    other = None if numeral.other is None else sign * numeral.other
    return Numeral(sign * numeral.value, start, numeral.end, other, numeral.sound)


def _sign(text: str, start: int, language: str) -> tuple[int, int]:
    for word in _MINUS_WORDS[language]:
        if text[start : start + len(word)].lower() == word and text[start + len(word) :][:1] == " ":
            return -1, start + len(word) + 1
    if text[start : start + 1] in ("-", "+"):
        at = start + 1
        spaced = text[at : at + 1] == " " and text[at + 1 : at + 2].isdigit()
        return (-1 if text[start] == "-" else 1), at + spaced
    return 1, start


def _word_at(text: str, at: int, language: str) -> Numeral | None:
    if _NOT_FINITE.match(text, at):
        return Numeral(math.nan, at, _end(_NOT_FINITE, text, at), sound=False)
    match = _worded(language).match(text, at)
    if match is None:
        return None
    word = match.group().lower().replace("-", " ")
    extra, end = half_after(text, match.end(), language)
    return Numeral(NUMBER_WORDS[language][word] + extra, at, end)


def _end(pattern: re.Pattern[str], text: str, at: int) -> int:
    match = pattern.match(text, at)
    return match.end() if match else at


def _digits_at(text: str, at: int, language: str) -> Numeral | None:
    match = _DIGITS.match(text, at)
    if match is None:
        return None
    fraction = _FRACTION.match(text, at)
    mixed = _MIXED.match(text, match.end()) if match.group().isdigit() else None
    whole, end, found = 0.0, match.end(), _value(match.group())
    if fraction:
        end, found = fraction.end(), _parts(fraction)
    elif mixed:
        whole, end, found = float(match.group()), mixed.end(), _parts(mixed)
    past = _past_sum(text, end)
    if found is None or past > end or text[end : end + 1] == "/":
        return Numeral(math.nan, at, past, sound=False)
    extra, end = half_after(text, end, language)
    return Numeral(whole + found[0] + extra, at, end, found[1])


def half_after(text: str, end: int, language: str) -> tuple[float, int]:
    """What "and a half" after a number adds, and where it ends."""
    match = _joined(language).match(text, end)
    if match is None:
        return 0.0, end
    return _AND_PART[language][match.group()[1:].lower().replace("-", " ")], match.end()


def _past_sum(text: str, end: int) -> int:
    """The end of arithmetic such as `9**9**9` or `10^400`, which is not a number to us."""
    at = end
    for _ in range(_MAX_TERMS):
        joint = _SUM.match(text, at)
        if joint is None:
            break
        following = _DIGITS.match(text, joint.end() + (text[joint.end()] == "-"))
        if following is None:
            return joint.end()
        at = following.end()
    return at


def _parts(match: re.Match[str]) -> tuple[float, float | None] | None:
    above, below = int(match[1]), int(match[2])
    return (above / below, None) if 0 < below <= _MAX_PARTS else None


_ONE_MARK = re.compile(r"(\d*)[.,](\d+)")
_GROUPS = re.compile(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d{1,3}(?:\.\d{3})+(?:,\d+)?")
_EITHER = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")


def _value(digits: str) -> tuple[float, float | None] | None:
    """Value of a run of digits with marks, and the other one it may have; None if it has none."""
    if digits.isdigit():
        return float(digits), None
    if _ONE_MARK.fullmatch(digits):
        value = float(digits.replace(",", "."))
        return value, (value * 1000 if _EITHER.fullmatch(digits) else None)
    if _GROUPS.fullmatch(digits):
        decimal = max(digits.rfind(","), digits.rfind("."))
        if digits.count(digits[decimal]) > 1:
            return float(digits.replace(digits[decimal], "")), None
        whole = digits[:decimal].replace(",", "").replace(".", "")
        return float(f"{whole}.{digits[decimal + 1 :]}"), None
    return None


def starts(text: str) -> list[int]:
    """Places of a folded text where a number may begin, from left to right."""
    places = []
    for match in _START.finditer(text):
        before = text[max(0, match.start() - 2) : match.start()]
        if before[-1:].isalnum() and match.group()[0] in "-+":
            places.append(match.start() + 1)
        elif not _INSIDE.search(before) or _TIMES.fullmatch(before):
            places.append(match.start())
    return places


def ambiguous(said: str, numeral: Numeral) -> Refusal:
    """The refusal for a number that can be read in two ways."""
    whole = numeral.other if numeral.other is not None else numeral.value
    args = {"said": clip(said), "whole": f"{whole:.12g}", "decimal": f"{numeral.value:.12g}"}
    return Refusal("quantities-ambiguous-comma", args)


def read_number(text: str, language: str = "en") -> tuple[float, str] | Refusal | None:
    """The number a text begins with and what follows it; None when it begins with no number.

    Refuses `quantities-ambiguous-comma` (`1,500`) and `quantities-not-a-number` (`nan`, `9**9`,
    beyond 1e15).
    """
    folded = fold(text)
    start = len(folded.text) - len(folded.text.lstrip())
    numeral = numeral_at(folded.text, start, language)
    if numeral is None:
        return None
    said = folded.text[start : numeral.end]
    if not numeral.sound or not abs(numeral.value) < SANE:
        return Refusal(
            "quantities-not-a-number", {"said": clip(said), "what": "number", "example": "4"}
        )
    if numeral.other is not None:
        return ambiguous(said, numeral)
    return numeral.value, folded.original[folded.origin[numeral.end] :].strip()
