"""The National Weather Service of the USA: free, for places in the USA; name and contact required.

GET /points/{lat},{lon} (at most four decimals, no zeros at the end, else it redirects) points at
the grid's own address in properties.forecastHourly; there properties.periods, each with startTime,
temperature and temperatureUnit (documentation at weather.gov/documentation/services-web-api,
SEEN-2ND). It tells no share of clouds there.
"""

from __future__ import annotations

from urllib.parse import urlsplit

from pydantic import AwareDatetime

from bot.duty.weather.service import (
    Pointed,
    Question,
    Shape,
    UnreadableError,
    degrees,
    shaped,
)
from core.actions.weather import Service, hours_of
from core.care.outlook import Hour
from core.care.units import Unit, convert

_SCALES = {"F": Unit.FAHRENHEIT, "C": Unit.CELSIUS}


class _Way(Shape):
    forecastHourly: str  # noqa: N815 - their word


class _Point(Shape):
    properties: _Way


class _Period(Shape):
    startTime: AwareDatetime  # noqa: N815 - their word
    temperature: float | None = None
    temperatureUnit: str | None = None  # noqa: N815 - their word


class _Properties(Shape):
    periods: list[_Period]


class _Answer(Shape):
    properties: _Properties


class WeatherGov:
    """The service, at its own address or another that speaks as it does."""

    name = Service.NWS

    def __init__(self, base: str = "https://api.weather.gov") -> None:
        self._base = base.rstrip("/")

    def question(self, north: float, east: float, link: str | None) -> Question:
        """The grid's forecast by the hour, or first which grid it is."""
        if link is not None:
            return Question(link)
        place = f"{degrees(north)},{degrees(east)}"
        return Question(f"{self._base}/points/{place}", forecast=False)

    def read(self, question: Question, body: bytes) -> tuple[Hour, ...] | Pointed:
        """The hours, or where they are: only ever on the same server. Raises UnreadableError."""
        if not question.forecast:
            return self._pointed(shaped(_Point, body).properties.forecastHourly)
        periods = shaped(_Answer, body).properties.periods
        return hours_of((one.startTime, _celsius(one), None) for one in periods)

    def _pointed(self, link: str) -> Pointed:
        here, there = urlsplit(self._base), urlsplit(link)
        if (there.scheme, there.netloc) != (here.scheme, here.netloc):
            raise UnreadableError(f"it points at another server: {there.netloc[:80]!r}")
        return Pointed(link)


def _celsius(period: _Period) -> float | None:
    if period.temperature is None:
        return None
    scale = _SCALES.get(period.temperatureUnit or "")
    if scale is None:
        raise UnreadableError(f"temperature is told in {period.temperatureUnit!r}, not in F or C")
    return convert(period.temperature, scale, Unit.CELSIUS)
