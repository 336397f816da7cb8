"""Pots as people describe them: `6in azalea`, `D20 d14 h18 cm`, `30 x 20 x 15cm box`, `#3`.

`read_pot` takes a text that should be a pot; `find_pot` finds the pot in a piece of a line and
says None when the piece is about something else (`30 cm from the glass`). What is understood
is struck out of the text step by step; words left over decide whether it was a pot at all.

Refusals are those of `quantities` and these, all with `said`:

key                     args
quantities-no-pot       example
quantities-which-size   example: sizes said so that it is clear which is which
quantities-trade-size   known: the container classes there are
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import TypeVar

from bot.talk.grammar.measures import POT_LENGTH, POT_VOLUME, Bounds, Frame, judged, measure_at
from bot.talk.grammar.numbers import Folded, Found, Refusal, clip, fold, numeral_at, starts, tidy
from bot.talk.grammar.potwords import WORDS, PotWords
from bot.talk.grammar.sizes import Size, chains, settle, singles, unit_at, with_units
from bot.talk.grammar.units import Kind
from core.care.potsaid import DepthWord, Material, PotSaid, Shape, TradeShape
from core.care.units import System, Unit, convert
from core.knowledge.potsizes import pot_sizes

__all__ = ["find_pot", "read_pot"]

Name = TypeVar("Name", bound=StrEnum)

_STRUCK = "\ue000"  # stands where something was understood; nobody types it
_WORD = re.compile(r"[^\W_]+")
_MAX_SAID = 200
_LAYER_DEPTH = Bounds(0.002, 0.5)
_GALLONS = (Unit.US_GALLON, Unit.IMPERIAL_GALLON)
_CUPS = (Unit.METRIC_CUP, Unit.US_CUP, Unit.IMPERIAL_CUP)  # of water, never of a pot
_SIZES_EXAMPLE = "D20 d14 h18 cm"
_EXAMPLES = {System.METRIC: "15 cm pot", System.US: "6 in pot", System.IMPERIAL: "6 in pot"}
# Materials whose word alone means a pot; glass, wood, stone and the like may be anything.
_PLAINLY_POTS = {Material.TERRACOTTA, Material.PLASTIC, Material.GLAZED, Material.FABRIC}


@dataclass(slots=True)
class _Sheet:
    """A folded text from which what is understood is struck out."""

    text: str

    def strike(self, start: int, end: int) -> None:
        """Mark a stretch as understood."""
        self.text = self.text[:start] + _STRUCK * (end - start) + self.text[end:]

    def take(self, pattern: re.Pattern[str]) -> bool:
        """Strike out every match, and say whether there was one."""
        hits = list(pattern.finditer(self.text))
        for hit in hits:
            self.strike(*hit.span())
        return bool(hits)

    def choose(self, choices: Mapping[Name, re.Pattern[str]]) -> Name | None:
        """The first of several named patterns that is there; all that are, are struck."""
        found = [name for name, pattern in choices.items() if self.take(pattern)]
        return found[0] if found else None

    def either(self, no: re.Pattern[str], yes: re.Pattern[str]) -> bool | None:
        """False, True or None for a thing denied, affirmed or not spoken of."""
        denied = self.take(no)
        return False if denied else (self.take(yes) or None)


@dataclass(slots=True)
class _Heard:
    """All that was understood of a text, sizes not yet judged."""

    said: str
    joined: bool = False  # whether any of the sizes were said as 20 x 15
    sizes: list[Size] = field(default_factory=list)
    volume_l: float | Refusal | None = None
    trade_size: str = ""
    trade_gallons: bool = False
    shape: Shape | None = None
    trade_shape: TradeShape | None = None
    depth_word: DepthWord | None = None
    material: Material | None = None
    hole: bool | None = None
    outer: bool | None = None
    self_watering: bool | None = None
    layer: bool | None = None
    layer_m: float | Refusal | None = None
    noun: bool = False
    elsewhere: bool = False
    left: str = ""

    @property
    def sized(self) -> bool:
        """Whether it was said how big it is, beyond a bare number."""
        sure = any(size.unit or size.role for size in self.sizes) or len(self.sizes) > 1
        other = self.volume_l is not None or bool(self.trade_size)
        return sure or other or (self.noun and bool(self.sizes))

    @property
    def described(self) -> bool:
        """Whether it was said what it is like, in words that hold for pots only."""
        facts = (self.hole, self.outer, self.self_watering, self.layer)
        if any(fact is not None for fact in facts) or self.material in _PLAINLY_POTS:
            return True
        return self.noun and self.qualified

    @property
    def qualified(self) -> bool:
        """Whether there is a word for shape, material or depth."""
        return any((self.material, self.shape, self.trade_shape, self.depth_word))

    @property
    def about_pot(self) -> bool:
        """Whether a piece of a line speaks of a pot."""
        if not self.left:
            return self.sized or self.described
        anchors = (self.noun, self.trade_size, self.trade_shape, self.material in _PLAINLY_POTS)
        return self.sized and any(anchors) and not self.elsewhere


def read_pot(text: str, system: System, *, language: str = "en") -> PotSaid | Refusal:
    """The pot that a text describes; a bare number is its width in the household's unit."""
    folded = fold(text)
    if not folded.text.strip():
        return _refuse("nothing-said", text, example=_EXAMPLES[system])
    heard, _ = _hear(folded, system, language)
    if not (heard.sizes or heard.sized or heard.described or heard.qualified):
        return _refuse("no-pot", text, example=_EXAMPLES[system])
    said = _said(heard, system, language)
    if heard.left and not isinstance(said, Refusal):
        return _refuse("extra-words", text, taken=_taken(folded, heard), extra=clip(heard.left))
    return said


def find_pot(text: str, system: System, *, language: str = "en") -> Found[PotSaid] | Refusal | None:
    """The pot in a piece of a line, or None when the piece is about something else."""
    folded = fold(text)
    heard, sheet = _hear(folded, system, language)
    if not heard.about_pot:
        return None
    said = _said(heard, system, language)
    if isinstance(said, Refusal):
        return said
    first, last = _span(folded, sheet)
    phrase = " ".join(folded.original[first:last].split())[:_MAX_SAID]
    return Found(replace(said, said=phrase), (first, last), heard.left)


def _refuse(key: str, said: str, **args: str) -> Refusal:
    return Refusal(f"quantities-{key}", {"said": clip(said), "what": "pot", **args})


def _hear(folded: Folded, system: System, language: str) -> tuple[_Heard, str]:
    """What a text says of a pot, and the text with that struck out."""
    words = WORDS[language]
    sheet = _Sheet(folded.text)
    heard = _Heard(" ".join(folded.original.split())[:_MAX_SAID])
    heard.self_watering = sheet.take(words.self_watering) or None
    heard.outer = sheet.either(words.outer_no, words.outer_yes)
    unplaced = _hear_layer(sheet, heard, words, language)
    heard.hole = sheet.either(words.hole_no, words.hole_yes)
    heard.noun = bool(words.nouns.search(sheet.text))
    _hear_sizes(sheet, heard, words, Frame(Kind.VOLUME, POT_VOLUME, system, None, language))
    heard.trade_shape = sheet.choose(words.trade_shapes)
    heard.shape = sheet.choose(words.shapes)
    heard.material = sheet.choose(words.materials)
    heard.depth_word = sheet.choose(words.depths)
    sheet.take(words.nouns)
    return heard, _hear_rest(folded, sheet, heard, words, unplaced)


def _hear_layer(
    sheet: _Sheet, heard: _Heard, words: PotWords, language: str
) -> list[tuple[int, int]]:
    """Pebbles at the bottom; hands back where pebbles are that may be what the plant grows in."""
    if sheet.take(words.layer_no):
        heard.layer = False
        return []
    unplaced = []
    for hit in list(words.layer.finditer(sheet.text)):
        depth, start, end = _layer_depth(sheet.text, hit, words, language)
        place = words.layer_place.match(sheet.text, end)
        if depth is not None or place or words.layer_sure.search(hit.group()):
            heard.layer, heard.layer_m = True, depth
            sheet.strike(start, place.end() if place else end)
        else:
            unplaced.append(hit.span())
            sheet.strike(*hit.span())
    return unplaced


def _layer_depth(
    text: str, hit: re.Match[str], words: PotWords, language: str
) -> tuple[float | Refusal | None, int, int]:
    """How deep a drainage layer is, said before or after its word, and the stretch of both."""
    after = words.layer_of.match(text, hit.end())
    for place in (*starts(text[: hit.start()]), after.end() if after else hit.end()):
        numeral = numeral_at(text, place, language)
        unit, end = unit_at(text, numeral.end, language) if numeral else (None, place)
        if numeral is None or unit is None:
            continue
        if place > hit.start() or words.layer_of.fullmatch(text, end, hit.start()):
            frame = Frame(Kind.LENGTH, _LAYER_DEPTH)
            depth = judged(text[place:end], numeral, unit, frame)
            return depth, min(place, hit.start()), max(end, hit.end())
    return None, *hit.span()


def _hear_sizes(sheet: _Sheet, heard: _Heard, words: PotWords, frame: Frame) -> None:
    """Container class, joined sizes, a volume, then sizes that stand alone."""
    _hear_class(sheet, heard, words)
    for chain in chains(sheet.text, words, frame.language):
        heard.joined = True
        heard.sizes.extend(chain)
        sheet.strike(chain[0].start, chain[-1].end)
    _hear_volume(sheet, heard, frame)
    alone = singles(sheet.text, words, frame.language)
    measured = bool(heard.sizes or heard.trade_size) or heard.volume_l is not None
    measured = measured or any(size.unit for size in alone)
    for size in alone:
        if size.unit or size.role or not measured:
            heard.sizes.append(size)
            sheet.strike(size.start, size.end)
    heard.sizes.sort(key=lambda size: size.start)


def _hear_class(sheet: _Sheet, heard: _Heard, words: PotWords) -> None:
    hit = words.class_word.search(sheet.text)
    number = re.compile(r"\d{1,5}").match(sheet.text, hit.end()) if hit else None
    if hit and number:
        heard.trade_size = f"#{int(number.group())}"
        sheet.strike(hit.start(), number.end())


def _hear_volume(sheet: _Sheet, heard: _Heard, frame: Frame) -> None:
    """A volume; whole gallons for which there is a container class mean the class."""
    for place in starts(sheet.text):
        measure = measure_at(sheet.text, place, frame)
        if measure is None or getattr(measure, "unit", None) in _CUPS:
            continue
        if isinstance(measure, Refusal):
            heard.volume_l = measure
            return
        sheet.strike(measure.start, measure.end)
        count = f"{convert(measure.amount, Unit.LITRE, measure.unit):.6g}"
        if measure.unit in _GALLONS and measure.notes and count in pot_sizes().trade_l:
            heard.trade_size, heard.trade_gallons = f"#{count}", True
        else:
            heard.volume_l = measure.amount
        return


def _hear_rest(
    folded: Folded,
    sheet: _Sheet,
    heard: _Heard,
    words: PotWords,
    unplaced: list[tuple[int, int]],
) -> str:
    """What is left over, as typed; nothing when only small words are. Hands back the sheet."""
    understood = sheet.text
    for start, end in unplaced:
        understood = understood[:start] + folded.text[start:end] + understood[end:]
    heard.elsewhere = bool(words.elsewhere.search(understood))
    sheet.take(words.fillers)
    if unplaced or _WORD.search(sheet.text):
        struck = {folded.origin[at] for at, char in enumerate(understood) if char == _STRUCK}
        kept = enumerate(folded.original)
        heard.left = tidy("".join(" " if at in struck else char for at, char in kept))
    return understood


def _span(folded: Folded, struck: str) -> tuple[int, int]:
    """From the first to the last character understood, in the original."""
    places = [at for at, char in enumerate(struck) if char == _STRUCK]
    return folded.origin[places[0]], folded.origin[places[-1] + 1]


def _taken(folded: Folded, heard: _Heard) -> str:
    """What was understood of a text, for saying so beside what wasn't."""
    left = heard.left.split()
    return clip(" ".join(word for word in folded.original.split() if word.strip(",;") not in left))


def _said(heard: _Heard, system: System, language: str) -> PotSaid | Refusal:
    """The judged pot."""
    for judgement in (heard.volume_l, heard.layer_m):
        if isinstance(judgement, Refusal):
            return judgement
    classes = pot_sizes().trade_l
    if heard.trade_size and heard.trade_size.lstrip("#") not in classes:
        known = ", ".join(f"#{size}" for size in classes)
        return _refuse("trade-size", heard.said, known=known)
    sides = _sides(heard, system, language)
    return sides if isinstance(sides, Refusal) else _filled_in(heard, sides)


def _sides(heard: _Heard, system: System, language: str) -> dict[str, float] | Refusal:
    """Metres of each side that was said."""
    frame = Frame(Kind.LENGTH, POT_LENGTH, system, None, language)
    measured: list[tuple[str, float]] = []
    for size in with_units(heard.sizes, system)[0]:
        unit = size.unit or Unit.CENTIMETRE
        metres = judged(heard.said, size.numeral, unit, frame)
        if isinstance(metres, Refusal):
            return metres
        measured.append((size.role, metres))
    if len([size for size in heard.sizes if not size.role]) > 1 and not heard.joined:
        return _refuse("which-size", heard.said, example=_SIZES_EXAMPLE)
    sides = settle(measured, heard.shape, tapered=heard.trade_shape is not None)
    return _refuse("which-size", heard.said, example=_SIZES_EXAMPLE) if sides is None else sides


def _filled_in(heard: _Heard, sides: Mapping[str, float]) -> PotSaid:
    return PotSaid(
        said=heard.said,
        shape=heard.shape,
        top_m=sides.get("top"),
        base_m=sides.get("base"),
        height_m=sides.get("height"),
        length_m=sides.get("length"),
        width_m=sides.get("width"),
        depth_word=heard.depth_word,
        trade_size=heard.trade_size or None,
        trade_gallons=heard.trade_gallons,
        trade_shape=heard.trade_shape,
        volume_l=heard.volume_l if isinstance(heard.volume_l, float) else None,
        material=heard.material,
        hole=heard.hole,
        outer=heard.outer,
        self_watering=heard.self_watering,
        drainage_layer=heard.layer,
        drainage_layer_m=heard.layer_m if isinstance(heard.layer_m, float) else None,
        unit_assumed=not any(size.unit for size in heard.sizes) and bool(heard.sizes),
    )
