"""The webhook's route: an update is committed, then answered with 200.

When that fails the answer is 500, and Telegram sends it again. Only who knows the secret is heard.
"""

from __future__ import annotations

import hashlib
import hmac
import json
from collections.abc import Awaitable, Callable, Sequence
from typing import Any

import structlog
from aiohttp import web

log = structlog.get_logger(__name__)

HEADER = "X-Telegram-Bot-Api-Secret-Token"
MOST_BYTES = 1024 * 1024


def derived_secret(token: str) -> str:
    """A secret that all workers with the same token agree on; it doesn't give the token away."""
    return hmac.new(token.encode(), b"potside webhook", hashlib.sha256).hexdigest()


def route(
    path: str, secret: str, take: Callable[[Sequence[dict[str, Any]]], Awaitable[None]]
) -> web.RouteDef:
    """The route at a path. Raises ValueError without a secret: anybody could forge updates."""
    if not secret.strip():
        raise ValueError("a webhook needs a secret")
    expected = secret.encode()

    async def receive(request: web.Request) -> web.Response:
        given = request.headers.get(HEADER, "").encode()
        if not hmac.compare_digest(given, expected):
            log.warning("an update without the secret was turned away")
            return web.Response(status=403)
        try:
            update = json.loads(await request.read())
        except ValueError:
            return web.Response(status=400)
        if not isinstance(update, dict):
            return web.Response(status=400)
        try:
            await take([update])
        except Exception:
            log.exception("an update could not be kept")
            return web.Response(status=500)
        return web.Response()

    return web.post(path, receive)
