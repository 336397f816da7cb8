"""A proxy on the loopback that does to a homeserver's answers what a homeserver never does itself.

It passes everything on, unless a fault waits for the request: an answer of our own, a cut before or
after the homeserver did its work, an answer that comes late, events in the wrong order. It can also
hold the keys of encrypted rooms back, and hand them over later.
"""

from __future__ import annotations

import asyncio
import json
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from typing import Any

import aiohttp
from aiohttp import web
from yarl import URL

DEAD = {"errcode": "M_UNKNOWN_TOKEN", "error": "Token is not active", "soft_logout": False}
OURS = "-handed"
_DROPPED = {"Host", "Content-Length", "Transfer-Encoding", "Content-Encoding", "Connection"}


@dataclass(slots=True)
class Fault:
    """What happens to requests whose path has a part: how often, after skipping how many.

    `kind`: "answer" (`status` and `body`, the homeserver hears nothing), "cut_before", "cut_after",
    "late" (the homeserver's answer `seconds` later), "reversed" (a sync's events backwards).
    """

    part: str
    kind: str
    method: str = ""
    times: int = 1
    skip: int = 0
    status: int = 500
    body: dict[str, Any] | None = None
    seconds: float = 0.0
    reached: asyncio.Event = field(default_factory=asyncio.Event)
    """Set once the homeserver has done its work, and only its answer is missing."""

    def meets(self, request: web.Request) -> bool:
        """Whether it is this request's turn."""
        if self.method not in {"", request.method} or self.part not in request.path:
            return False
        if self.skip:
            self.skip -= 1
            return False
        self.times -= 1
        return True


@dataclass(frozen=True, slots=True)
class Seen:
    """A request that came by."""

    at: float
    method: str
    path: str


@dataclass(slots=True)
class Proxy:
    """Stands before a homeserver; `url` is its own address."""

    target: str
    url: str = ""
    seen: list[Seen] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    holding: bool = False
    _held: list[dict[str, Any]] = field(default_factory=list)
    _handed_over: asyncio.Event = field(default_factory=asyncio.Event)
    _session: aiohttp.ClientSession | None = None

    def fault(self, part: str, kind: str, **more: Any) -> Fault:
        """Let something go wrong with the next request whose path has this part."""
        made = Fault(part, kind, **more)
        self.faults.append(made)
        return made

    def limit(self, part: str, after_ms: int, **more: Any) -> Fault:
        """Let the next request be told to wait."""
        told = {"errcode": "M_LIMIT_EXCEEDED", "error": "Slow down", "retry_after_ms": after_ms}
        return self.fault(part, "answer", status=429, body=told, **more)

    def count(self, part: str, since: float = 0.0, method: str = "") -> int:
        """How many requests with this part in their path came by since a moment."""
        return sum(
            part in one.path and one.at >= since and method in {"", one.method} for one in self.seen
        )

    def hold_keys(self) -> None:
        """From now on keys, and all else from device to device, stay here."""
        self.holding = True

    def hand_keys_over(self) -> None:
        """What was held comes with the next sync, which comes at once."""
        self.holding = False
        self._handed_over.set()

    @asynccontextmanager
    async def open(self) -> AsyncIterator[Proxy]:
        """Stand there."""
        app = web.Application(client_max_size=64 * 1024 * 1024)
        app.router.add_route("*", "/{path:.*}", self._handle)
        # A question whose asker has gone is dropped, lest it take the keys another waits for.
        runner = web.AppRunner(
            app, access_log=None, shutdown_timeout=0.1, handler_cancellation=True
        )
        await runner.setup()
        site = web.TCPSite(runner, "127.0.0.1", 0)
        await site.start()
        assert runner.addresses
        self.url = f"http://127.0.0.1:{runner.addresses[0][1]}"
        try:
            async with aiohttp.ClientSession(timeout=aiohttp.ClientTimeout(total=120)) as session:
                self._session = session
                yield self
        finally:
            await runner.cleanup()

    async def _handle(self, request: web.Request) -> web.StreamResponse:
        self.seen.append(Seen(time.monotonic(), request.method, request.path))
        fault = next((one for one in self.faults if one.meets(request)), None)
        self.faults = [one for one in self.faults if one.times > 0]
        if fault is None:
            return await self._pass_on(request)
        if fault.kind == "answer":
            return web.json_response(fault.body or {"errcode": "M_UNKNOWN"}, status=fault.status)
        if fault.kind == "cut_before":
            return self._cut(request)
        answer = await self._pass_on(request, backwards=fault.kind == "reversed")
        fault.reached.set()
        if fault.kind == "cut_after":
            return self._cut(request)
        await asyncio.sleep(fault.seconds)
        return answer

    @staticmethod
    def _cut(request: web.Request) -> web.StreamResponse:
        assert request.transport
        request.transport.abort()
        return web.Response()

    async def _pass_on(self, request: web.Request, *, backwards: bool = False) -> web.Response:
        asking = asyncio.create_task(self._ask(request, await request.read()))
        if request.path.endswith("/sync"):
            return await self._sync(request, asking, backwards=backwards)
        status, headers, body = await asking
        return web.Response(status=status, headers=headers, body=body)

    async def _ask(self, request: web.Request, body: bytes) -> tuple[int, dict[str, str], bytes]:
        assert self._session
        headers = {name: v for name, v in request.headers.items() if name not in _DROPPED}
        where = f"{self.target}{request.raw_path}".replace(OURS, "")
        try:
            async with self._session.request(
                request.method, URL(where, encoded=True), data=body, headers=headers
            ) as answer:
                kept = {name: v for name, v in answer.headers.items() if name not in _DROPPED}
                return answer.status, kept, await answer.read()
        except aiohttp.ClientError:
            return 502, {}, b"no homeserver"

    async def _sync(
        self,
        request: web.Request,
        asking: asyncio.Task[tuple[int, dict[str, str], bytes]],
        *,
        backwards: bool,
    ) -> web.Response:
        """A sync's answer, with keys taken out or put in, and perhaps with its events backwards."""
        given = asyncio.create_task(self._handed_over.wait())
        try:
            await asyncio.wait({asking, given}, return_when=asyncio.FIRST_COMPLETED)
        finally:
            given.cancel()
            if not asking.done():
                asking.cancel()
        if self._handed_over.is_set() and "since" in request.query:
            self._handed_over.clear()
            events, self._held = self._held, []
            # Another token than before, or a client takes it for an answer that it had already.
            token = f"{request.query['since']}{OURS}"
            told = {"next_batch": token, "to_device": {"events": events}}
            return web.json_response(told)
        status, headers, body = await asking
        if status == 200 and (self.holding or backwards):
            body = json.dumps(self._changed(json.loads(body), backwards=backwards)).encode()
        return web.Response(status=status, headers=headers, body=body)

    def _changed(self, told: dict[str, Any], *, backwards: bool) -> dict[str, Any]:
        if self.holding:
            self._held += told.pop("to_device", {}).get("events", [])
        if backwards:
            for room in told.get("rooms", {}).get("join", {}).values():
                room["timeline"]["events"].reverse()
        return told
