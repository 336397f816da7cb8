"""How cold a night gets outside, told by people or by a forecast, and whom it endangers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
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
    place = place_of(plant.state.spot, room.glazing or ASSUMED)
    feared = chill(bears, place, celsius, night_c(room))
    return None if feared is not None and feared.danger is Danger.SLOW else feared


def unsure(tx: Connection, household_id: int, celsius: float) -> list[Endangered]:
    """Plants that are safe at the window that is assumed, but not if it has one pane.

    Only of rooms of whose window nobody told. Each with what one pane would do to it.
    """
    ways = ways_of(tx, household_id)
    found = []
    for plant in plants.living(tx, household_id):
        room = ways.room(name_key(plant.room))
        if room.glazing is not None or not plant.room:
            continue
        worst = _feared(plant, replace(room, glazing=Glazing.ONE_PANE), celsius)
        if worst is not None and worst.danger is Danger.GLASS:
            assumed = _feared(plant, room, celsius)
            if assumed is None or assumed.danger is not Danger.GLASS:
                found.append(Endangered(plant, worst, room))
    return found


def ways_of(tx: Connection, household_id: int) -> Settings:
    """The household's settings."""
    found = forecasts.watched(tx, household_id)
    return settings.read(found.settings if found is not None else "{}")


def night_c(room: Room) -> float:
    """How warm a room is at night: as told, else a little less than by day, else as usual."""
    if room.night_c is not None:
        return room.night_c
    return USUAL_ROOM_C if room.celsius is None else room.celsius - SETBACK_K


def place_of(spot: Spot, glazing: Glazing = ASSUMED) -> Place:
    """A spot as the cold sees it, as far as it was told."""
    return Place(
        distance_m=spot.distance_m,
        outdoors=spot.outdoors,
        at_window=bool(spot.facing) or spot.distance_m is not None,
        behind_curtain=spot.curtain and "behind" in spot.said.casefold(),
        glazing=glazing,
    )
