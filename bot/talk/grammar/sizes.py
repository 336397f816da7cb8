"""The sizes said of a pot and which side each one is: `D20 d14 h18 cm`, `30x20 cm 15 high`.

A size without a unit takes the next unit said, else the one before, else the household's.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bot.talk.grammar import units
from bot.talk.grammar.numbers import Numeral, numeral_at, starts
from bot.talk.grammar.potwords import PotWords
from bot.talk.grammar.units import Kind
from core.care.potsaid import Shape
from core.care.units import System, Unit

_LOOK_BACK = 24
_LETTERED = re.compile(r"(?<![^\W_])[DdHhWwLlØ][ .:=]?(?=\.?\d)")
_NEXT = re.compile(r"(?:[DdHhWwLlØ][ .:=]?)?(?=\.?\d)")
_LETTER_AFTER = re.compile(r" ?([LWHD])(?![^\W_])", re.IGNORECASE)
_LETTER_ROLES = {"l": "length", "w": "width", "h": "height", "d": "D"}
_STRAIGHT = (Shape.BOX, Shape.OVAL)


@dataclass(frozen=True, slots=True)
class Size:
    """A number said of a pot, the unit after it, and which side it is, as far as said.

    `role` is "D", "d", "top", "base", "height", "length", "width" or empty; D and d are told
    apart by `settle`.
    """

    numeral: Numeral
    unit: Unit | None
    role: str
    start: int
    end: int


def chains(text: str, words: PotWords, language: str) -> list[tuple[Size, ...]]:
    """Sizes joined by a sign of multiplication: `30 x 20 x 15 cm`, two or more of them."""
    found: list[tuple[Size, ...]] = []
    for place in _places(text):
        if found and place < found[-1][-1].end:
            continue
        chain = _chain_at(text, place, words, language)
        if len(chain) > 1:
            found.append(chain)
    return found


def singles(text: str, words: PotWords, language: str) -> list[Size]:
    """Sizes that stand alone; words for numbers count only with a unit."""
    found: list[Size] = []
    for place in _places(text):
        if found and place < found[-1].end:
            continue
        floor = found[-1].end if found else 0
        size = _size_at(text, place, floor, words, language)
        if size and (size.unit or size.role or _bare(text, size, language)):
            found.append(size)
    return found


def _bare(text: str, size: Size, language: str) -> bool:
    """Whether it is in figures and not of a unit that measures something else."""
    other = units.kind_at(text, size.numeral.end, language)
    return other is None and text[size.numeral.end - 1].isdigit()


def _places(text: str) -> list[int]:
    """Where a number of a size may begin: after a space or a letter such as D or h."""
    lettered = (match.end() for match in _LETTERED.finditer(text))
    return sorted({*starts(text), *lettered})


def _size_at(text: str, place: int, floor: int, words: PotWords, language: str) -> Size | None:
    """The size whose number begins at `place`; what stands before `floor` is another's."""
    numeral = numeral_at(text, place, language)
    if numeral is None:
        return None
    unit, end = unit_at(text, numeral.end, language)
    role, start = _role_before(text, place, floor, words)
    if not role:
        role, end = _role_after(text, end, words)
    return Size(numeral, unit, role, start, end)


def unit_at(text: str, at: int, language: str) -> tuple[Unit | None, int]:
    """The unit of length at a place and where it ends."""
    hit = units.word_at(text, at, Kind.LENGTH, language)
    return (hit[1], hit[2]) if hit and isinstance(hit[1], Unit) else (None, at)


def _role_before(text: str, place: int, floor: int, words: PotWords) -> tuple[str, int]:
    earliest = max(floor, place - _LOOK_BACK)
    before = text[earliest:place]
    for role, pattern in words.sizes_before.items():
        hit = pattern.search(before)
        if hit and not before[: hit.start()][-1:].isalpha():
            return role, earliest + hit.start()
    return "", place


def _role_after(text: str, end: int, words: PotWords) -> tuple[str, int]:
    for role, pattern in words.sizes_after.items():
        hit = pattern.match(text, end)
        if hit:
            return role, hit.end()
    return "", end


def _chain_at(text: str, place: int, words: PotWords, language: str) -> tuple[Size, ...]:
    chain: list[Size] = []
    at, floor = place, 0
    while size := _size_at(text, at, floor, words, language):
        size = _lettered(text, size, language)
        chain.append(size)
        joint = words.joint.match(text, size.end)
        following = _NEXT.match(text, joint.end()) if joint else None
        if following is None:
            break
        at, floor = following.end(), following.start()
    return tuple(chain)


def _lettered(text: str, size: Size, language: str) -> Size:
    """The size with the letter that may stand after it in a chain: `30L x 20W x 15H cm`."""
    letter = None if size.role else _LETTER_AFTER.match(text, size.end)
    if letter is None:
        return size
    unit, end = unit_at(text, letter.end(), language)
    role = _LETTER_ROLES[letter[1].lower()]
    return replace(size, role=role, unit=size.unit or unit, end=end)


def with_units(sizes: Sequence[Size], system: System) -> tuple[list[Size], bool]:
    """Every size with a unit, and whether the household's had to be assumed."""
    said = [size.unit for size in sizes]
    if not any(said):
        household = Unit.CENTIMETRE if system is System.METRIC else Unit.INCH
        return [replace(size, unit=household) for size in sizes], bool(sizes)
    for place in reversed(range(len(said) - 1)):
        said[place] = said[place] or said[place + 1]
    for place in range(1, len(said)):
        said[place] = said[place] or said[place - 1]
    return [replace(size, unit=unit) for size, unit in zip(sizes, said, strict=True)], False


def settle(
    sizes: Sequence[tuple[str, float]], shape: Shape | None, *, tapered: bool
) -> dict[str, float] | None:
    """Which side is which, from what was said of each and the order; None when it isn't clear.

    `tapered`: a sort of pot that is round, so that three sizes are top, base and height.
    """
    named: dict[str, float] = {}
    for role, metres in _diameters(sizes, shape):
        if role in named:
            return None
        named[role] = metres
    unnamed = [metres for role, metres in sizes if not role]
    roles = _open_roles(len(unnamed), named, shape, tapered=tapered)
    if roles is None:
        return None
    named.update(zip(roles, unnamed, strict=True))
    return named


def _diameters(sizes: Sequence[tuple[str, float]], shape: Shape | None) -> list[tuple[str, float]]:
    """The named sizes, with D and d told apart and a width of a round pot taken as its top."""
    named = [(role, metres) for role, metres in sizes if role]
    roles = [role for role, _ in named]
    oblong = shape in _STRAIGHT or "length" in roles
    if "width" in roles and not oblong:
        if {"D", "d"} & set(roles) and "height" in roles:  # W30 D20 H15, as furniture is measured
            swap = {"width": "length", "D": "width", "d": "width"}
        else:
            swap = {"width": "top"}
        named = [(swap.get(role, role), metres) for role, metres in named]
    return _lettered_diameters(named)


def _lettered_diameters(named: list[tuple[str, float]]) -> list[tuple[str, float]]:
    letters = [(role, metres) for role, metres in named if role in ("D", "d")]
    others = [(role, metres) for role, metres in named if role not in ("D", "d")]
    if len({role for role, _ in letters}) == len(letters) == 2:
        swap = {"D": "top", "d": "base"}
        return [*others, *((swap[role], metres) for role, metres in letters)]
    widest_first = sorted((metres for _, metres in letters), reverse=True)
    roles = ["top", "base", *["top"] * len(letters)]
    return [*others, *zip(roles, widest_first, strict=False)]


def _open_roles(
    count: int, named: dict[str, float], shape: Shape | None, *, tapered: bool
) -> list[str] | None:
    """The sides that sizes without a name stand for, in the order in which people say them."""
    tapered = tapered or shape is Shape.ROUND or "top" in named or "base" in named
    oblong = shape in _STRAIGHT or "length" in named or "width" in named
    flat_sides = count - ("height" not in named)  # how many of them can't be the height
    if count == 1 and not named.keys() - {"height"}:
        order = ["top"]
    elif oblong or (flat_sides > 1 and not tapered):
        order = ["length", "width", "height"]
    elif count + len(named) > 2 or "base" in named:
        order = ["top", "base", "height"]
    else:
        order = ["top", "height"]
    left = [role for role in order if role not in named]
    return left[:count] if count <= len(left) else None
