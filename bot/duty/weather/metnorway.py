"""MET Norway's Locationforecast 2.0: worldwide, CC BY 4.0, who asks must name themselves.

GET /weatherapi/locationforecast/2.0/compact; GeoJSON with properties.meta.units and
properties.timeseries, by the hour for two days and a half, then every six hours (documentation at
api.met.no/doc/ForecastJSON, SEEN). At most four decimals; Expires is to be honoured and
If-Modified-Since sent.
"""

from __future__ import annotations

from pydantic import AwareDatetime

from bot.duty.weather.service import Question, Shape, degrees, in_unit, shaped
from core.actions.weather import Service, hours_of
from core.care.outlook import Hour


class _Units(Shape):
    air_temperature: str | None = None
    cloud_area_fraction: str | None = None


class _Meta(Shape):
    units: _Units


class _Details(Shape):
    air_temperature: float | None = None
    cloud_area_fraction: float | None = None


class _Instant(Shape):
    details: _Details = _Details()


class _Data(Shape):
    instant: _Instant


class _Step(Shape):
    time: AwareDatetime
    data: _Data


class _Properties(Shape):
    meta: _Meta
    timeseries: list[_Step]


class _Answer(Shape):
    properties: _Properties


class MetNorway:
    """The service, at its own address or another that speaks as it does."""

    name = Service.MET_NORWAY

    def __init__(self, base: str = "https://api.met.no") -> None:
        self._base = base.rstrip("/")

    def question(self, north: float, east: float, link: str | None) -> Question:  # noqa: ARG002
        """All steps that there are."""
        query = {"lat": degrees(north), "lon": degrees(east)}
        return Question(f"{self._base}/weatherapi/locationforecast/2.0/compact", query)

    def read(self, question: Question, body: bytes) -> tuple[Hour, ...]:  # noqa: ARG002
        """The hours. Raises UnreadableError."""
        told = shaped(_Answer, body).properties
        units = told.meta.units
        in_unit("air_temperature", units.air_temperature, "celsius")
        cloudy = units.cloud_area_fraction == "%"
        details = [(step.time, step.data.instant.details) for step in told.timeseries]
        return hours_of(
            (at, one.air_temperature, one.cloud_area_fraction if cloudy else None)
            for at, one in details
        )
