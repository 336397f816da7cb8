"""The words people use for pots, per language: shapes, materials, parts, and what to skip."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from core.care.potsaid import DepthWord, Material, Shape, TradeShape


def _any_of(words: str) -> re.Pattern[str]:
    """A pattern for whole words of a list such as `pot|pots|window box`, longest first."""
    longest = sorted(words.split("|"), key=len, reverse=True)
    spaced = "|".join(word.replace(" ", "[ -]?") for word in longest)
    return re.compile(rf"(?<![^\W_])(?:{spaced})(?![^\W_])", re.IGNORECASE)


def _pattern(text: str) -> re.Pattern[str]:
    """A pattern for whole words, as it stands."""
    return re.compile(rf"(?<![^\W_])(?:{text})(?![^\W_])", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PotWords:
    """What to look for in one language, in the order in which it is looked for."""

    outer_no: re.Pattern[str]
    outer_yes: re.Pattern[str]
    self_watering: re.Pattern[str]
    layer_no: re.Pattern[str]
    layer: re.Pattern[str]  # what a drainage layer is made of
    layer_sure: re.Pattern[str]  # those of them that can't be what the plant grows in
    layer_of: re.Pattern[str]  # what may stand between a depth and what the layer is made of
    layer_place: re.Pattern[str]  # "in the bottom"
    hole_no: re.Pattern[str]
    hole_yes: re.Pattern[str]
    class_word: re.Pattern[str]  # "no. 3", "number 3" for "#3"
    sizes_before: Mapping[str, re.Pattern[str]]  # role of a size from the word before it
    sizes_after: Mapping[str, re.Pattern[str]]  # and from the word after it
    joint: re.Pattern[str]  # between the sizes of 20 x 15 x 18
    trade_shapes: Mapping[TradeShape, re.Pattern[str]]
    shapes: Mapping[Shape, re.Pattern[str]]
    materials: Mapping[Material, re.Pattern[str]]
    depths: Mapping[DepthWord, re.Pattern[str]]
    nouns: re.Pattern[str]  # words that make it a pot beyond doubt
    elsewhere: re.Pattern[str]  # words that make a length a distance
    fillers: re.Pattern[str]


_OUTER = r"cache[ -]?pots?|outer pots?|over[ -]?pots?|cover pots?|decorative pots?|sleeve"
_PEBBLES = r"(?:clay |lava )?(?:pebbles?|balls|stones|rocks)|gravel|leca|shards"
_LAYER = rf"drainage (?:{_PEBBLES}|layer|material)|{_PEBBLES}|crocks?"
_NO = r"(?:no|without(?: an?y?)?|w/o|hasn't(?: an?y?)?|has no|not an?y?|lacks)"
_HOLES = r"(?:drain(?:age)?[ -]?)?(?:holes?|drain|drainage)"
_END_OF = r"(?:at the |at )?"

WORDS: Mapping[str, PotWords] = {
    "en": PotWords(
        outer_no=_pattern(rf"{_NO} (?:{_OUTER})"),
        outer_yes=_pattern(
            r"(?:in|inside|into|within) (?:an?|the|its|another)?"
            rf"[^,;]{{0,40}}?(?:{_OUTER})|{_OUTER}"
        ),
        self_watering=_any_of(
            "self watering|self waterer|sub irrigated|sub irrigation|water reservoir|reservoir|"
            "wick|wicks|wicking|with a reservoir|with a wick"
        ),
        layer_no=_pattern(rf"{_NO} (?:{_LAYER})"),
        layer=_pattern(rf"(?:(?:some|a few|a) )?(?:{_LAYER})"),
        layer_sure=_pattern(rf"crocks?|drainage (?:{_PEBBLES}|layer|material)"),
        layer_of=re.compile(
            r"(?: ?:)? ?(?:of |deep )?(?:(?:thick |deep )?layer of )?", re.IGNORECASE
        ),
        layer_place=re.compile(
            r",? ?(?:(?:in|at|on|along) (?:the |its )?(?:bottom|base)|below|underneath)(?![^\W_])",
            re.IGNORECASE,
        ),
        hole_no=_pattern(rf"{_NO} {_HOLES}|undrained|un-?drilled|closed bottom"),
        hole_yes=_pattern(rf"(?:with (?:an? )?|has (?:an? )?|\d{{1,2}} |good )?{_HOLES}|drained"),
        class_word=re.compile(
            r"(?:#|(?<![^\W_])(?:no\.?|nr\.?|number|class) ?#?) ?(?=\d)", re.IGNORECASE
        ),
        sizes_before={
            "D": re.compile(r"[DØ][ .:=]?$"),
            "d": re.compile(r"d[ .:=]?$"),
            "height": re.compile(
                r"(?:[hH][ .:=]?|(?:height|depth)(?: of| is)?[ :=]*)$", re.IGNORECASE
            ),
            "length": re.compile(r"(?:[lL][ .:=]?|length(?: of| is)?[ :=]*)$", re.IGNORECASE),
            "width": re.compile(r"(?:[wW][ .:=]?|width(?: of| is)?[ :=]*)$", re.IGNORECASE),
            "base": re.compile(
                r"(?:base|bottom)(?: diameter| width)?(?: of| is)?[ :=]*$", re.IGNORECASE
            ),
            "top": re.compile(
                r"(?:(?:top|rim|opening|mouth)(?: diameter| width)?|dia\.?|diam\.?|diameter)"
                r"(?: of| is)?[ :=]*$",
                re.IGNORECASE,
            ),
        },
        sizes_after={
            "base": re.compile(
                rf" ?-?(?:(?:in )?(?:diameter|wide|across) )?{_END_OF}(?:base|bottom)"
                r"(?: diameter| width)?(?![^\W_])",
                re.IGNORECASE,
            ),
            "top": re.compile(
                rf" ?-?(?:(?:(?:in )?(?:diameter|wide|across) )?{_END_OF}(?:top|rim|opening|mouth)"
                r"(?: diameter| width)?|(?:in )?(?:dia\.?|diam\.?|diameter)|across)(?![^\W_])",
                re.IGNORECASE,
            ),
            "height": re.compile(
                r" ?-?(?:in )?(?:deep|high|tall|height|depth)(?![^\W_])", re.IGNORECASE
            ),
            "length": re.compile(r" ?-?(?:in )?(?:long|length)(?![^\W_])", re.IGNORECASE),
            "width": re.compile(r" ?-?(?:in )?(?:wide|width)(?![^\W_])", re.IGNORECASE),
        },
        joint=re.compile(r" ?(?:x|by) ?(?=[\dDdHhLlWwØ.])", re.IGNORECASE),
        trade_shapes={
            TradeShape.PAN: _any_of("bulb pan|bulb pans|pan|pans|half pot|half pots"),
            TradeShape.AZALEA: _any_of("azalea pot|azalea|azaleas|three quarter pot"),
            TradeShape.STANDARD: _any_of("standard pot|standard|full pot"),
        },
        shapes={
            Shape.OVAL: _any_of("oval|ovals|elliptical|ellipse"),
            Shape.CYLINDER: _any_of("cylinder|cylindrical|straight sided|tube"),
            Shape.BOX: _any_of(
                "box|boxes|square|rectangular|rectangle|window box|trough|troughs|cube|crate"
            ),
            Shape.ROUND: _any_of("round|circular|tapered|tapering|cone|conical"),
        },
        materials={
            Material.GLAZED: _any_of("glazed|ceramic|ceramics|porcelain|stoneware|china"),
            Material.TERRACOTTA: _any_of("terracotta|terra cotta|clay|unglazed|earthenware"),
            Material.PLASTIC: _any_of("plastic|nursery|grower's|growers|grow pot|polypropylene"),
            Material.FABRIC: _any_of("fabric|felt|grow bag|grow bags|cloth"),
            Material.WOOD: _any_of("wood|wooden|timber|bamboo|cedar"),
            Material.METAL: _any_of(
                "metal|zinc|tin|steel|galvanised|galvanized|copper|iron|enamel|enamelled|brass"
            ),
            Material.GLASS: _any_of("glass"),
            Material.CONCRETE: _any_of("concrete|cement|stone"),
            Material.FIBREGLASS: _any_of("fibreglass|fiberglass|resin|fibre clay|fiber clay"),
            Material.BASKET: _any_of("hanging basket|basket|wicker|rattan|coir|wire"),
        },
        depths={
            DepthWord.SHALLOW: _any_of("shallow|low|squat|bowl"),
            DepthWord.USUAL: _any_of("usual|usual depth|normal depth|normal"),
            DepthWord.DEEP: _any_of("deep|tall|long tom|rose pot|high"),
        },
        nouns=_any_of(
            "pot|pots|flower pot|plant pot|planter|planters|container|containers|tub|tubs|urn|"
            "bulb pan|bulb pans|bowl|grow bag|window box|hanging basket|trough|bucket|cachepot|"
            "jar|vase|mug|jardiniere"
        ),
        elsewhere=_any_of("from|away|off|behind|between|window|windows|sill|shelf|lamp|radiator"),
        fillers=_any_of(
            "a|an|the|in|with|of|and|its|it|it's|is|has|that|about|around|size|sized|by|wide|or so|"
            "one|single|trade|depth|diameter|circumference|measures|measuring|"
            "black|white|blue|green|red|brown|grey|gray|yellow|pink|orange|cream|beige|purple|"
            "saucer|with saucer|no saucer|without saucer|without a saucer|"
            "old|new|big|large|small|little|tiny|huge|nice|pretty|plain|heavy|light"
        ),
    )
}
