"""Where a plant stands: `north window`, `2 m from the east window`, `balcony`, `low light`.

What isn't about a window or light is taken to be the room.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.talk.grammar.quantities import Found, find_length
from core.journal.events import Spot
from core.knowledge.types import LightClass

FACING = {
    "n": "N",
    "north": "N",
    "ne": "NE",
    "northeast": "NE",
    "e": "E",
    "east": "E",
    "se": "SE",
    "southeast": "SE",
    "s": "S",
    "south": "S",
    "sw": "SW",
    "southwest": "SW",
    "w": "W",
    "west": "W",
    "nw": "NW",
    "northwest": "NW",
}
LIGHT = {
    "low": LightClass.LOW,
    "dim": LightClass.LOW,
    "dark": LightClass.LOW,
    "medium": LightClass.MEDIUM,
    "moderate": LightClass.MEDIUM,
    "bright": LightClass.BRIGHT,
    "high": LightClass.BRIGHT,
    "sunny": LightClass.SUNNY,
    "direct": LightClass.SUNNY,
    "full sun": LightClass.SUNNY,
}
OUTDOORS = frozenset({"balcony", "terrace", "patio", "garden", "outside", "outdoors", "porch"})
TOUCHING_M = 0.05
SILL_M = 0.15

_COMPASS = "north[- ]?east|north[- ]?west|south[- ]?east|south[- ]?west|north|south|east|west"
_DIRECTION = re.compile(
    rf"\b({_COMPASS}|ne|nw|se|sw|n|e|s|w)(?:[- ]?facing|ern)?\s*"
    r"(?:window|glass|sill|side|light|door|wall)s?\b"
    rf"|\b({_COMPASS})[- ]?facing\b",
    re.IGNORECASE,
)
# Alone, or for a place outdoors, a point of the compass needs no window beside it.
_ALONE = re.compile(rf"^\W*(?:facing\s+)?({_COMPASS})\W*$|\bfacing\s+({_COMPASS})\b", re.IGNORECASE)
_OUTSIDE = re.compile(rf"\b({_COMPASS})()\b", re.IGNORECASE)
_WINDOW = re.compile(r"\b(?:window|sill|glass)\b", re.IGNORECASE)
_TOUCHING = re.compile(r"\btouching\b", re.IGNORECASE)
_SILL = re.compile(r"\bsill\b", re.IGNORECASE)
_CURTAIN = re.compile(r"\bcurtain\b", re.IGNORECASE)
_LIGHT = re.compile(
    r"\b(full sun|low|dim|dark|medium|moderate|bright|high|sunny|direct)\b"
    r"(?:[- ](?:indirect[- ])?(?:light|sun|spot|place|corner))?",
    re.IGNORECASE,
)
_GLUE = re.compile(
    r"\b(?:in|on|at|by|near|from|of|the|a|an|to|next|front|behind|stands?|is|away|back|further|closer|nearer|window|sill|glass"
    r"|facing|light|spot|now|curtain|about)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class SpotSaid:
    """A spot as far as a text tells it, and whether it spoke of light or a window at all."""

    spot: Spot
    lit: bool


@dataclass(slots=True)
class _Sheet:
    """A text from which what is understood is struck out."""

    text: str

    def take(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        """Strike out the first match and hand it back."""
        match = pattern.search(self.text)
        if match is not None:
            self.text = f"{self.text[: match.start()]} {self.text[match.end() :]}"
        return match

    def room(self) -> str:
        """What is left, without the small words between."""
        return re.sub(r"\s+", " ", _GLUE.sub(" ", self.text)).strip(" ,.;:-")


def read_spot(text: str) -> SpotSaid:
    """Everything a text tells of a spot; the words left over are the room."""
    sheet = _Sheet(text.strip())
    facing = _facing(sheet)
    windowed = bool(facing) or bool(_WINDOW.search(text))
    distance_m = _distance_m(sheet) if windowed else None
    light = _light(sheet, windowed=windowed)
    room = sheet.room()
    spot = Spot(
        room=room,
        facing=facing,
        distance_m=distance_m,
        light=light,
        curtain=bool(_CURTAIN.search(text)),
        outdoors=bool(OUTDOORS & set(room.casefold().split())),
        said=text.strip(),
    )
    return SpotSaid(spot, windowed or bool(light))


def _facing(sheet: _Sheet) -> str:
    match = sheet.take(_DIRECTION) or sheet.take(_ALONE)
    if match is None and OUTDOORS & set(sheet.text.casefold().split()):
        match = sheet.take(_OUTSIDE)
    return FACING[re.sub(r"[- ]", "", (match[1] or match[2]).casefold())] if match else ""


def _distance_m(sheet: _Sheet) -> float | None:
    if sheet.take(_TOUCHING):
        return TOUCHING_M
    found = find_length(sheet.text)
    if isinstance(found, Found):
        sheet.text = found.rest
        return found.value.metres
    return SILL_M if _SILL.search(sheet.text) else None


def _light(sheet: _Sheet, *, windowed: bool) -> str:
    """A light class; "a high window" and "a low sill" speak of something else."""
    match = _LIGHT.search(sheet.text)
    if match is None:
        return ""
    word = match[1].casefold()
    if windowed and word in ("high", "low") and match[0].casefold() == word:
        return ""
    sheet.take(_LIGHT)
    return LIGHT[word].value
