"""The facts a journal keeps, each with its body and the version of the body's shape.

Bodies are plain frozen dataclasses; they are written as JSON with the kind and the version
beside them, so that an old journal can still be read when a shape grows.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cache
from typing import Any, ClassVar

from pydantic import TypeAdapter

from core.care.potsaid import PotSaid
from core.care.reading import Found


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a plant stands, as far as it was told. Distance in metres; facing N, NE, E, ..."""

    room: str = ""
    facing: str = ""
    distance_m: float | None = None
    light: str = ""  # a light class that was said outright
    curtain: bool = False
    outdoors: bool = False
    said: str = ""


@dataclass(frozen=True, slots=True)
class Body:
    """What all bodies share: a kind that never changes and the version of their shape."""

    kind: ClassVar[str]
    version: ClassVar[int] = 1


@dataclass(frozen=True, slots=True)
class Arrived(Body):
    """A plant came into the household's care. `fresh`: bought or repotted just now."""

    kind: ClassVar[str] = "arrived"
    name: str
    species_id: str = ""
    species_said: str = ""
    pot: PotSaid | None = None
    mix: str = ""
    spot: Spot = field(default_factory=Spot)
    bought: bool = False
    repotted: bool = False
    terrarium: bool | None = None


@dataclass(frozen=True, slots=True)
class Described(Body):
    """Something about a plant was told or corrected; None leaves it as it was."""

    kind: ClassVar[str] = "described"
    name: str | None = None
    species_id: str | None = None
    species_said: str | None = None
    pot: PotSaid | None = None
    depth: str | None = None  # shallow, usual, deep
    hole: bool | None = None
    outer: bool | None = None
    self_watering: bool | None = None
    mix: str | None = None
    wet_kg: float | None = None
    dry_kg: float | None = None
    resting: bool | None = None
    terrarium: bool | None = None


@dataclass(frozen=True, slots=True)
class Moved(Body):
    """A plant stands somewhere else now."""

    kind: ClassVar[str] = "moved"
    spot: Spot


@dataclass(frozen=True, slots=True)
class Checked(Body):
    """Somebody probed."""

    kind: ClassVar[str] = "checked"
    found: Found


@dataclass(frozen=True, slots=True)
class Poured(Body):
    """Water was given. Litres; None where nobody said how much."""

    kind: ClassVar[str] = "poured"
    litres: float | None = None
    run_off_l: float | None = None
    way: str = ""
    portions_l: tuple[float, ...] = ()
    extent: str = "through"  # sip, half, through
    full: bool = False  # it was given all it could take
    unseen: bool = False  # by somebody who didn't tell; the moment is a likely one


@dataclass(frozen=True, slots=True)
class Drained(Body):
    """Standing water was taken away from saucer or outer pot: a removal, not a watering."""

    kind: ClassVar[str] = "drained"
    litres: float | None = None


@dataclass(frozen=True, slots=True)
class Postponed(Body):
    """Not today: probe again at a time that a person chose; or do an act (turn, wipe, ...) then."""

    kind: ClassVar[str] = "postponed"
    until: datetime
    act: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Tended(Body):
    """Turned, wiped, fed or scouted; `note` keeps what was said, `found`: pests, most likely."""

    kind: ClassVar[str] = "tended"
    act: str
    note: str = ""
    found: bool = False


@dataclass(frozen=True, slots=True)
class Looked(Body):
    """Somebody looked into why a pot dries unlike itself. `found`: moved, fine, soft, full."""

    kind: ClassVar[str] = "looked"
    found: str = "fine"


@dataclass(frozen=True, slots=True)
class Pictured(Body):
    """Somebody sent a picture, kept in the row `photo`; `note` is what they wrote under it."""

    kind: ClassVar[str] = "pictured"
    photo: int
    note: str = ""


@dataclass(frozen=True, slots=True)
class Repotted(Body):
    """A plant has a new pot or fresh mix."""

    kind: ClassVar[str] = "repotted"
    pot: PotSaid | None = None
    mix: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Left(Body):
    """A plant left the household's care: died, given away, sold."""

    kind: ClassVar[str] = "left"
    reason: str = ""


@dataclass(frozen=True, slots=True)
class LowTold(Body):
    """Somebody told how cold a night gets outside; the night begins in the evening of `night`."""

    kind: ClassVar[str] = "low"
    night: date
    celsius: float


@dataclass(frozen=True, slots=True)
class HighTold(Body):
    """Somebody told how hot it gets outside on a day."""

    kind: ClassVar[str] = "high"
    day: date
    celsius: float


@dataclass(frozen=True, slots=True)
class Aired(Body):
    """Somebody, or a sensor, told how warm and how humid (0 to 100 %) a room is."""

    kind: ClassVar[str] = "aired"
    room: str
    celsius: float
    humidity: float | None = None


@dataclass(frozen=True, slots=True)
class Undone(Body):
    """Events were taken back by whoever told them."""

    kind: ClassVar[str] = "undone"
    events: tuple[int, ...]


KINDS: dict[str, type[Body]] = {
    body.kind: body
    for body in (
        Arrived,
        Described,
        Moved,
        Checked,
        Poured,
        Drained,
        Postponed,
        Tended,
        Looked,
        Pictured,
        Repotted,
        Left,
        LowTold,
        HighTold,
        Aired,
        Undone,
    )
}


class UnknownEventError(ValueError):
    """The journal holds a kind or version that this program doesn't know: it is newer."""


@cache
def _adapter(kind: str) -> TypeAdapter[Any]:
    return TypeAdapter(KINDS[kind])


def write(body: Body) -> str:
    """A body as JSON text."""
    return _adapter(body.kind).dump_json(body, exclude_defaults=True).decode()


def read(kind: str, version: int, text: str) -> Body:
    """A body from JSON text. Raises UnknownEventError for what a newer program wrote."""
    shape = KINDS.get(kind)
    if shape is None or version > shape.version:
        raise UnknownEventError(f"{kind} {version}")
    body: Body = _adapter(kind).validate_json(text)
    return body
