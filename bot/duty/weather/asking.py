"""Asking a weather service over HTTP, by its terms: our name, its conditions, its pauses.

Nothing is tried twice here: when to ask again is kept with the area.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from typing import Any

import aiohttp

from bot.duty.weather.service import Pointed, Question, UnreadableError, WeatherService
from core.actions.weather import REFUSED_PAUSE, Answer, coordinates
from core.store.forecasts import Kept

# In seconds. A forecast is some ten to some hundred kilobytes; more is not one.
TIMEOUT, CONNECT = 10.0, 5.0
MOST_BYTES = 4_000_000
_PIECE = 64 * 1024
_LONGEST_REASON = 120


@dataclass(frozen=True, slots=True)
class Unchanged:
    """What we have still holds; until when, if that was said."""

    fresh_until: datetime | None


class NotToldError(Exception):
    """The forecast couldn't be had; `pause`: how long to wait, where that is known.

    `moved`: what the service pointed at is no longer there.
    """

    def __init__(self, why: str, pause: timedelta | None = None, *, moved: bool = False) -> None:
        super().__init__(why)
        self.pause = pause
        self.moved = moved


async def ask(
    session: aiohttp.ClientSession, service: WeatherService, kept: Kept, now: datetime
) -> Answer | Unchanged:
    """A service's forecast for an area. Raises NotToldError."""
    north, east = coordinates(kept.area)
    link = kept.link
    for _ in range(2):
        question = service.question(north, east, link)
        found = await _get(session, service, question, kept, now)
        if not isinstance(found, Pointed):
            return found
        link = found.link
    raise NotToldError("it points in circles")


async def _get(
    session: aiohttp.ClientSession,
    service: WeatherService,
    question: Question,
    kept: Kept,
    now: datetime,
) -> Answer | Unchanged | Pointed:
    try:
        async with session.get(
            question.url,
            params=question.query,
            headers=_conditions(kept) if question.forecast else {},
            timeout=aiohttp.ClientTimeout(total=TIMEOUT, sock_connect=CONNECT),
            max_redirects=3,
        ) as response:
            fresh_until = _fresh_until(response, now)
            if response.status == 304 and question.forecast:
                return Unchanged(fresh_until)
            if response.status not in (200, 203):
                raise await _not_told(response, question, kept, now)
            body = await _body(response)
            etag, modified = (response.headers.get(name) for name in ("ETag", "Last-Modified"))
    except TimeoutError as error:
        raise NotToldError("no answer in time") from error
    except aiohttp.ClientError as error:
        raise NotToldError(f"not reached: {type(error).__name__}") from error
    try:
        read = service.read(question, body)
    except UnreadableError as error:
        raise NotToldError(f"not understood: {error}", REFUSED_PAUSE / 6) from error
    if isinstance(read, Pointed):
        return read
    if not read:
        raise NotToldError("it tells no temperatures")
    link = None if question.query else question.url
    return Answer(read, etag, modified, fresh_until, link)


def _conditions(kept: Kept) -> dict[str, str]:
    """What makes the service say only whether something changed."""
    told = {"If-None-Match": kept.etag, "If-Modified-Since": kept.modified}
    have = kept.hours != "[]"
    return {name: value for name, value in told.items() if value and have}


async def _body(response: aiohttp.ClientResponse) -> bytes:
    body = bytearray()
    async for piece in response.content.iter_chunked(_PIECE):
        body += piece
        if len(body) > MOST_BYTES:
            raise NotToldError("the answer has no end", REFUSED_PAUSE)
    return bytes(body)


async def _not_told(
    response: aiohttp.ClientResponse, question: Question, kept: Kept, now: datetime
) -> NotToldError:
    """Why there is no forecast, and how long to wait: too fast, out of order, or refused."""
    status = response.status
    reason = f"{status} {_reason(await _body(response), response)}".strip()
    if status == 429 or status >= 500:
        return NotToldError(reason, _retry_after(response, now))
    lost = status == 404 and kept.link == question.url
    return NotToldError(reason, None if lost else REFUSED_PAUSE, moved=lost)


def _reason(body: bytes, response: aiohttp.ClientResponse) -> str:
    """What the service says itself: `reason` or, in a problem document, `title`."""
    try:
        told: Any = json.loads(body)
    except ValueError:
        told = None
    said = (told.get("reason") or told.get("title")) if isinstance(told, dict) else None
    return str(said or response.reason or "")[:_LONGEST_REASON]


def _retry_after(response: aiohttp.ClientResponse, now: datetime) -> timedelta | None:
    said = response.headers.get("Retry-After", "")
    if said.isdigit():
        return timedelta(seconds=min(int(said), 86_400))
    at = _moment(said)
    return max(at - now, timedelta(0)) if at is not None else None


def _fresh_until(response: aiohttp.ClientResponse, now: datetime) -> datetime | None:
    """Until when the answer holds by its headers; `max-age` counts more than `Expires`."""
    for part in response.headers.get("Cache-Control", "").split(","):
        name, _, value = part.strip().partition("=")
        if name.casefold() == "max-age" and value.isdigit():
            return now + timedelta(seconds=min(int(value), 86_400))
    return _moment(response.headers.get("Expires", ""))


def _moment(said: str) -> datetime | None:
    try:
        at = parsedate_to_datetime(said)
    except ValueError:
        return None
    return at if at.tzinfo is not None else at.replace(tzinfo=UTC)
