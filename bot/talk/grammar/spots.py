"""Where a plant stands: `north window`, `2 m from the east window`, `balcony`, `low light`.

What isn't about a window or light is taken to be the room.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

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
# A window is spoken of without a distance: the plant stands right in front of it.
IN_FRONT_M = 0.3

_DIRECTION = re.compile(
    r"\b(north|south|east|west|north[- ]?east|north[- ]?west|south[- ]?east|south[- ]?west|n|ne|e|se|s|sw|w|nw)"
    r"(?:[- ]?facing|ern)?\s*(?:window|glass|sill|side|light|door|wall)s?\b"
    r"|\b(north|south|east|west|north[- ]?east|north[- ]?west|south[- ]?east|south[- ]?west)[- ]?facing\b",
    re.IGNORECASE,
)
_WINDOW = re.compile(r"\b(?:window|sill|glass)\b", re.IGNORECASE)
_LIGHT = re.compile(
    r"\b(full sun|low|dim|dark|medium|moderate|bright|high|sunny|direct)\b(?:[- ](?:indirect[- ])?(?:light|sun|spot|place|corner))?",
    re.IGNORECASE,
)
_GLUE = re.compile(
    r"\b(?:in|on|at|by|near|from|of|the|a|an|to|next|front|behind|stands?|is|away|window|sill|glass"
    r"|facing|light|spot|now|curtain|about)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class SpotSaid:
    """A spot as far as a text tells it, and whether it spoke of light or a window at all."""

    spot: Spot
    lit: bool


def read_spot(text: str) -> SpotSaid:
    """Everything a text tells of a spot; the words left over are the room."""
    rest = text.strip()
    spot = Spot(said=rest)
    rest, spot, directed = _direction(rest, spot)
    windowed = bool(_WINDOW.search(text))
    rest, spot = _distance(rest, spot, windowed or directed)
    rest, spot, lit = _light(rest, spot, directed or windowed)
    if re.search(r"\bcurtain\b", text, re.IGNORECASE):
        spot = replace(spot, curtain=True)
    room = re.sub(r"\s+", " ", _GLUE.sub(" ", rest)).strip(" ,.;:-")
    if OUTDOORS & set(room.casefold().split()):
        spot = replace(spot, outdoors=True)
    return SpotSaid(replace(spot, room=room), directed or windowed or lit)


def _direction(text: str, spot: Spot) -> tuple[str, Spot, bool]:
    match = _DIRECTION.search(text)
    if match is None:
        return text, spot, False
    word = re.sub(r"[- ]", "", (match[1] or match[2]).casefold())
    rest = f"{text[: match.start()]} {text[match.end() :]}"
    return rest, replace(spot, facing=FACING[word]), True


def _distance(text: str, spot: Spot, windowed: bool) -> tuple[str, Spot]:
    if not windowed:
        return text, spot
    if re.search(r"\btouching\b", spot.said, re.IGNORECASE):
        return re.sub(r"\btouching\b", " ", text, flags=re.IGNORECASE), replace(
            spot, distance_m=TOUCHING_M
        )
    found = find_length(text)
    if isinstance(found, Found):
        return found.rest, replace(spot, distance_m=found.value.metres)
    if re.search(r"\bsill\b", spot.said, re.IGNORECASE):
        return text, replace(spot, distance_m=SILL_M)
    return text, spot


def _light(text: str, spot: Spot, windowed: bool) -> tuple[str, Spot, bool]:
    match = _LIGHT.search(text)
    if match is None:
        return text, spot, False
    word = match[1].casefold()
    bare = match[0].casefold() == word
    if bare and windowed and word in ("high", "low"):
        return text, spot, False
    rest = f"{text[: match.start()]} {text[match.end() :]}"
    return rest, replace(spot, light=LIGHT[word].value), True
