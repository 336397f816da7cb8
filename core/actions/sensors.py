"""Sensors in rooms: each has a secret address; once a day what it told goes into the journal.

Every reading is kept only as the last one and as sums since that day's entry: the drying clock
turns within days, and a journal is for what happened.
"""

from __future__ import annotations

import hashlib
import hmac
import json
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final

from sqlalchemy import Connection

from core.actions import lows, rooms
from core.care.drydown.vapour import deficit_kpa, saturation_kpa
from core.journal.ledger import Teller
from core.store import sensors
from core.store.engine import lock_household
from core.store.sensors import Known

# More often than this nothing new is learned (ours).
LEAST_BETWEEN: Final = timedelta(seconds=30)
MOST_OF_A_HOUSEHOLD: Final = 30
_DAY: Final = timedelta(days=1)
_NIGHT_STEP_C: Final = 0.5


class Heard(StrEnum):
    """What became of a reading."""

    KEPT = "kept"
    UNKNOWN = "unknown"
    TOO_SOON = "too-soon"


@dataclass(frozen=True, slots=True)
class Reading:
    """Air as a sensor tells it: C, and a relative humidity from 1 to 100 %, or None."""

    celsius: float
    humidity: float | None = None


@dataclass(frozen=True, slots=True)
class Tally:
    """The last reading, and sums of all since the journal's last entry (seconds since 1970)."""

    celsius: float | None = None
    humidity: float | None = None
    written: float | None = None
    count: int = 0
    warmth: float = 0.0
    humid: int = 0
    deficit: float = 0.0
    coldest: float | None = None

    def plus(self, told: Reading) -> Tally:
        """With one reading more."""
        dry = 0.0 if told.humidity is None else deficit_kpa(told.celsius, told.humidity)
        return replace(
            self,
            celsius=told.celsius,
            humidity=told.humidity,
            count=self.count + 1,
            warmth=self.warmth + told.celsius,
            humid=self.humid + (told.humidity is not None),
            deficit=self.deficit + dry,
            coldest=min(told.celsius, self.coldest if self.coldest is not None else told.celsius),
        )

    @property
    def mean(self) -> Reading:
        """All of it as one reading that dries a pot as much as they did together."""
        celsius = self.warmth / self.count
        if not self.humid:
            return Reading(celsius)
        dry = self.deficit / self.humid
        humidity = 100 * (1 - dry / saturation_kpa(celsius))
        return Reading(celsius, min(100.0, max(1.0, humidity)))


def digest(secret: str) -> str:
    """What is kept of a secret."""
    return hashlib.sha256(secret.encode()).hexdigest()


def make(tx: Connection, household_id: int, room: str, secret: str, now: datetime) -> bool:
    """A sensor for a room, under a fresh secret; False when the household has too many."""
    if len(sensors.of_household(tx, household_id)) >= MOST_OF_A_HOUSEHOLD:
        return False
    sensors.put(tx, household_id, room, digest(secret), now)
    return True


def last_of(sensor: Known) -> Reading | None:
    """The last reading of a sensor."""
    tally = _tally(sensor)
    return None if tally.celsius is None else Reading(tally.celsius, tally.humidity)


def _tally(sensor: Known) -> Tally:
    return Tally(**json.loads(sensor.state))


def hear(tx: Connection, secret: str, told: Reading, now: datetime) -> Heard:
    """A sensor told of its room's air."""
    key = digest(secret)
    found = sensors.by_digest(tx, key)
    if found is None or not hmac.compare_digest(found.digest, key):
        return Heard.UNKNOWN
    lock_household(tx, found.household_id)
    sensor = sensors.get(tx, found.id)
    if sensor is None:
        return Heard.UNKNOWN
    if sensor.heard_at is not None and timedelta(0) <= now - sensor.heard_at < LEAST_BETWEEN:
        return Heard.TOO_SOON
    tally = _tally(sensor).plus(told)
    if tally.written is None or not 0 <= now.timestamp() - tally.written < _DAY.total_seconds():
        _write(tx, sensor, tally, now)
        tally = Tally(told.celsius, told.humidity, written=now.timestamp())
    sensors.note(tx, sensor.id, now, json.dumps(asdict(tally)))
    return Heard.KEPT


def _write(tx: Connection, sensor: Known, tally: Tally, now: datetime) -> None:
    """The day's air into the journal, and what it says of the room's nights."""
    household, mean = sensor.household_id, tally.mean
    ways = lows.ways_of(tx, household)
    teller = Teller(household, None, now)
    ways = rooms.aired(tx, teller, ways, sensor.room, mean.celsius, mean.humidity)
    if tally.written is not None and tally.coldest is not None:
        night_c = round(tally.coldest / _NIGHT_STEP_C) * _NIGHT_STEP_C
        rooms.describe(tx, household, ways, sensor.room, night_c=night_c)
