"""Asking the server for what is new, and what nio wants done between two questions.

A question that fails is asked again after a pause that grows; one that the server finds too many
after as long as it says.
"""

from __future__ import annotations

import asyncio
import random
from collections.abc import Callable
from datetime import datetime
from typing import Any

import structlog
from aiohttp import ClientError
from nio import ErrorResponse, KeysUploadError, SyncResponse
from nio.exceptions import LocalProtocolError

from bot.tally import Tally
from bot.transports.matrix.account import Patience
from bot.transports.matrix.client import Client
from bot.transports.matrix.trouble import UNKNOWN_TOKEN, wait_of

log = structlog.get_logger(__name__)

# By this much each pause is longer or shorter, lest many ask again in the same moment.
JITTER = (0.8, 1.2)
_CHANCE = random.SystemRandom()
# The state of many rooms takes a server its time, in seconds.
FIRST = 600.0
MOST_AT_ONCE = 50
# What we want to be told: no presence, no receipts, no typing of others.
FILTER: dict[str, Any] = {
    "presence": {"not_types": ["*"]},
    "room": {"ephemeral": {"not_types": ["*"]}, "timeline": {"limit": MOST_AT_ONCE}},
}
FAILED = (ClientError, TimeoutError, OSError)


class LoginLostError(Exception):
    """The server doesn't know our login any more."""


class KeysLostError(Exception):
    """The server has other keys of this device than we do."""


class Pauses:
    """How long to wait after failures: longer each time, up to a limit."""

    def __init__(self, patience: Patience) -> None:
        self._patience = patience
        self.failures = 0

    def next(self) -> float:
        """The pause after one more failure, in seconds."""
        doubled = self._patience.pause * 2 ** min(self.failures, 10)
        self.failures += 1
        return float(min(doubled, self._patience.longest_pause) * _CHANCE.uniform(*JITTER))

    def well(self) -> None:
        """It worked."""
        self.failures = 0


class Asker:
    """Asks for what is new since a token."""

    def __init__(
        self, client: Client, patience: Patience, now: Callable[[], datetime], tally: Tally
    ) -> None:
        self._client = client
        self._patience = patience
        self._now = now
        self._tally = tally
        self._pauses = Pauses(patience)
        self.last: datetime | None = None
        """When the server answered last."""

    async def ask(self, since: str, *, first: bool) -> SyncResponse:
        """What is new, however long it takes. Raises LoginLostError."""
        while True:
            try:
                answer = await self._once(since, first=first)
            except FAILED as error:
                await self._failed(type(error).__name__, self._pauses.next())
                continue
            except LocalProtocolError as error:
                raise LoginLostError(str(error)) from error
            if isinstance(answer, SyncResponse):
                self._pauses.well()
                self.last = self._now()
                self._client.next_batch = answer.next_batch
                return answer
            if answer.status_code in UNKNOWN_TOKEN:
                raise LoginLostError(answer.message)
            wait = wait_of(answer)
            pause = self._pauses.next() if wait is None else wait.total_seconds()
            await self._failed(str(answer.status_code or answer.message), pause)

    async def _once(self, since: str, *, first: bool) -> SyncResponse | ErrorResponse:
        """One question. The first of a process tells the state of all rooms, quiet ones too.

        Nobody waits for that one; its odd time keeps the server from saying again what it said
        minutes ago to the same question (Synapse does), since when much may have been said.
        """
        longest = _CHANCE.uniform(0.001, 1) if first else self._patience.question
        given_up = FIRST if first else longest + 2 * self._patience.margin
        async with asyncio.timeout(given_up):
            return await self._client.sync(
                timeout=int(longest * 1000) or 1,
                sync_filter=FILTER,
                since=since or None,
                full_state=first,
            )

    async def _failed(self, reason: str, pause: float) -> None:
        self._tally.count("sync_failures")
        log.warning("a sync failed", reason=reason, times=self._pauses.failures)
        await asyncio.sleep(pause)


async def housekeeping(client: Client, answer: SyncResponse) -> None:
    """What encryption needs between two questions; what fails is tried after the next one.

    Raises KeysLostError when the server refuses our keys because it has other ones.
    """
    if client.olm is None:
        return
    if answer.device_key_count.signed_curve25519 == 0:
        client.olm.uploaded_key_count = 0  # nio takes none left for nothing said
    try:
        await client.send_to_device_messages()
        if client.should_upload_keys:
            _check(await client.keys_upload())
        if client.should_query_keys:
            _check(await client.keys_query())
        if client.should_claim_keys:
            _check(await client.keys_claim(client.get_users_for_key_claiming()))
    except (*FAILED, LocalProtocolError) as error:
        log.warning("housekeeping was cut short", reason=type(error).__name__)


def _check(answer: object) -> None:
    if isinstance(answer, KeysUploadError) and "already exists" in answer.message:
        raise KeysLostError(answer.message)
    if isinstance(answer, ErrorResponse):
        log.warning("housekeeping was refused", reason=str(answer.status_code))
