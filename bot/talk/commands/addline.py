"""The pieces of one line that adds a plant: name, species, pot, mix, spot, in any order."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import Any

from bot.talk.grammar.pots import find_pot
from bot.talk.grammar.quantities import Found, Refusal
from bot.talk.grammar.spots import read_spot
from core.care.potsaid import PotSaid
from core.care.units import System
from core.journal.events import Spot
from core.knowledge.library import library
from core.knowledge.matching import Ask, Match, Unknown
from core.knowledge.mixes import find_mix

# Rooms people name; any other leftover may still be a room, but these are never a species.
ROOMS = frozenset(
    "attic basement bathroom bedroom cellar conservatory corridor den dining entrance entry foyer "
    "garage greenhouse guest gym hall hallway kitchen landing laundry library living lobby loft "
    "lounge nursery office pantry playroom reception shop stairs staircase studio study sunroom "
    "toilet utility veranda workshop balcony terrace patio porch garden outside outdoors".split()
)
LONGEST_NAME = 40

_SPLIT = re.compile(r"\s*[;|]\s*|,\s+|,(?!\d)|(?<!\d),")
_GROWN_IN = re.compile(r"(?P<kind>.+?)\s+(?:in|on)\s+(?:a\s+)?(?P<mix>.+)", re.IGNORECASE)
_WINDOW = re.compile(
    r"\b(?:(?:north|south)[- ]?(?:east|west)|north|south|east|west)(?:[- ]?facing|ern)?\s+"
    r"(?:window|sill|side)s?\b",
    re.IGNORECASE,
)
_GLASS = re.compile(r"(?:in )?(?:a )?(?:closed )?(?:terrarium|bottle garden)", re.IGNORECASE)
# A width in a piece whose other words we don't know, as in `12 cm Topf`.
_WIDTH = re.compile(r"\b\d+(?:[.,]\d+)?\s*(?:cm|mm|inch(?:es)?|in|\")(?!\w)", re.IGNORECASE)
_EDGES = " ,.;:-"
_BOUGHT = re.compile(r"\b(?:just|newly|freshly)?\s*(?:bought|new(?:\s+plant)?)\b", re.IGNORECASE)
_REPOTTED = re.compile(r"\b(?:just|newly|freshly)?\s*repotted\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Line:
    """What one line told of a plant; `refused` keeps a pot that makes no sense.

    `guessed`: a piece that is taken for the room because it is nothing else.
    """

    name: str
    species: Match | Ask | Unknown | None = None
    pot: PotSaid | None = None
    mix: str = ""
    spot: Spot = field(default_factory=Spot)
    bought: bool = False
    repotted: bool = False
    terrarium: bool = False
    guessed: str = ""
    refused: Refusal | None = None
    left_over: tuple[str, ...] = ()


def read_line(text: str, system: System) -> Line:
    """Take one line apart. The first piece is the name; never raises."""
    pieces = [piece.strip() for piece in _SPLIT.split(text) if piece.strip()]
    if not pieces:
        return Line("")
    line = _first(Line(""), pieces[0], system, alone=len(pieces) == 1)
    for piece in pieces[1:]:
        line = _piece(line, piece, system)
    return _named(line)


def _first(line: Line, piece: str, system: System, *, alone: bool) -> Line:
    """The name; a pot that stands with it must have a size, or `Box` could be no name."""
    if alone and (window := _WINDOW.search(piece)):
        # A length beside a window would be the distance from it; here it may be the pot's width.
        line = replace(line, spot=read_spot(window[0]).spot)
        piece = _WINDOW.sub(" ", piece)
    found = find_pot(piece, system)
    if isinstance(found, Refusal) and len(piece.split()) > 1:
        line = replace(line, refused=found)
    elif isinstance(found, Found) and found.rest.strip(_EDGES) and _sized(found.value):
        line, piece = replace(line, pot=found.value), found.rest
    piece = piece.strip(_EDGES)
    return _without_commas(line, piece) if alone else replace(line, name=_name(piece))


def _sized(pot: PotSaid) -> bool:
    return any((pot.top_m, pot.length_m, pot.volume_l, pot.trade_size, pot.base_m))


def _without_commas(line: Line, text: str) -> Line:
    """`fern boston fern bathroom north window`: name, kind and place by what is known of each."""
    words = text.split()
    place = [word for word in words if word.casefold() in ROOMS]
    named = [word for word in words if word.casefold() not in ROOMS]
    kind = find_species(" ".join(named[1:])) if len(named) > 2 else {}
    if not isinstance(kind.get("species"), (Match, Ask)) or not (place or line.spot.facing):
        return replace(line, name=_name(text))
    said = ", ".join(part for part in (" ".join(place), line.spot.said) if part)
    where = replace(line.spot, room=" ".join(place), said=said)
    return replace(line, name=_name(named[0]), spot=where, **kind)


def _piece(line: Line, piece: str, system: System) -> Line:
    line, piece = _fresh(line, piece)
    # A nursery is a room, though a nursery pot is a pot.
    found = None if piece.casefold() in ROOMS else find_pot(piece, system)
    if isinstance(found, Refusal):
        return replace(line, refused=found)
    if found is not None:
        line = replace(line, pot=_joined(line.pot, found.value))
        piece = found.rest
    piece = piece.strip(_EDGES)
    return _other(line, piece, system) if piece else line


def _joined(one: PotSaid | None, other: PotSaid) -> PotSaid:
    """Two pieces about the same pot (`15 cm pot, no hole`) make one description."""
    if one is None:
        return other
    said = {
        name: value
        for name, field_ in PotSaid.__dataclass_fields__.items()
        if (value := getattr(other, name)) != field_.default
    }
    return replace(one, **(said | {"said": f"{one.said}, {other.said}"}))


def _fresh(line: Line, piece: str) -> tuple[Line, str]:
    if _REPOTTED.search(piece):
        line, piece = replace(line, repotted=True), _REPOTTED.sub(" ", piece)
    if re.fullmatch(r"\s*(?:just\s+|newly\s+)?(?:bought|new)\s*", piece, re.IGNORECASE):
        return replace(line, bought=True), ""
    return line, piece.strip()


def _other(line: Line, piece: str, system: System) -> Line:
    """No pot: a closed glass, a mix, a place, a width among words we do not know, a kind."""
    mix = find_mix(piece) or find_mix(re.sub(r"^(?:in|with|on)\s+", "", piece, flags=re.IGNORECASE))
    if _GLASS.fullmatch(piece) or mix is not None:
        return replace(line, mix=mix.id) if mix is not None else replace(line, terrarium=True)
    spot = read_spot(piece)
    roomy = bool(ROOMS & set(piece.casefold().replace("-", " ").split()))
    if spot.lit or roomy or spot.spot.outdoors:
        sure = _no_room_after_all(line) if spot.spot.room and line.guessed else line
        return replace(sure, spot=_merged(sure.spot, spot.spot))
    width = _WIDTH.search(piece) if line.pot is None else None
    if width is not None:
        rest = f"{piece[: width.start()]} {piece[width.end() :]}".strip(_EDGES)
        line = replace(line, left_over=(*line.left_over, *([rest] if rest else [])))
        return _piece(line, width[0], system)
    return _kind_or_room(line, piece, spot.spot)


def _kind_or_room(line: Line, piece: str, spot: Spot) -> Line:
    if line.species is None:
        kind = find_species(piece)
        if not isinstance(kind["species"], Unknown) or _must_be_kind(line):
            return replace(line, **kind)
    if not line.spot.room:
        return replace(line, spot=_merged(line.spot, spot), guessed=piece)
    return replace(line, left_over=(*line.left_over, piece))


def _no_room_after_all(line: Line) -> Line:
    """The room is told now: what had been taken for it is the kind, or not understood."""
    said = ", ".join(one for one in line.spot.said.split(", ") if one != line.guessed)
    spot, guessed = replace(line.spot, room="", said=said), line.guessed
    line = replace(line, spot=spot, guessed="")
    if line.species is None:
        return replace(line, **find_species(guessed))
    return replace(line, left_over=(*line.left_over, guessed))


def _must_be_kind(line: Line) -> bool:
    """An unknown piece right after a name that is no plant's is its kind, else its room."""
    if line.spot.room:
        return True
    untold = line.pot is None and not line.mix and not line.spot.facing
    return untold and isinstance(library().find(line.name), Unknown)


def find_species(text: str) -> dict[str, Any]:
    """The kind a text names, and the mix in `moth orchid in bark`, as fields of a line."""
    match = _GROWN_IN.fullmatch(text)
    mix = find_mix(match["mix"]) if match else None
    if match is not None and mix is not None:
        return {"species": library().find(match["kind"]), "mix": mix.id}
    return {"species": library().find(text)}


def _merged(one: Spot, other: Spot) -> Spot:
    return Spot(
        room=other.room or one.room,
        facing=other.facing or one.facing,
        distance_m=other.distance_m if other.distance_m is not None else one.distance_m,
        light=other.light or one.light,
        curtain=one.curtain or other.curtain,
        outdoors=one.outdoors or other.outdoors,
        said=", ".join(said for said in (one.said, other.said) if said),
    )


def _named(line: Line) -> Line:
    """Without a species the name itself may be one: `/add boston fern`."""
    if line.species is not None or not line.name:
        return line
    meant = library().find(line.name)
    return line if isinstance(meant, Unknown) else replace(line, species=meant)


def _name(text: str) -> str:
    """A name as it will be shown: one line, first letter large, not too long."""
    name = re.sub(r"\s+", " ", text).strip()
    return (name[:1].upper() + name[1:])[:LONGEST_NAME].strip()
