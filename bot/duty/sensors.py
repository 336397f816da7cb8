"""The address to which room sensors send: `POST /sensor/SECRET`, as JSON or as a form.

Whoever serves puts HTTPS before it. The secret is part of the address, so addresses are not logged.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from aiohttp import web

from bot.duty.workroom import LATER, Workroom
from bot.logs import Log
from bot.talk.grammar.measures import Bounds
from bot.talk.grammar.quantities import Refusal, read_temperature
from bot.tally import Tally
from core.actions import rooms, sensors
from core.actions.sensors import LEAST_BETWEEN, Heard, Reading
from core.care.units import Unit
from core.store.engine import Store, StoreFailedError

log = Log(__name__)

PATH = "/sensor/"
MOST_BYTES = 2048
# So many at once are listened to; more are asked to come back.
AT_ONCE = 16
LONGEST_SECRET = 100
_SCALES = {"c": Unit.CELSIUS, "f": Unit.FAHRENHEIT}


class UnfitError(ValueError):
    """A reading that can't be kept; the message says what would be taken."""


def route(store: Store, room: Workroom, now: Callable[[], datetime], tally: Tally) -> web.RouteDef:
    """The route, for the web server."""
    listening = asyncio.Semaphore(AT_ONCE)

    async def hear(request: web.Request) -> web.Response:
        if listening.locked():
            return _answer(503, "too many at once; send it again in a minute", retry=60)
        async with listening:
            return await _hear(request, store, room, now, tally)

    return web.post(PATH + "{secret}", hear)


async def _hear(
    request: web.Request, store: Store, room: Workroom, now: Callable[[], datetime], tally: Tally
) -> web.Response:
    secret = request.match_info["secret"]
    try:
        told = read(await _fields(request))
    except UnfitError as error:
        return _answer(400, str(error))
    except web.HTTPRequestEntityTooLarge:
        return _answer(413, f"a reading has at most {MOST_BYTES} bytes")

    def keep() -> Heard:
        with store.write() as tx:
            return sensors.hear(tx, secret[:LONGEST_SECRET], told, now())

    try:
        heard = await room.run(keep, LATER)
    except StoreFailedError as error:
        log.warning("a sensor's reading could not be kept", reason=str(error))
        return _answer(503, "it could not be kept; send it again in a minute", retry=60)
    tally.count("sensor", heard.value)
    if heard is Heard.UNKNOWN:
        return _answer(404, "no sensor has this address; /sensor lists those there are")
    if heard is Heard.TOO_SOON:
        seconds = int(LEAST_BETWEEN.total_seconds())
        return _answer(429, f"once in {seconds} seconds is enough", retry=seconds)
    return web.json_response({"kept": True})


def _answer(status: int, text: str, retry: int | None = None) -> web.Response:
    headers = {} if retry is None else {"Retry-After": str(retry)}
    return web.json_response({"kept": False, "error": text}, status=status, headers=headers)


async def _fields(request: web.Request) -> Mapping[str, Any]:
    """What was sent, by name. Raises UnfitError."""
    if (request.content_length or 0) > MOST_BYTES:
        raise web.HTTPRequestEntityTooLarge(MOST_BYTES, request.content_length or 0)
    body = await request.content.read(MOST_BYTES + 1)
    if len(body) > MOST_BYTES:
        raise web.HTTPRequestEntityTooLarge(MOST_BYTES, len(body))
    if request.content_type == "application/x-www-form-urlencoded":
        from urllib.parse import parse_qsl  # noqa: PLC0415 - only of forms

        return dict(parse_qsl(body.decode("utf-8", "replace")))
    try:
        told = json.loads(body)
    except ValueError as error:
        raise UnfitError(f"neither JSON nor a form; {_EXAMPLE}") from error
    if not isinstance(told, dict):
        raise UnfitError(f"one object with names; {_EXAMPLE}")
    return told


_EXAMPLE = 'as {"temperature": "21.5 C", "humidity": "45 %"}'


def read(fields: Mapping[str, Any]) -> Reading:
    """A reading out of what was sent. Raises UnfitError with what would be taken."""
    return Reading(_celsius(fields), _humidity(fields))


def _celsius(fields: Mapping[str, Any]) -> float:
    said = _text(fields, "temperature")
    if not said:
        raise UnfitError(f"temperature is missing; {_EXAMPLE}")
    letter = _text(fields, "unit").strip("°. ").casefold()[:1]
    if letter and letter not in _SCALES:
        raise UnfitError('unit: "C" or "F"')
    bounds = Bounds(rooms.COLDEST_C, rooms.HOTTEST_C)
    told = read_temperature(said, _SCALES.get(letter), bounds=bounds)
    if not isinstance(told, Refusal):
        return told.celsius
    if told.key.endswith(("which-unit", "nothing-said")):
        raise UnfitError(f'temperature {said[:20]}: C or F? {_EXAMPLE}, or with "unit": "C"')
    if told.key.endswith(("too-big", "too-small", "negative")):
        least, most = f"{rooms.COLDEST_C:g}", f"{rooms.HOTTEST_C:g}"
        raise UnfitError(f"temperature {said[:20]}: a room has {least} to {most} C")
    raise UnfitError(f"temperature {said[:20]!r} is no temperature; {_EXAMPLE}")


def _humidity(fields: Mapping[str, Any]) -> float | None:
    said = _text(fields, "humidity").removesuffix("%").strip()
    if not said:
        return None
    try:
        value = float(said.replace(",", "."))
    except ValueError as error:
        raise UnfitError(f"humidity {said[:20]!r} is no number; {_EXAMPLE}") from error
    if not 1 <= value <= 100:
        raise UnfitError(f"humidity {said[:20]}: from 1 to 100 %")
    return value


def _text(fields: Mapping[str, Any], name: str) -> str:
    value = fields.get(name)
    if value is None or isinstance(value, (bool, list, dict)):
        return ""
    return str(value).strip()
