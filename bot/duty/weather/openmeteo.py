"""Open-Meteo: worldwide, free for uses that earn nothing, up to 10,000 calls a day; CC BY 4.0.

GET /v1/forecast with hourly variables; index-aligned arrays, null where nothing is known
(documentation at open-meteo.com/en/docs, SEEN-2ND). Times are asked for as seconds since 1970 in
GMT, so that no change of the clocks can shift an hour.
"""

from __future__ import annotations

from datetime import UTC, datetime
from itertools import zip_longest
from typing import Final

from bot.duty.weather.service import Question, Shape, degrees, in_unit, shaped
from core.actions.weather import Service, hours_of
from core.care.outlook import Hour

_DAYS: Final = "4"


class _Units(Shape):
    time: str
    temperature_2m: str
    cloud_cover: str | None = None


class _Hourly(Shape):
    time: list[int]
    temperature_2m: list[float | None]
    cloud_cover: tuple[float | None, ...] = ()


class _Answer(Shape):
    hourly_units: _Units
    hourly: _Hourly


class OpenMeteo:
    """The service, at its own address or another that speaks as it does."""

    name = Service.OPEN_METEO

    def __init__(self, base: str = "https://api.open-meteo.com") -> None:
        self._base = base.rstrip("/")

    def question(self, north: float, east: float, link: str | None) -> Question:  # noqa: ARG002
        """Four days by the hour."""
        query = {
            "latitude": degrees(north),
            "longitude": degrees(east),
            "hourly": "temperature_2m,cloud_cover",
            "timeformat": "unixtime",
            "timezone": "GMT",
            "temperature_unit": "celsius",
            "forecast_days": _DAYS,
        }
        return Question(f"{self._base}/v1/forecast", query)

    def read(self, question: Question, body: bytes) -> tuple[Hour, ...]:  # noqa: ARG002
        """The hours; shorter arrays are missing values. Raises UnreadableError."""
        told = shaped(_Answer, body)
        units, hourly = told.hourly_units, told.hourly
        in_unit("time", units.time, "unixtime")
        in_unit("temperature_2m", units.temperature_2m, "°C")
        clouds = hourly.cloud_cover if units.cloud_cover == "%" else ()
        rows = zip_longest(hourly.time, hourly.temperature_2m, clouds)
        return hours_of(
            (datetime.fromtimestamp(at, UTC), celsius, cloud)
            for at, celsius, cloud in rows
            if at is not None
        )
