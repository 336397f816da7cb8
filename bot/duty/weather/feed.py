"""The feed: areas that are due are asked for, one after the other, and what comes is kept.

An area is claimed in the database before it is asked for, so that of several workers one asks.
After several failures in a row the service is left alone for a while, whatever the area.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from random import random

import aiohttp

from bot.duty.weather.asking import NotToldError, Unchanged, ask
from bot.duty.weather.metnorway import MetNorway
from bot.duty.weather.nws import WeatherGov
from bot.duty.weather.openmeteo import OpenMeteo
from bot.duty.weather.service import WeatherService
from bot.duty.workroom import LATER, ClosedError, Workroom
from bot.environment import WeatherSettings
from bot.logs import Log
from bot.tally import Tally
from core.actions import weather
from core.actions.weather import Service
from core.store import forecasts
from core.store.engine import Store
from core.store.forecasts import Kept

log = Log(__name__)

# In seconds: how often due areas are looked for, and the least between two calls of ours.
LOOK_EVERY, BETWEEN = 5.0, 1.0
# What we read is GeoJSON or plain JSON; the NWS has other shapes for who asks for others.
_ACCEPT = "application/geo+json, application/json;q=0.9"
# Whoever claimed an area and died is forgotten after this.
_CLAIMED_FOR = timedelta(minutes=5)
# So many failures in a row, at any areas, and the service is left alone so long.
MOST_FAILURES, ALONE_FOR = 3, timedelta(minutes=10)

_SERVICES: dict[Service, Callable[..., WeatherService]] = {
    Service.OPEN_METEO: OpenMeteo,
    Service.MET_NORWAY: MetNorway,
    Service.NWS: WeatherGov,
}


def service_of(told: WeatherSettings) -> WeatherService:
    """The service that the settings name, at its own address unless they say another."""
    make = _SERVICES[told.service]
    return make(told.url) if told.url else make()


@dataclass(slots=True)
class Feed:
    """Keeps the forecasts of all wanted areas fresh."""

    told: WeatherSettings
    store: Store
    room: Workroom
    now: Callable[[], datetime]
    tally: Tally
    between: float = BETWEEN
    look_every: float = LOOK_EVERY
    chance: Callable[[], float] = random
    _in_a_row: int = 0
    _not_before: datetime | None = None
    _service: WeatherService = field(init=False)

    def __post_init__(self) -> None:
        self._service = service_of(self.told)

    async def run(self) -> None:
        """Ask for what is due, until cancelled."""
        headers = {"User-Agent": self.told.agent, "Accept": _ACCEPT}
        async with aiohttp.ClientSession(headers=headers) as session:
            while True:
                try:
                    asked = await self.once(session)
                except ClosedError:
                    return
                except Exception:
                    log.exception("the weather could not be asked for; trying again")
                    asked = False
                await asyncio.sleep(self.between if asked else self.look_every)

    async def once(self, session: aiohttp.ClientSession) -> bool:
        """Ask for one area, if one is due; whether one was."""
        now = self.now()
        if self._not_before is not None and now < self._not_before:
            return False
        due = await self.room.run(lambda: self._claim(now), LATER)
        if due is None:
            return False
        try:
            answer = await ask(session, self._service, due, now)
        except NotToldError as error:
            await self._failed(due, error)
            return True
        self._in_a_row, self._not_before = 0, None
        await self.room.run(lambda: self._keep(due, answer), LATER)
        self.tally.count("weather", "unchanged" if isinstance(answer, Unchanged) else "told")
        return True

    def _claim(self, now: datetime) -> Kept | None:
        with self.store.read() as tx:
            if not forecasts.any_due(tx, now):
                return None
        with self.store.write() as tx:
            found = forecasts.claim(tx, self._service.name, now, now + _CLAIMED_FOR)
        return found[0] if found else None

    def _keep(self, due: Kept, answer: weather.Answer | Unchanged) -> None:
        now, jitter = self.now(), self.chance()
        with self.store.write() as tx:
            if isinstance(answer, Unchanged):
                weather.unchanged(tx, due, answer.fresh_until, now, jitter)
            else:
                weather.came(tx, due, answer, now, jitter)

    async def _failed(self, due: Kept, error: NotToldError) -> None:
        self.tally.count("weather", "failed")
        self._in_a_row += 1
        if self._in_a_row >= MOST_FAILURES:
            self._not_before = self.now() + ALONE_FOR
        # Where it is stays out of the log: an area says where somebody lives.
        log.warning("no forecast", service=self._service.name, why=str(error))

        def keep() -> None:
            with self.store.write() as tx:
                now, jitter = self.now(), self.chance()
                weather.failed(tx, due, str(error), error.pause, now, jitter)
                if error.moved:
                    forecasts.change(tx, due.id, link=None, etag=None, modified=None)

        await self.room.run(keep, LATER)
