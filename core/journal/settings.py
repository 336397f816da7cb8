"""How a household wants to be spoken to and where it lives, as kept beside its row."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from functools import cache, lru_cache

from pydantic import TypeAdapter

from core.care.glass import Glazing
from core.care.season import Hemisphere
from core.care.units import System


@dataclass(frozen=True, slots=True)
class Room:
    """What was told of a room, or its sensor shows: C by day and at night, the kind of window.

    `key` is its name as rooms are compared; `curtain`: whether one is drawn at night with the
    plants between it and the glass.
    """

    key: str
    celsius: float | None = None
    night_c: float | None = None
    glazing: Glazing | None = None
    curtain: bool | None = None


@dataclass(frozen=True, slots=True)
class Settings:
    """Units for volumes and sizes, language, half of the world; what is said unasked, and when.

    `hemisphere` decides which months are winter; it is taken from the time zone until told.
    Hours are on the household's wall, None: never. Eight is when a household is up, seven in the
    evening when it is home (ours). `away`: first and last day of each absence. `rooms`: the order
    in which they are walked, as far as it was told. `air`: what is known of rooms.
    """

    units: System = System.METRIC
    language: str = "en"
    hemisphere: Hemisphere = Hemisphere.NORTH
    morning: time | None = time(8)
    evening: time | None = time(19)
    quiet: tuple[time, time] | None = (time(21), time(7))
    away: tuple[tuple[date, date], ...] = ()
    rooms: tuple[str, ...] = ()
    air: tuple[Room, ...] = ()

    def room(self, key: str) -> Room:
        """What is known of a room."""
        return next((one for one in self.air if one.key == key), Room(key))

    asked: bool = False  # whether zone and units were asked for, at the first contact


@cache
def _adapter() -> TypeAdapter[Settings]:
    return TypeAdapter(Settings)


@lru_cache(maxsize=256)
def read(text: str) -> Settings:
    """Settings from a household's JSON text."""
    return _adapter().validate_json(text)


def write(settings: Settings) -> str:
    """Settings as JSON text."""
    return _adapter().dump_json(settings).decode()
