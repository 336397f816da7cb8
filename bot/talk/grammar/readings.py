"""What people type after probing: `3`, `2 3 8`, `4m 6d`, `dry by finger`, `1.84 kg`, `limp 8`.

A comma with a space separates; a comma between digits could be a decimal or a list, so it
asks. Nothing here decides what a reading means for a plant.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace

from bot.talk.grammar.quantities import Refusal, find_weight
from bot.talk.grammar.refusal import Unclear
from core.care.reading import Found, Instrument, Layer, Level, Reading, Sign, Wetness
from core.care.words import reach_of, value_of

SCALE_LOW, SCALE_HIGH = 1.0, 10.0
MOST_PLACES = 12

WETNESS = {
    "bone dry": Wetness.BONE_DRY,
    "parched": Wetness.BONE_DRY,
    "dry as dust": Wetness.BONE_DRY,
    "dry": Wetness.DRY,
    "barely moist": Wetness.BARELY_MOIST,
    "almost dry": Wetness.BARELY_MOIST,
    "nearly dry": Wetness.BARELY_MOIST,
    "slightly moist": Wetness.BARELY_MOIST,
    "barely damp": Wetness.BARELY_MOIST,
    "slightly damp": Wetness.BARELY_MOIST,
    "moist": Wetness.MOIST,
    "damp": Wetness.MOIST,
    "wet": Wetness.WET,
    "soggy": Wetness.SOGGY,
    "sodden": Wetness.SOGGY,
    "soaking": Wetness.SOGGY,
    "waterlogged": Wetness.SOGGY,
}
INSTRUMENTS = {
    "finger": Instrument.FINGER,
    "thumb": Instrument.FINGER,
    "knuckle": Instrument.FINGER,
    "stick": Instrument.STICK,
    "skewer": Instrument.STICK,
    "chopstick": Instrument.STICK,
    "toothpick": Instrument.STICK,
    "dowel": Instrument.STICK,
    "lift": Instrument.LIFT,
    "lifted": Instrument.LIFT,
    "lifting": Instrument.LIFT,
    "meter": Instrument.METER,
    "probe": Instrument.METER,
}
LAYERS = {
    "s": Layer.SURFACE,
    "surface": Layer.SURFACE,
    "top": Layer.SURFACE,
    "m": Layer.MIDDLE,
    "mid": Layer.MIDDLE,
    "middle": Layer.MIDDLE,
    "halfway": Layer.MIDDLE,
    "d": Layer.DEEP,
    "deep": Layer.DEEP,
    "bottom": Layer.DEEP,
    "below": Layer.DEEP,
}
SIGNS = {
    "limp": Sign.LIMP,
    "wilted": Sign.LIMP,
    "wilting": Sign.LIMP,
    "drooping": Sign.LIMP,
    "droopy": Sign.LIMP,
    "floppy": Sign.LIMP,
    "slack": Sign.LIMP,
    "wrinkled": Sign.WRINKLED,
    "wrinkly": Sign.WRINKLED,
    "shrivelled": Sign.WRINKLED,
    "shriveled": Sign.WRINKLED,
    "folded": Sign.WRINKLED,
    "curled": Sign.WRINKLED,
    "curling": Sign.WRINKLED,
    "silvery": Sign.SILVERY,
    "silver": Sign.SILVERY,
    "smell": Sign.SMELL,
    "smells": Sign.SMELL,
    "sour": Sign.SMELL,
    "mushy": Sign.SMELL,
    "rotten": Sign.SMELL,
    "soft": Sign.SMELL,
    "green": Sign.GREEN,
}
LEVELS = {"empty": Level.EMPTY, "low": Level.LOW, "half": Level.LOW, "full": Level.FULL}
# A pot that is light or heavy in the hand is a word about the whole pot.
LIFTED = {"light": Wetness.DRY, "heavy": Wetness.WET}
FILLERS = frozenset(
    "a about all an and approx approximately are around at bit but by ca circa everywhere "
    "feels felt for found gauge glass i in is it it's it\u2019s its leaf leaves looks maybe "
    "measured measures now of on over place places pot pretty probably quite rather read "
    "reading reads really reservoir roots roughly said says scale seems showed shows soil "
    "stem stems still tank test the think to tray very was water weighed weighs were with".split()
)

_PHRASES = "|".join(sorted((w for w in WETNESS if " " in w), key=len, reverse=True))
_TOKEN = re.compile(
    rf"(?P<phrase>(?:{_PHRASES})\b)"
    r"|~?(?P<number>[-+]?\d+(?:\.\d+)?)(?P<of>/10\b)?(?P<suffix>[a-z]*)"
    r"|(?P<prefixed>[smd]\d+(?:\.\d+)?)"
    r"|(?P<word>[^\s,;:&]+)"
)
_JOINED = re.compile(r"(?<![\d.,])(\d{1,2}),(\d{1,2})(?![\d,])")
# `3-4`, `between 3 and 4`: one reading that wavers, or two places.
_RANGE = re.compile(
    r"(?<![\d.,])(?:between )?(?P<one>\d{1,2})(?: ?[-\u2013] ?| (?:to|or) |(?<=between \d) and "
    r"|(?<=between \d\d) and )(?P<other>\d{1,2})(?![\d.,])"
)
_KEYCAP = re.compile("[\ufe0f\u20e3]")
_HALF = re.compile(r"\bhalf[- ](?:full|empty)\b")
# How far down it was felt: what a finger reaches is the surface, further down we can't place more
# nearly than the middle. Bare `in` is no inch here.
_DEPTH = re.compile(
    r"(?<![\d.,])(?P<much>\d+(?:[.,]\d+)?)\s*(?P<unit>cm|mm|inch(?:es)?|\")(?!\w)"
    r"(?:\s+(?:down|deep|below))?"
)
_KNUCKLES = re.compile(r"\b\d+\s*knuckles?\b(?:\s+(?:down|deep))?")
_CM = {"cm": 1.0, "mm": 0.1}
_INCH_CM, _REACH_CM = 2.54, 6.0
_SLASHED = re.compile(r"(?<![\d.])(\d{1,2})/(?!10\b)(\d{1,2})(?=[/\s,]|$)")


SPELT = ("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
# In how many places is no reading: `3 in two places`.
_PLACES = re.compile(
    rf"\b(?:(?:in|at|on)\s+)?(?:\d{{1,2}}|{'|'.join(SPELT)}|both|several)"
    r"\s+(?:places|spots|sides|times)\b"
)
_SPELT = re.compile(rf"\b(?:{'|'.join(SPELT)})\b(?! (?:place|spot|side|time|day|week)s?\b)")
_AND_A_HALF = re.compile(r"\b(\d{1,2}) and a half\b")
_ONE = re.compile(r"^one$|\bone\b(?=(?:,| and)? \d)|(?<=\d )one\b|(?<=\d and )one\b")


@dataclass(slots=True)
class _Heard:
    """What has been understood so far, while going through the words."""

    readings: list[Reading]
    signs: set[Sign]
    level: Level | None = None
    instrument: Instrument = Instrument.UNSAID
    awaiting: Layer | None = None
    layer_first: bool = False
    strange: str = ""


def fold(text: str) -> str:
    """Lower case, digits of any script as 0-9, dashes and spaces made plain, keycaps bare."""
    plain = unicodedata.normalize("NFKC", _KEYCAP.sub("", text)).casefold()
    plain = plain.replace("bone-dry", "bone dry")
    return "".join(
        str(unicodedata.digit(char)) if char.isdigit() and not char.isascii() else char
        for char in plain
    )


def _spelt_out(text: str) -> str:
    """Numbers in words as digits; "one" only beside another number or alone, for it is also "a"."""
    text = _AND_A_HALF.sub(r"\1.5", _SPELT.sub(lambda match: str(SPELT.index(match[0]) + 2), text))
    return _ONE.sub("1", text)


def read_found(text: str) -> Found | Unclear:
    """What one check found, or what is unclear about it. Never raises."""
    plain = _HALF.sub("half", _spelt_out(_PLACES.sub(" ", fold(text))))
    plain = _DEPTH.sub(_layer_at, _KNUCKLES.sub("finger", plain))
    weight = find_weight(plain)
    if isinstance(weight, Refusal):
        return Unclear(weight.key, weight.args)
    weight_kg = None
    if weight is not None:
        weight_kg, plain = weight.value.kg, weight.rest
    joined = _JOINED.search(plain)
    if joined:
        one, other = joined.groups()
        return Unclear(
            "reading-comma",
            {"one": one, "other": other},
            (_swap(plain, joined, f"{one} {other}"), _swap(plain, joined, f"{one}.{other}")),
        )
    wavers = _RANGE.search(plain)
    if wavers:
        return _range(plain, wavers)
    plain = _SLASHED.sub(r"\1 \2", _SLASHED.sub(r"\1 \2/", plain).replace("/ ", " ")).rstrip("/")
    heard = _Heard([], set())
    for token in _TOKEN.finditer(plain):
        problem = _hear(heard, token)
        if problem is not None:
            return problem
    return _gather(heard, weight_kg)


def _range(text: str, found: re.Match[str]) -> Unclear:
    one, other = found["one"], found["other"]
    mean = f"{(int(one) + int(other)) / 2:g}"
    return Unclear(
        "reading-range",
        {"one": one, "other": other, "mean": mean},
        (_swap(text, found, f"{one} {other}"), _swap(text, found, mean)),
    )


def _layer_at(match: re.Match[str]) -> str:
    """`dry 2 inches down` as `dry surface`."""
    much = float(match["much"].replace(",", "."))
    depth_cm = much * _CM.get(match["unit"], _INCH_CM)
    return " surface " if depth_cm <= _REACH_CM else " middle "


def _swap(text: str, at: re.Match[str], new: str) -> str:
    return f"{text[: at.start()]}{new}{text[at.end() :]}".strip()


def _hear(heard: _Heard, token: re.Match[str]) -> Unclear | None:
    if token["number"] is not None:
        return _number(heard, token["number"], token["suffix"])
    if token["prefixed"]:
        return _number(heard, token["prefixed"][1:], token["prefixed"][0])
    _word(heard, token["phrase"] or token["word"])
    return None


def _number(heard: _Heard, digits: str, suffix: str) -> Unclear | None:
    value = float(digits)
    if suffix and suffix not in LAYERS:
        heard.strange = heard.strange or digits + suffix
        return None
    if not SCALE_LOW <= value <= SCALE_HIGH:
        return _off_scale(digits, value)
    if len(heard.readings) >= MOST_PLACES:
        return Unclear("reading-many", {"most": str(MOST_PLACES)})
    layer = LAYERS[suffix] if suffix else heard.awaiting
    heard.readings.append(Reading(value, layer or Layer.DEEP, Instrument.METER))
    heard.awaiting = None
    return None


def _off_scale(digits: str, value: float) -> Unclear:
    if value < SCALE_LOW:
        meant = digits.lstrip("+-")
        near = meant if SCALE_LOW <= abs(value) <= SCALE_HIGH else "1"
        return Unclear("reading-below", {"said": digits[:12], "near": near}, (near,))
    if len(digits) == 2 and digits[1] != "0":
        return Unclear(
            "reading-above-two",
            {"said": digits, "one": digits[0], "other": digits[1]},
            (f"{digits[0]} {digits[1]}", digits[1], "10"),
        )
    return Unclear("reading-above", {"said": digits[:12]}, ("10",))


def _word(heard: _Heard, word: str) -> None:
    bare = word.strip(".!?()'\"~")
    if bare in WETNESS:
        _wetness(heard, WETNESS[bare])
    elif bare in LIFTED:
        heard.instrument = Instrument.LIFT
        _wetness(heard, LIFTED[bare])
    elif bare in INSTRUMENTS:
        heard.instrument = INSTRUMENTS[bare]
    elif bare in LAYERS:
        _layer(heard, LAYERS[bare])
    elif bare in SIGNS:
        heard.signs.add(SIGNS[bare])
    elif bare in LEVELS:
        heard.level = LEVELS[bare]
    elif bare and bare not in FILLERS:
        heard.strange = heard.strange or bare


def _wetness(heard: _Heard, word: Wetness) -> None:
    layer = heard.awaiting or reach_of(heard.instrument)
    instrument = heard.instrument
    heard.readings.append(Reading(0.0, layer, instrument, word))
    heard.awaiting = None


def _layer(heard: _Heard, layer: Layer) -> None:
    """`4 middle` names the reading before; `middle 4` the one to come, for the whole line."""
    if not heard.readings:
        heard.layer_first = True
    if heard.layer_first:
        heard.awaiting = layer
        return
    heard.readings[-1] = replace(heard.readings[-1], layer=layer)


def _gather(heard: _Heard, weight_kg: float | None) -> Found | Unclear:
    if heard.strange:
        return Unclear("reading-word", {"word": heard.strange[:30]})
    readings = tuple(_settle(reading, heard.instrument) for reading in heard.readings)
    if not readings and weight_kg is None and heard.level is None and not heard.signs:
        return Unclear("reading-none")
    return Found(readings, weight_kg, heard.level, frozenset(heard.signs))


def _settle(reading: Reading, instrument: Instrument) -> Reading:
    """An instrument named after the word counts too: `dry by finger`."""
    word = reading.word
    if word is None:
        return reading
    if reading.instrument is Instrument.UNSAID and instrument is not Instrument.UNSAID:
        layer = reach_of(instrument) if reading.layer is Layer.SURFACE else reading.layer
        reading = replace(reading, instrument=instrument, layer=layer)
    return replace(reading, value=value_of(word))
