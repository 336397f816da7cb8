"""How cold a night gets outside, told by people or by a forecast, and whom it endangers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from core.actions import weather
from core.care.cold import Chill, Danger, Place, chill
from core.care.outlook import MARGIN_C, night_low
from core.journal import ledger, plants
from core.journal.events import LowTold, Spot
from core.journal.ledger import Teller
from core.journal.plants import Plant
from core.journal.portrait import species_of

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
    """A plant and what the night may do to it."""

    plant: Plant
    chill: Chill


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
    found = []
    for plant in plants.living(tx, household_id):
        bears = species_of(plant.state).temperature
        feared = chill(bears, place_of(plant.state.spot), celsius)
        if feared is not None and feared.danger is not Danger.SLOW:
            found.append(Endangered(plant, feared))
    return found


def place_of(spot: Spot) -> Place:
    """A spot as the cold sees it, as far as it was told."""
    return Place(
        distance_m=spot.distance_m,
        outdoors=spot.outdoors,
        at_window=bool(spot.facing) or spot.distance_m is not None,
        behind_curtain=spot.curtain and "behind" in spot.said.casefold(),
    )
