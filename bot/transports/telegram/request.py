"""HTTP for python-telegram-bot by aiohttp, which keeps its pace with many connections.

It also tells apart what the rest of us needs to know about a failure: whether the request may
have reached the server.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Any
from urllib.parse import urlencode

import aiohttp
from telegram import Bot
from telegram.error import NetworkError, TelegramError, TimedOut
from telegram.request import BaseRequest, RequestData

# Shorter than what servers allow, so that we don't send on a connection just being closed.
KEEP_ALIVE = 15.0
NO_WAIT_NAMED = timedelta(seconds=5)
TOO_MANY = 429
GATEWAY_TIMEOUT = 504


class NotReachedError(NetworkError):
    """No connection was made, or the server says that it did nothing: trying again is safe."""


class LostError(TimedOut):
    """The request left and no answer came back: it may have been carried out."""


class TooFastError(TelegramError):
    """The server asks to wait for `after`."""

    def __init__(self, after: timedelta) -> None:
        super().__init__(f"asked to wait {after}")
        self.after = after


@dataclass(frozen=True, slots=True)
class _Fields:
    """The fields of a call as text, where nothing of the library's own has to become text first."""

    json_parameters: Mapping[str, str]
    contains_files: bool = False


class AiohttpRequest(BaseRequest):
    """A session of its own for sends, or for polls. Times in seconds."""

    def __init__(self, connections: int = 64, *, read: float = 15.0, connect: float = 5.0) -> None:
        self._connections = connections
        self._read = read
        self._connect = connect
        self._session: aiohttp.ClientSession | None = None

    @property
    def read_timeout(self) -> float | None:
        """How long an answer may take, in seconds, when a call doesn't say."""
        return self._read

    async def initialize(self) -> None:
        """Open the session; an open one stays."""
        if self._session is None or self._session.closed:
            connector = aiohttp.TCPConnector(
                limit=self._connections, keepalive_timeout=KEEP_ALIVE, ttl_dns_cache=60
            )
            self._session = aiohttp.ClientSession(connector=connector)

    async def shutdown(self) -> None:
        """Close the session."""
        if self._session is not None:
            await self._session.close()
            self._session = None

    async def renew(self) -> None:
        """Drop every connection: one of them may be dead without showing it."""
        await self.shutdown()
        await self.initialize()

    async def do_request(
        self,
        url: str,
        method: str,
        request_data: RequestData | None = None,
        read_timeout: Any = BaseRequest.DEFAULT_NONE,
        write_timeout: Any = BaseRequest.DEFAULT_NONE,
        connect_timeout: Any = BaseRequest.DEFAULT_NONE,
        pool_timeout: Any = BaseRequest.DEFAULT_NONE,
    ) -> tuple[int, bytes]:
        """One request; status and body. Raises the errors above."""
        del write_timeout, connect_timeout, pool_timeout
        if self._session is None:
            raise NotReachedError("the session is closed")
        read = self._read if read_timeout is BaseRequest.DEFAULT_NONE else read_timeout
        try:
            async with self._session.request(
                method,
                url,
                data=_body(request_data),
                timeout=aiohttp.ClientTimeout(connect=self._connect, sock_read=read),
            ) as answer:
                status, body = answer.status, await answer.read()
        except (aiohttp.ClientConnectorError, aiohttp.ConnectionTimeoutError) as error:
            raise NotReachedError(type(error).__name__) from error
        except (aiohttp.ClientError, TimeoutError, OSError) as error:
            raise LostError(type(error).__name__) from error
        return _judged(status, body)


async def call(bot: Bot, method: str, fields: Mapping[str, str]) -> Any:
    """A method of the Bot API with its fields as text; its result as it came.

    For what is called all the time: the library makes an object of every answer, which takes as
    long as the call. `bot` has our request class. Raises the errors above and the library's own.
    """
    data: Any = _Fields(fields)
    return await bot.request.post(f"{bot.base_url}/{method}", data)


def _body(data: RequestData | None) -> Any:
    if data is None:
        return None
    if not data.contains_files:
        # What aiohttp would make of the fields, without the boundary that it draws for others.
        return aiohttp.BytesPayload(
            urlencode(data.json_parameters).encode(),
            content_type="application/x-www-form-urlencoded",
        )
    form = aiohttp.FormData()
    for name, value in data.json_parameters.items():
        form.add_field(name, value)
    for name, (filename, content, kind) in data.multipart_data.items():
        form.add_field(name, content, filename=filename, content_type=kind)
    return form


def _judged(status: int, body: bytes) -> tuple[int, bytes]:
    """What only the status tells. A gateway that gave up waiting may have passed it on."""
    if status == TOO_MANY:
        raise TooFastError(_wait(body))
    if status == GATEWAY_TIMEOUT:
        raise LostError("gateway timeout")
    if status > GATEWAY_TIMEOUT or status in {500, 502, 503}:
        raise NotReachedError(f"server error {status}")
    return status, body


def _wait(body: bytes) -> timedelta:
    try:
        return timedelta(seconds=float(json.loads(body)["parameters"]["retry_after"]))
    except (ValueError, KeyError, TypeError):
        return NO_WAIT_NAMED
