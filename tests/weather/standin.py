"""A weather service on loopback that speaks as one of the three does, and fails when told to.

Shapes: Open-Meteo's documentation (SEEN-2ND), api.met.no/doc/ForecastJSON (SEEN), answers of
api.weather.gov quoted in public code (SEEN-2ND). The values are ours.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable, Iterable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime
from typing import Any

from aiohttp import web

START = datetime(2026, 3, 2, 6, tzinfo=UTC)
Values = Iterable[tuple[datetime, float | None, float | None]]


def hourly(
    celsius: Callable[[datetime], float | None], hours: int = 72, cloud: float | None = 40.0
) -> list[tuple[datetime, float | None, float | None]]:
    """So many hours from START on."""
    moments = [START + timedelta(hours=n) for n in range(hours)]
    return [(at, celsius(at), cloud) for at in moments]


def open_meteo(values: Values, unit: str = "°C") -> dict[str, Any]:
    """GET /v1/forecast with unixtime in GMT."""
    rows = list(values)
    return {
        "latitude": 52.52,
        "longitude": 13.419998,
        "generationtime_ms": 0.07,
        "utc_offset_seconds": 0,
        "timezone": "GMT",
        "timezone_abbreviation": "GMT",
        "elevation": 38.0,
        "hourly_units": {"time": "unixtime", "temperature_2m": unit, "cloud_cover": "%"},
        "hourly": {
            "time": [int(at.timestamp()) for at, _, _ in rows],
            "temperature_2m": [celsius for _, celsius, _ in rows],
            "cloud_cover": [cloud for _, _, cloud in rows],
        },
    }


def met_norway(values: Values, unit: str = "celsius") -> dict[str, Any]:
    """GET /weatherapi/locationforecast/2.0/compact."""
    steps = []
    for at, celsius, cloud in values:
        details = {"air_pressure_at_sea_level": 1012.3, "relative_humidity": 80.1}
        told = {"air_temperature": celsius, "cloud_area_fraction": cloud}
        details |= {name: value for name, value in told.items() if value is not None}
        data = {"instant": {"details": details}, "next_1_hours": {"summary": {}, "details": {}}}
        steps.append({"time": f"{at:%Y-%m-%dT%H:%M:%SZ}", "data": data})
    units = {"air_temperature": unit, "cloud_area_fraction": "%", "wind_speed": "m/s"}
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [13.4, 52.5, 38]},
        "properties": {
            "meta": {"updated_at": "2026-03-02T05:41:12Z", "units": units},
            "timeseries": steps,
        },
    }


def nws(values: Values, unit: str = "F") -> dict[str, Any]:
    """GET /gridpoints/{office}/{x},{y}/forecast/hourly; temperatures in whole degrees."""
    periods = [
        {
            "number": number,
            "name": "",
            "startTime": (at - timedelta(hours=5)).strftime("%Y-%m-%dT%H:%M:%S-05:00"),
            "endTime": (at - timedelta(hours=4)).strftime("%Y-%m-%dT%H:%M:%S-05:00"),
            "isDaytime": True,
            "temperature": None if celsius is None else round(celsius * 1.8 + 32),
            "temperatureUnit": unit,
            "temperatureTrend": None,
            "windSpeed": "5 mph",
            "shortForecast": "Mostly Clear",
        }
        for number, (at, celsius, _) in enumerate(values, start=1)
    ]
    return {"type": "Feature", "properties": {"units": "us", "periods": periods}}


SHAPES = {"open-meteo": open_meteo, "met-norway": met_norway, "nws": nws}


@dataclass(slots=True)
class StandIn:
    """What the service answers, and every call that it had."""

    service: str
    base: str = ""
    body: Any = None
    faults: list[Any] = field(default_factory=list)
    calls: list[tuple[str, dict[str, str], dict[str, str]]] = field(default_factory=list)
    last_modified: str = ""
    headers: dict[str, str] = field(default_factory=dict)

    def tells(self, values: Values, **how: Any) -> None:
        """Have it tell these hours from now on."""
        self.body = SHAPES[self.service](values, **how)

    @property
    def forecasts(self) -> list[tuple[str, dict[str, str], dict[str, str]]]:
        """The calls for a forecast, not for the way to one."""
        return [call for call in self.calls if not call[0].startswith("/points")]

    async def answer(self, request: web.Request) -> web.StreamResponse:
        """One call."""
        self.calls.append((request.path, dict(request.query), dict(request.headers)))
        if self.faults:
            return await self._fault(self.faults.pop(0))
        if self.service != "open-meteo" and "@" not in request.headers["User-Agent"]:
            return web.json_response({"title": "Forbidden"}, status=403)
        if request.path.startswith("/points"):
            link = f"{self.base}/gridpoints/OKX/33,35/forecast/hourly"
            return web.json_response({"properties": {"forecastHourly": link}})
        headers = {**self.headers}
        if self.last_modified:
            headers["Last-Modified"] = self.last_modified
            if request.headers.get("If-Modified-Since") == self.last_modified:
                return web.Response(status=304, headers=headers)
        return web.json_response(self.body, headers=headers)

    async def _fault(self, fault: Any) -> web.StreamResponse:
        if isinstance(fault, float):
            await asyncio.sleep(fault)
            return web.json_response(self.body)
        status, body, headers = fault
        return web.Response(status=status, text=body, headers=headers)


def http_date(at: datetime) -> str:
    """A moment as headers tell it."""
    return format_datetime(at, usegmt=True)


@asynccontextmanager
async def standing_in(service: str) -> AsyncIterator[StandIn]:
    """The service on a free port of loopback."""
    stand = StandIn(service)
    app = web.Application()
    app.router.add_get("/{path:.*}", stand.answer)
    runner = web.AppRunner(app, shutdown_timeout=0.1)
    await runner.setup()
    site = web.TCPSite(runner, "127.0.0.1", 0)
    await site.start()
    host, port = runner.addresses[0][:2]
    stand.base = f"http://{host}:{port}"
    stand.tells(hourly(lambda _: 5.0))
    try:
        yield stand
    finally:
        await runner.cleanup()
