"""Volumes, lengths, weights, temperatures and durations as people type them.

`read_...` takes a text that should be the quantity and nothing else; `find_...` looks for the
first one inside a longer line and hands back the rest of the line. Neither ever raises; what
can't be taken comes back as a `Refusal` whose key is a message of `quantities.ftl`. All have
the args `said` (what was typed) and `what` (volume, length, weight, temperature, duration,
pot), except `-ambiguous-comma`, which has no `what`; the others are:

key                         args
quantities-nothing-said     example
quantities-not-a-number     example
quantities-which-unit       one, other: two things that would be taken
quantities-unknown-unit     unit, example
quantities-wrong-kind       got (what the unit measures), example
quantities-ambiguous-comma  whole, decimal: the two numbers it may be
quantities-too-big          most: the largest that would be taken, unit included
quantities-too-small        least: the smallest that would be taken, unit included
quantities-negative         least
quantities-one-number       first, second: the two of a range or a product
quantities-extra-words      taken (the part that was understood), extra

`said`, `unit`, `first`, `second`, `taken` and `extra` are a person's own words, cut short.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TypeVar

from bot.talk.grammar import units
from bot.talk.grammar.measures import (
    DURATION,
    ROOM_LENGTH,
    WATER,
    WEATHER,
    WEIGHT,
    Bounds,
    Frame,
    Measure,
    Note,
    judged,
    measure_at,
    refuse,
    which_unit,
)
from bot.talk.grammar.numbers import (
    Folded,
    Found,
    Numeral,
    Refusal,
    clip,
    fold,
    numeral_at,
    starts,
)
from bot.talk.grammar.units import Kind
from core.care.units import System, Unit

__all__ = [
    "Bounds",
    "Duration",
    "Found",
    "Length",
    "Note",
    "Refusal",
    "Temperature",
    "Volume",
    "Weight",
    "find_duration",
    "find_length",
    "find_temperature",
    "find_volume",
    "find_weight",
    "read_duration",
    "read_length",
    "read_temperature",
    "read_volume",
    "read_weight",
]

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Volume:
    """A volume in litres; `said` as typed; `notes` tell which cup, pint or ounce it was."""

    litres: float
    said: str
    unit: Unit
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class Length:
    """A length in metres; `said` as typed."""

    metres: float
    said: str
    unit: Unit


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight in kilograms; `said` as typed."""

    kg: float
    said: str
    unit: Unit


@dataclass(frozen=True, slots=True)
class Temperature:
    """A temperature in degrees Celsius; `said` as typed."""

    celsius: float
    said: str
    unit: Unit


@dataclass(frozen=True, slots=True)
class Duration:
    """A length of time; `said` as typed. A day is 24 hours."""

    length: timedelta
    said: str


_ABOUT_WORDS = r"(?:about|around|roughly|approx\.?|approximately|ca\.?|circa)"
_LEAD = re.compile(rf"[ (~≈=]*(?:{_ABOUT_WORDS} )?~?", re.IGNORECASE)
_TRAIL = " .,;:!?)"
_JOINT = re.compile(r" ?(?:(-|to |or )|[x*/]) ?(?=\.?\d)", re.IGNORECASE)


def read(text: str, frame: Frame) -> Measure | Refusal:
    """The one quantity that `text` is, or why it isn't."""
    folded = fold(text)
    plain = folded.text.rstrip(_TRAIL)
    start = _end_of(_LEAD, plain, 0)
    if start >= len(plain):
        return refuse("nothing-said", text, frame, example=frame.example)
    measure = measure_at(plain, start, frame)
    if measure is None:
        measure = _bare(plain, start, frame)
    if isinstance(measure, Refusal):
        return measure
    measure = _as_said(folded, measure)
    extra = plain[measure.end :].strip()
    if extra:
        return refuse("extra-words", text, frame, taken=measure.said, extra=clip(extra))
    return measure


def _end_of(pattern: re.Pattern[str], text: str, at: int) -> int:
    match = pattern.match(text, at)
    return match.end() if match else at


def _as_said(folded: Folded, measure: Measure) -> Measure:
    """The same with the person's own signs: `½ cup`, not what we made of it."""
    first, last = folded.origin[measure.start], folded.origin[measure.end]
    return replace(measure, said=clip(folded.original[first:last]))


def _bare(text: str, start: int, frame: Frame) -> Measure | Refusal:
    """A number without a unit of this kind: takes the default, or says what is missing."""
    numeral = numeral_at(text, start, frame.language)
    if numeral is None:
        return refuse("not-a-number", text, frame, example=frame.example)
    after = text[numeral.end :].strip()
    if after and units.degree_at(text, numeral.end, frame.language) != len(text):
        return _unknown(text, numeral, after, frame)
    said = text[start : numeral.end]
    if frame.default is None and numeral.sound:
        return which_unit(said, numeral, frame)
    unit = frame.default or Unit.LITRE
    amount = judged(text, numeral, unit, frame)
    if isinstance(amount, Refusal):
        return amount
    return Measure(amount, start, numeral.end, said, unit)


def _unknown(text: str, numeral: Numeral, after: str, frame: Frame) -> Refusal:
    joint = _JOINT.match(text, numeral.end)
    second = numeral_at(text, joint.end(), frame.language) if joint else None
    if second:
        first = clip(text[numeral.start : numeral.end])
        other = clip(text[second.start : second.end])
        return refuse("one-number", text, frame, first=first, second=other)
    got = units.kind_at(text, numeral.end, frame.language)
    if got is None:
        return refuse("unknown-unit", text, frame, unit=clip(after), example=frame.example)
    return refuse("wrong-kind", text, frame, got=got.value, example=frame.example)


_BEFORE = re.compile(r"(\d[\d.,]{0,8}) ?(?:(-|\bto\b|\bor\b)|[x*/]) ?$", re.IGNORECASE)
_ABOUT = re.compile(rf"(?:~|≈|\b{_ABOUT_WORDS}) ?$", re.IGNORECASE)
_OF_WATER = re.compile(r" ?of (?:water|rain ?water|tap water|it)\b", re.IGNORECASE)
_LOOK_BACK = 24


def find(folded: Folded, frame: Frame) -> Found[Measure] | Refusal | None:
    """The first quantity with a unit in a line, None when there is none."""
    for place in starts(folded.text):
        measure = measure_at(folded.text, place, frame)
        if isinstance(measure, Refusal):
            return measure
        if measure:
            measure = _as_said(folded, measure)
            return _one_of(folded.text, measure, frame) or _cut(folded, measure)
    return None


def _one_of(text: str, measure: Measure, frame: Frame) -> Refusal | None:
    """A refusal when the quantity is an end of a range (`300 - 400 ml`) or a factor (`2 x 200`)."""
    before = _BEFORE.search(text[max(0, measure.start - _LOOK_BACK) : measure.start])
    if before:
        return _range(before, text, measure, frame)
    joint = _JOINT.match(text, measure.end)
    following = measure_at(text, joint.end(), frame) if joint else None
    product = joint is not None and joint[1] is None
    if not following and not product:
        return None
    second = following.said if isinstance(following, Measure) else clip(text[measure.end :])
    return refuse("one-number", measure.said, frame, first=measure.said, second=second)


def _range(before: re.Match[str], text: str, measure: Measure, frame: Frame) -> Refusal | None:
    """`2 - 400 ml` is a name and an amount, `300 - 400 ml` a range: it rises, by a little."""
    low = numeral_at(before[1], 0, frame.language)
    high = numeral_at(text, measure.start, frame.language)
    if before[2] and low and high and not low.value < abs(high.value) <= 4 * low.value:
        return None
    said = f"{before.group()}{measure.said}"
    return refuse("one-number", said, frame, first=before[1], second=measure.said)


def _cut(folded: Folded, measure: Measure) -> Found[Measure]:
    about = _ABOUT.search(folded.text[max(0, measure.start - _LOOK_BACK) : measure.start])
    start = measure.start - (len(about.group()) if about else 0)
    of_water = _OF_WATER.match(folded.text, measure.end)
    span, rest = folded.cut(start, of_water.end() if of_water else measure.end)
    return Found(measure, span, rest)


def read_volume(
    text: str,
    system: System,
    *,
    default: Unit | None = None,
    bounds: Bounds = WATER,
    language: str = "en",
) -> Volume | Refusal:
    """A volume of water, 1 ml to 100 L unless other `bounds` (litres) are given."""
    measure = read(text, Frame(Kind.VOLUME, bounds, system, default, language))
    return measure if isinstance(measure, Refusal) else _volume(measure)


def find_volume(
    text: str, system: System, *, bounds: Bounds = WATER, language: str = "en"
) -> Found[Volume] | Refusal | None:
    """The first volume in a line: `gave the fern 400 ml` leaves `gave the fern`."""
    return _found(find(fold(text), Frame(Kind.VOLUME, bounds, system, None, language)), _volume)


def read_length(
    text: str,
    default: Unit | None = None,
    *,
    bounds: Bounds = ROOM_LENGTH,
    system: System = System.METRIC,
    language: str = "en",
) -> Length | Refusal:
    """A length, 0 to 30 m unless other `bounds` (metres) are given."""
    measure = read(text, Frame(Kind.LENGTH, bounds, system, default, language))
    return measure if isinstance(measure, Refusal) else _length(measure)


def find_length(
    text: str,
    *,
    bounds: Bounds = ROOM_LENGTH,
    system: System = System.METRIC,
    language: str = "en",
) -> Found[Length] | Refusal | None:
    """The first length with a unit in a line."""
    return _found(find(fold(text), Frame(Kind.LENGTH, bounds, system, None, language)), _length)


def read_weight(
    text: str,
    default: Unit | None = None,
    *,
    bounds: Bounds = WEIGHT,
    system: System = System.METRIC,
    language: str = "en",
) -> Weight | Refusal:
    """The weight of a pot, 5 g to 300 kg; ounces are ounces of weight here."""
    measure = read(text, Frame(Kind.WEIGHT, bounds, system, default, language))
    return measure if isinstance(measure, Refusal) else _weight(measure)


def find_weight(
    text: str,
    *,
    bounds: Bounds = WEIGHT,
    system: System = System.METRIC,
    language: str = "en",
) -> Found[Weight] | Refusal | None:
    """The first weight with a unit in a line."""
    return _found(find(fold(text), Frame(Kind.WEIGHT, bounds, system, None, language)), _weight)


def read_temperature(
    text: str,
    default: Unit | None = None,
    *,
    bounds: Bounds = WEATHER,
    system: System = System.METRIC,
    language: str = "en",
) -> Temperature | Refusal:
    """A temperature, -60 to 60 °C; `default` is the scale of a bare number or degree."""
    measure = read(text, Frame(Kind.TEMPERATURE, bounds, system, default, language))
    return measure if isinstance(measure, Refusal) else _temperature(measure)


def find_temperature(
    text: str,
    default: Unit | None = None,
    *,
    bounds: Bounds = WEATHER,
    system: System = System.METRIC,
    language: str = "en",
) -> Found[Temperature] | Refusal | None:
    """The first temperature in a line; `default` is the scale of a bare "degrees"."""
    frame = Frame(Kind.TEMPERATURE, bounds, system, default, language)
    return _found(find(fold(text), frame), _temperature)


def read_duration(
    text: str,
    default: Unit | None = None,
    *,
    bounds: Bounds = DURATION,
    language: str = "en",
) -> Duration | Refusal:
    """A length of time, one second to ten years: `10m`, `8d`, `1 h 30 min`, `2 weeks`."""
    measure = read(text, Frame(Kind.DURATION, bounds, System.METRIC, default, language))
    return measure if isinstance(measure, Refusal) else _duration(measure)


def find_duration(
    text: str, *, bounds: Bounds = DURATION, language: str = "en"
) -> Found[Duration] | Refusal | None:
    """The first length of time in a line."""
    frame = Frame(Kind.DURATION, bounds, System.METRIC, None, language)
    return _found(find(fold(text), frame), _duration)


def _found(
    found: Found[Measure] | Refusal | None, make: Callable[[Measure], T]
) -> Found[T] | Refusal | None:
    if isinstance(found, Found):
        return Found(make(found.value), found.span, found.rest)
    return found


def _volume(measure: Measure) -> Volume:
    return Volume(measure.amount, measure.said, measure.unit, measure.notes)


def _length(measure: Measure) -> Length:
    return Length(measure.amount, measure.said, measure.unit)


def _weight(measure: Measure) -> Weight:
    return Weight(measure.amount, measure.said, measure.unit)


def _temperature(measure: Measure) -> Temperature:
    return Temperature(measure.amount, measure.said, measure.unit)


def _duration(measure: Measure) -> Duration:
    return Duration(timedelta(seconds=measure.amount), measure.said)
