"""What is told of a room: its air, how cold it gets at night, its window; by people or sensors.

What lasts is kept with the household's settings; a measured humidity is an event, from which all
pots' drying learns.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Final

from sqlalchemy import Connection

from core.actions.households import change_settings
from core.care.glass import Glazing
from core.journal import plants, record
from core.journal.events import Aired
from core.journal.ledger import Teller
from core.journal.plants import name_key
from core.journal.portrait import Home
from core.journal.settings import Room, Settings

# Rooms in which people live and plants stand are within these (ours); others are slips.
COLDEST_C, HOTTEST_C = -20.0, 50.0
_MOST_ROOMS: Final = 60


def names(tx: Connection, household_id: int) -> dict[str, str]:
    """The rooms in which plants stand: as they are compared -> as first written."""
    found: dict[str, str] = {}
    for one in plants.names(tx, household_id):
        if one.room:
            found.setdefault(name_key(one.room), one.room)
    return found


def describe(
    tx: Connection,
    household_id: int,
    ways: Settings,
    room: str,
    *,
    night_c: float | None = None,
    glazing: Glazing | None = None,
    celsius: float | None = None,
    curtain: bool | None = None,
) -> Settings:
    """Keep what lasts of a room; None leaves it as it was. The settings afterwards."""
    before = ways.room(name_key(room))
    after = replace(
        before,
        night_c=before.night_c if night_c is None else night_c,
        glazing=before.glazing if glazing is None else glazing,
        celsius=before.celsius if celsius is None else celsius,
        curtain=before.curtain if curtain is None else curtain,
    )
    if after == before:
        return ways
    changed = replace(ways, air=_with(ways.air, after))
    change_settings(tx, household_id, changed)
    return changed


def _with(air: tuple[Room, ...], room: Room) -> tuple[Room, ...]:
    return (*(one for one in air if one.key != room.key), room)[-_MOST_ROOMS:]


def aired(
    tx: Connection,
    teller: Teller,
    ways: Settings,
    room: str,
    celsius: float,
    humidity: float | None,
    at: datetime | None = None,
) -> Settings:
    """A room's air was measured; the settings afterwards."""
    ways = describe(tx, teller.household_id, ways, room, celsius=round(celsius, 1))
    record.tell_home(tx, teller, Home.of(ways), Aired(room, celsius, humidity), at)
    return ways
