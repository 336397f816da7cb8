"""How cold a night gets outside, told by people or by a forecast, and whom it endangers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Final
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from core.actions import weather
from core.care.cold import Chill, Danger, Place, chill
from core.care.glass import ASSUMED, SETBACK_K, USUAL_ROOM_C, Glazing
from core.care.outlook import MARGIN_C, night_low
from core.journal import ledger, plants, settings
from core.journal.events import LowTold, Spot
from core.journal.ledger import Teller
from core.journal.plants import Plant, name_key
from core.journal.portrait import species_of
from core.journal.settings import Room, Settings
from core.store import forecasts

# Before this hour of the day, the night that is on began yesterday (ours).
_NIGHT_ENDS_HOUR: Final = 6
# So many lows are looked through for a night; nobody tells more of them ahead.
_MOST_TOLD: Final = 60


@dataclass(frozen=True, slots=True)
class Known:
    """A night's low: C, when it was told, by whom, or by the forecast of which service."""

    night: date
    celsius: float
    person_id: int | None
    told_at: datetime
    credit: str = ""

    @property
    def reckoned_c(self) -> float:
        """What is reckoned with: a forecast may be off by some degrees, a person is believed."""
        return self.celsius - MARGIN_C if self.credit else self.celsius


@dataclass(frozen=True, slots=True)
class Endangered:
    """A plant, what the night may do to it, and what is known of its room."""

    plant: Plant
    chill: Chill
    room: Room


def night_of(moment: datetime, zone: ZoneInfo) -> date:
    """The day in whose evening the night begins that is on or comes next."""
    here = moment.astimezone(zone)
    began_yesterday = here.hour < _NIGHT_ENDS_HOUR
    return here.date() - timedelta(days=1) if began_yesterday else here.date()


def tell(tx: Connection, teller: Teller, night: date, celsius: float) -> None:
    """Keep what somebody told of a night."""
    ledger.append(tx, teller, None, LowTold(night, celsius))


def known(
    tx: Connection, household_id: int, night: date, zone: ZoneInfo, now: datetime
) -> Known | None:
    """A night's low as somebody told it last, else by a forecast that is still good; or None."""
    return _told(tx, household_id, night) or _forecast(tx, household_id, night, zone, now)


def _told(tx: Connection, household_id: int, night: date) -> Known | None:
    for entry in ledger.latest_of_kind(tx, household_id, LowTold.kind, _MOST_TOLD):
        body = entry.body
        if isinstance(body, LowTold) and body.night == night:
            return Known(night, body.celsius, entry.person_id, entry.told_at)
    return None


def _forecast(
    tx: Connection, household_id: int, night: date, zone: ZoneInfo, now: datetime
) -> Known | None:
    outlook = weather.outlook(tx, household_id, now)
    if outlook is None:
        return None
    low = night_low(outlook.hours, night, zone, outlook.fetched_at)
    if low is None:
        return None
    return Known(night, low.celsius, None, outlook.fetched_at, outlook.credit)


def next_told(tx: Connection, household_id: int, since: date) -> date | None:
    """The first night from a day on of which somebody told."""
    told = ledger.latest_of_kind(tx, household_id, LowTold.kind, _MOST_TOLD)
    nights = [one.body.night for one in told if isinstance(one.body, LowTold)]
    return min((night for night in nights if night >= since), default=None)


def endangered(tx: Connection, household_id: int, celsius: float) -> list[Endangered]:
    """Plants that such a night may harm, room by room."""
    ways = ways_of(tx, household_id)
    found = []
    for plant in plants.living(tx, household_id):
        room = ways.room(name_key(plant.room))
        feared = _feared(plant, room, celsius)
        if feared is not None:
            found.append(Endangered(plant, feared, room))
    return found


def _feared(plant: Plant, room: Room, celsius: float) -> Chill | None:
    bears = species_of(plant.state).temperature
    place = place_of(plant.state.spot, room.glazing or ASSUMED, curtain=bool(room.curtain))
    feared = chill(bears, place, celsius, night_c(room))
    return None if feared is not None and feared.danger is Danger.SLOW else feared


class Fact(StrEnum):
    """What of a room may decide whether a night harms its plants."""

    GLAZING = "glazing"
    CURTAIN = "curtain"
    NIGHT = "night"


# The worst that each may be: one pane, plants shut in with it, the heating turned down (ours).
_COLD_NIGHT_C: Final = 14.0


def _at_worst(room: Room, fact: Fact) -> Room | None:
    """The room if one thing that nobody told is as bad as can be; None where it was told."""
    if fact is Fact.GLAZING:
        return replace(room, glazing=Glazing.ONE_PANE) if room.glazing is None else None
    if fact is Fact.CURTAIN:
        return replace(room, curtain=True) if room.curtain is None else None
    known = room.night_c is not None or room.celsius is not None
    return None if known else replace(room, night_c=_COLD_NIGHT_C)


def unsure(tx: Connection, household_id: int, celsius: float) -> list[tuple[Fact, Endangered]]:
    """Plants that are safe as far as is known of their rooms, but not if one thing is otherwise.

    Each with that thing and what it would then do.
    """
    ways = ways_of(tx, household_id)
    found = []
    for plant in plants.living(tx, household_id):
        room = ways.room(name_key(plant.room))
        if not plant.room or _by_glass(_feared(plant, room, celsius)):
            continue
        for fact in Fact:
            worst = _at_worst(room, fact)
            feared = _feared(plant, worst, celsius) if worst is not None else None
            if feared is not None and _by_glass(feared):
                found.append((fact, Endangered(plant, feared, room)))
    return found


def _by_glass(feared: Chill | None) -> bool:
    return feared is not None and feared.danger is Danger.GLASS


def ways_of(tx: Connection, household_id: int) -> Settings:
    """The household's settings."""
    found = forecasts.watched(tx, household_id)
    return settings.read(found.settings if found is not None else "{}")


def night_c(room: Room) -> float:
    """How warm a room is at night: as told, else a little less than by day, else as usual."""
    if room.night_c is not None:
        return room.night_c
    return USUAL_ROOM_C if room.celsius is None else room.celsius - SETBACK_K


def place_of(spot: Spot, glazing: Glazing = ASSUMED, *, curtain: bool = False) -> Place:
    """A spot as the cold sees it. `curtain`: one is drawn at night between plants and room."""
    return Place(
        distance_m=spot.distance_m,
        outdoors=spot.outdoors,
        at_window=bool(spot.facing) or spot.distance_m is not None,
        behind_curtain=curtain or (spot.curtain and "behind" in spot.said.casefold()),
        glazing=glazing,
    )
