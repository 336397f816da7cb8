"""A number and its unit at one place of a text, judged by what is believable there.

The machinery under `quantities`; the keys of its refusals are listed there.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from bot.talk.grammar import units
from bot.talk.grammar.numbers import (
    SANE,
    Numeral,
    Refusal,
    ambiguous,
    clip,
    half_after,
    numeral_at,
)
from bot.talk.grammar.units import Kind
from core.care.units import System, Unit, convert


class Note(StrEnum):
    """What a reader should be told about how a measure was taken."""

    US = "us"
    IMPERIAL = "imperial"
    METRIC = "metric"  # a cup of 250 ml
    FLUID = "fluid"  # ounces taken as fluid ounces


@dataclass(frozen=True, slots=True)
class Bounds:
    """The least and most believed of a kind, in its base unit (both are taken)."""

    least: float
    most: float


# Ours: wide enough for anybody's plants, narrow enough to catch a slipped key or unit.
WATER = Bounds(0.001, 100.0)
POT_VOLUME = Bounds(0.02, 1000.0)
ROOM_LENGTH = Bounds(0.0, 30.0)
POT_LENGTH = Bounds(0.02, 2.0)
WEIGHT = Bounds(0.005, 300.0)
WEATHER = Bounds(-60.0, 60.0)
DURATION = Bounds(1.0, 3660 * 86400.0)

BASE: Mapping[Kind, Unit] = {
    Kind.VOLUME: Unit.LITRE,
    Kind.LENGTH: Unit.METRE,
    Kind.WEIGHT: Unit.KILOGRAM,
    Kind.TEMPERATURE: Unit.CELSIUS,
    Kind.DURATION: Unit.SECOND,
}
_EXAMPLES: Mapping[Kind, Mapping[System, tuple[str, str]]] = {
    Kind.VOLUME: {
        System.METRIC: ("400 ml", "1 l"),
        System.US: ("2 cups", "400 ml"),
        System.IMPERIAL: ("1 pint", "400 ml"),
    },
    Kind.LENGTH: {**dict.fromkeys(System, ("6 in", "15 cm")), System.METRIC: ("15 cm", "6 in")},
    Kind.WEIGHT: {
        **dict.fromkeys(System, ("4 lb 3 oz", "1.9 kg")),
        System.METRIC: ("1.84 kg", "600 g"),
    },
    Kind.TEMPERATURE: {**dict.fromkeys(System, ("4 °C", "40 °F")), System.US: ("40 °F", "4 °C")},
    Kind.DURATION: dict.fromkeys(System, ("2 days", "30 minutes")),
}
_LIKELY: Mapping[Kind, Mapping[System, tuple[Unit, ...]]] = {
    Kind.VOLUME: {
        **dict.fromkeys(System, (Unit.MILLILITRE, Unit.LITRE)),
        System.US: (Unit.US_CUP, Unit.US_FLUID_OUNCE, Unit.MILLILITRE),
    },
    Kind.LENGTH: dict.fromkeys(System, (Unit.CENTIMETRE, Unit.INCH, Unit.MILLIMETRE)),
    Kind.WEIGHT: {
        **dict.fromkeys(System, (Unit.KILOGRAM, Unit.GRAM)),
        System.US: (Unit.POUND, Unit.KILOGRAM, Unit.GRAM),
    },
    Kind.TEMPERATURE: dict.fromkeys(System, (Unit.CELSIUS, Unit.FAHRENHEIT)),
    Kind.DURATION: dict.fromkeys(System, (Unit.MINUTE, Unit.HOUR, Unit.DAY)),
}


@dataclass(frozen=True, slots=True)
class Frame:
    """What is looked for and how it is taken."""

    kind: Kind
    bounds: Bounds
    system: System = System.METRIC
    default: Unit | None = None
    language: str = "en"

    @property
    def example(self) -> str:
        """Something that would be taken."""
        return _EXAMPLES[self.kind][self.system][0]

    def amount(self, value: float, unit: Unit) -> float:
        """`value` of `unit` in the kind's base unit."""
        return convert(value, unit, BASE[self.kind])

    def believes(self, amount: float) -> bool:
        """Whether an amount in the base unit lies within bounds."""
        return self.bounds.least <= amount <= self.bounds.most

    def meant(self, word: units.UnitWord) -> Unit:
        """The unit a word stands for in this household."""
        return word if isinstance(word, Unit) else word[self.system]


@dataclass(frozen=True, slots=True)
class Measure:
    """A quantity read: `amount` in the kind's base unit, where it stood, how it was said."""

    amount: float
    start: int
    end: int
    said: str
    unit: Unit
    notes: tuple[Note, ...] = ()


def refuse(key: str, said: str, frame: Frame, **args: str) -> Refusal:
    """A refusal about this kind of quantity."""
    named = {"said": clip(said), "what": frame.kind.value, **args}
    return Refusal(f"quantities-{key}", named)


def measure_at(text: str, start: int, frame: Frame) -> Measure | Refusal | None:
    """The quantity of `frame.kind` that begins at `start` of a folded text.

    None when there is no number there, or none with a unit of that kind.
    """
    numeral = numeral_at(text, start, frame.language)
    hit = unit_after(text, numeral.end, frame) if numeral else None
    if numeral is None or hit is None:
        return None
    word, meant, end = hit
    extra, end = half_after(text, end, frame.language)
    if extra:
        numeral = Numeral(numeral.value + extra, start, numeral.end, None, numeral.sound)
    unit = frame.meant(meant)
    amount = judged(text[start:end], numeral, unit, frame)
    if isinstance(amount, Refusal):
        return amount
    notes = _notes(word, meant, unit, frame)
    return _with_smaller(text, Measure(amount, start, end, text[start:end], unit, notes), frame)


def unit_after(text: str, end: int, frame: Frame) -> tuple[str, units.UnitWord, int] | None:
    """The unit word after a number: of the frame's kind, or the default for a bare degree."""
    hit = units.word_at(text, end, frame.kind, frame.language)
    if hit or frame.kind is not Kind.TEMPERATURE or frame.default is None:
        return hit
    degree = units.degree_at(text, end, frame.language)
    return ("", frame.default, degree) if degree else None


def _notes(word: str, meant: units.UnitWord, unit: Unit, frame: Frame) -> tuple[Note, ...]:
    nation = units.nation(meant, unit)
    whose = (Note(nation.value),) if nation else ()
    loose = frame.kind is Kind.VOLUME and word in units.OUNCE_WORDS[frame.language]
    return (*whose, Note.FLUID) if loose else whose


_AND = re.compile(r" ?(?:and |& ?|\+ ?)?", re.IGNORECASE)


def _with_smaller(text: str, first: Measure, frame: Frame) -> Measure | Refusal:
    """Add what follows in a smaller unit: `4 lb 3 oz`, `1 h 30 min`."""
    joint = _AND.match(text, first.end)
    numeral = numeral_at(text, joint.end(), frame.language) if joint else None
    hit = unit_after(text, numeral.end, frame) if numeral else None
    if numeral is None or hit is None or frame.kind is Kind.TEMPERATURE:
        return first
    plain = numeral.sound and numeral.other is None and 0 <= numeral.value < math.inf
    if not plain or convert(1.0, frame.meant(hit[1]), first.unit) >= 1.0:
        return first
    total = first.amount + frame.amount(numeral.value, frame.meant(hit[1]))
    said = text[first.start : hit[2]]
    if not frame.believes(total):
        return too_big(said, first.unit, frame)
    amount = float(f"{total:.12g}")
    return Measure(amount, first.start, hit[2], said, first.unit, first.notes)


def judged(said: str, numeral: Numeral, unit: Unit, frame: Frame) -> float | Refusal:
    """The amount in the base unit, if the number can be meant and is believable."""
    if not numeral.sound:
        return refuse("not-a-number", said, frame, example=frame.example)
    believed = _believed(numeral, unit, frame)
    if len(believed) == 1:
        return believed[0]
    return ambiguous(said, numeral) if believed else _beyond(said, numeral, unit, frame)


def _believed(numeral: Numeral, unit: Unit, frame: Frame) -> list[float]:
    """The amounts it may be, of the one or two ways to read the number."""
    values = [value for value in (numeral.value, numeral.other) if value is not None]
    amounts = [frame.amount(value, unit) for value in values if abs(value) < SANE]
    return [amount for amount in amounts if frame.believes(amount)]


def _beyond(said: str, numeral: Numeral, unit: Unit, frame: Frame) -> Refusal:
    if numeral.value < 0 and frame.kind is not Kind.TEMPERATURE:
        least = bound(frame.bounds.least, unit, frame, up=True)
        return refuse("negative", said, frame, least=least)
    sane = max(-SANE, min(SANE, numeral.value))
    over = frame.amount(sane, unit) > frame.bounds.most
    return too_big(said, unit, frame) if over else too_small(said, unit, frame)


def too_big(said: str, unit: Unit, frame: Frame) -> Refusal:
    """More than is believed: says the most that is."""
    return refuse("too-big", said, frame, most=bound(frame.bounds.most, unit, frame, up=False))


def too_small(said: str, unit: Unit, frame: Frame) -> Refusal:
    """Less than is believed: says the least that is."""
    return refuse("too-small", said, frame, least=bound(frame.bounds.least, unit, frame, up=True))


def bound(amount: float, unit: Unit, frame: Frame, *, up: bool) -> str:
    """A bound in the unit the person used, rounded to three digits to the side that is taken."""
    value = convert(amount, BASE[frame.kind], unit)
    if value:
        digits = 2 - math.floor(math.log10(abs(value)))
        scaled = round(value * 10.0**digits, 6)
        value = (math.ceil(scaled) if up else math.floor(scaled)) / 10.0**digits
    return f"{value:.12g} {units.symbol(unit, frame.system)}"


def which_unit(number: str, numeral: Numeral, frame: Frame) -> Refusal:
    """Ask for the unit of a bare number, naming only what would then be taken."""
    likely = _LIKELY[frame.kind][frame.system]
    fits = [unit for unit in likely if len(_believed(numeral, unit, frame)) == 1]
    if any(len(_believed(numeral, unit, frame)) > 1 for unit in likely):
        return ambiguous(number, numeral)
    if not fits:
        return _beyond(number, numeral, likely[0], frame)
    ways = [f"{clip(number)} {units.symbol(unit, frame.system)}" for unit in fits]
    one, other = (*ways, *_EXAMPLES[frame.kind][frame.system])[:2]
    if one == other:
        other = _EXAMPLES[frame.kind][frame.system][1]
    return refuse("which-unit", number, frame, one=one, other=other)
