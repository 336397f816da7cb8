"""The watch over the nights and days to come: when a household's plants are looked after unasked.

In the afternoon, well before dark, and twice more while something can still be done, so that a
forecast that changed is noticed. Only households that are told of weather have a watch.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from core.actions import coldwatch, heatwatch, highs, lows, rounds, weather
from core.actions.here import Here
from core.care import wallclock
from core.journal import settings
from core.journal.settings import Settings
from core.store import forecasts
from core.store.forecasts import Watched
from core.store.people import PLAN_ANEW, Present

# Well before dark even in a northern winter, then as people come home, then while they are up
# (ours). Where all of these are quiet hours, those of the morning.
LOOKS: Final = (time(14), time(17), time(20))
_ELSE: Final = (time(9), time(11))
# The night that is on is never warned of: who would be woken by it (ours).
_AFTER_NOON: Final = time(12)
_DAYS_LOOKED_AT: Final = 2
# No look at a forecast is planned later than this; one that is was planned by a clock ahead.
FURTHEST: Final = timedelta(hours=50)


def plan(tx: Connection, household_id: int, now: datetime) -> None:
    """Work out when a household is looked after next, by what it is told of."""
    found = forecasts.watched(tx, household_id)
    if found is not None:
        forecasts.set_watch(tx, household_id, _next(tx, found, now))


def _next(tx: Connection, found: Watched, now: datetime) -> datetime | None:
    ways, zone = settings.read(found.settings), ZoneInfo(found.zone)
    today = wallclock.day_of(now, zone)
    day = today if found.area is not None else _next_told(tx, found.id, today)
    if day is None:
        return None
    days = [day + timedelta(days=n) for n in range(_DAYS_LOOKED_AT)]
    ahead = [at for one in days for at in _looks(ways, zone, one) if at > now]
    return min(ahead, default=None)


def _next_told(tx: Connection, household_id: int, today: date) -> date | None:
    """The first day whose night was told of, or the day before one whose heat was."""
    hot = highs.next_told(tx, household_id, today + timedelta(days=1))
    days = [lows.next_told(tx, household_id, today), hot - timedelta(days=1) if hot else None]
    return min((day for day in days if day is not None), default=None)


def _looks(ways: Settings, zone: ZoneInfo, day: date) -> list[datetime]:
    """A day's moments outside the quiet hours."""
    for hours in (LOOKS, _ELSE):
        moments = [wallclock.moment_of(day, hour, zone) for hour in hours]
        heard = [at for at in moments if not wallclock.is_quiet(ways.quiet, zone, at)]
        if heard:
            return heard
    return []


def due(tx: Connection, household_id: int, now: datetime) -> None:
    """A household's watch is due: look, and plan the next.

    However late it is found, only what is still to come is spoken of, and only while it can be
    heard.
    """
    found = forecasts.watched(tx, household_id)
    if found is None or found.watch_at is None or now < found.watch_at <= now + FURTHEST:
        return
    plan(tx, household_id, now)
    here = rounds.here(tx, household_id, now)
    if found.watch_at == PLAN_ANEW or found.watch_at > now:
        return  # the hours or the zone changed, a clock ran ahead: this was only to plan anew
    if here is not None and _of_use(here) and not rounds.is_away(tx, here):
        _look(tx, here)


def _of_use(here: Here) -> bool:
    """Tonight is still ahead, and somebody may be spoken to."""
    ways, wall = here.ways, here.now.astimezone(here.zone).time()
    quiet = wallclock.is_quiet(ways.quiet, here.zone, here.now)
    late_enough = wall >= _AFTER_NOON or not _afternoons(ways, here.zone, here.day)
    return not quiet and late_enough


def _afternoons(ways: Settings, zone: ZoneInfo, day: date) -> bool:
    moments = (wallclock.moment_of(day, hour, zone) for hour in LOOKS)
    return any(not wallclock.is_quiet(ways.quiet, zone, at) for at in moments)


def _look(tx: Connection, here: Here) -> None:
    coldwatch.look(tx, here)
    heatwatch.look(tx, here)


# --- what people tell ---------------------------------------------------------------------


def low_told(tx: Connection, who: Present, night: date, now: datetime) -> None:
    """Somebody told of a night. Whoever else should know hears of it, once.

    In the household's own chat all have just read it. Told elsewhere, the household hears at the
    next look, or now when the first of them is past.
    """
    plan(tx, who.household_id, now)
    here = rounds.here(tx, who.household_id, now)
    if here is None or night != lows.night_of(now, here.zone):
        return
    if here.chat_id == who.chat_id:
        coldwatch.heard(tx, here, night)
    elif _of_use(here) and _first_is_past(here):
        coldwatch.look(tx, here)


def high_told(tx: Connection, who: Present, day: date, now: datetime) -> None:
    """Somebody told of a day's heat; as with nights."""
    plan(tx, who.household_id, now)
    here = rounds.here(tx, who.household_id, now)
    if here is None:
        return
    if here.chat_id == who.chat_id:
        heatwatch.heard(tx, here, day)
    elif _of_use(here) and _first_is_past(here):
        heatwatch.look(tx, here)


def _first_is_past(here: Here) -> bool:
    return min(_looks(here.ways, here.zone, here.day), default=here.now) < here.now


def place_told(tx: Connection, who: Present, area: str | None, service: str, now: datetime) -> None:
    """A household lets a service be told of its area, or of nothing any more."""
    if area is None:
        weather.disallow(tx, who.household_id)
    else:
        weather.allow(tx, who.household_id, area, service, now)
    plan(tx, who.household_id, now)
