"""The poll loop: asks for updates, has them committed, and only then confirms them.

The next question's offset is the confirmation. A question that hangs is given up after its time,
with all connections dropped; so a dead connection costs one interval and not the night.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from urllib.parse import urlencode

import structlog
from telegram import Bot, Update
from telegram.error import Conflict, InvalidToken, TelegramError

from bot.tally import Tally
from bot.tasks import asked_to_end
from bot.transports.telegram.hearing import WANTED
from bot.transports.telegram.request import AiohttpRequest, TooFastError
from core.store.engine import StoreFailedError

log = structlog.get_logger(__name__)


@dataclass(frozen=True, slots=True)
class Patience:
    """Seconds: how long a question may stay open, how much longer we wait for it, pauses after."""

    question: int = 30
    margin: float = 10
    pause: float = 1
    longest_pause: float = 30
    after_conflict: float = 5


class Poller:
    """Feeds `take` with updates; `take` returns once they are committed."""

    def __init__(
        self,
        bot: Bot,
        request: AiohttpRequest,
        take: Callable[[Sequence[Update]], Awaitable[None]],
        now: Callable[[], datetime],
        tally: Tally,
        patience: Patience | None = None,
        my_turn: Callable[[], Awaitable[bool]] | None = None,
    ) -> None:
        self._bot = bot
        self._request = request
        self._take = take
        self._now = now
        self._tally = tally
        self._patience = patience or Patience()
        self._my_turn = my_turn
        self._offset: int | None = None
        self._failures = 0
        self.last_poll: datetime | None = None
        self.conflict = False
        self.refused = False
        self.standing_by = False
        """Whether another of our workers asks."""

    async def run(self) -> None:
        """Ask until cancelled: nothing else ends it, nobody would hear any more."""
        while True:
            try:
                await self._once()
            except asyncio.CancelledError as error:
                if asked_to_end():
                    raise
                await self._broken(error)  # a connection's, not ours
            except Exception as error:
                log.exception("a poll went wrong in a way that nobody foresaw")
                await self._broken(error)

    async def _once(self) -> None:
        try:
            if await self._stand_by():
                return
            raw = await self._ask()
        except Conflict:
            await self._someone_else()
        except TooFastError as error:
            await asyncio.sleep(error.after.total_seconds())
        except (TelegramError, TimeoutError, StoreFailedError) as error:
            await self._broken(error)
        else:
            self._well()
            await self._hand_on(raw)

    async def _stand_by(self) -> bool:
        """Wait a moment where another of our workers asks; it may confirm what we don't know of."""
        self.standing_by = self._my_turn is not None and not await self._my_turn()
        if self.standing_by:
            self._offset = None
            await asyncio.sleep(self._patience.pause)
        return self.standing_by

    async def _ask(self) -> list[dict[str, Any]]:
        asked = {"timeout": self._patience.question, "allowed_updates": json.dumps(WANTED)}
        if self._offset is not None:
            asked["offset"] = self._offset
        wait = self._patience.question + self._patience.margin
        async with asyncio.timeout(wait + self._patience.margin):
            found = await self._request.post(
                f"{self._bot.base_url}/getUpdates?{urlencode(asked)}", read_timeout=wait
            )
        return found if isinstance(found, list) else []

    async def _hand_on(self, raw: Sequence[dict[str, Any]]) -> None:
        if not raw:
            return
        try:
            await self._take(updates(raw, self._bot))
        except Exception:
            log.exception("updates could not be kept; asking for them again")
            await asyncio.sleep(self._patience.pause)
        else:
            self._offset = max(int(one["update_id"]) for one in raw) + 1

    def _well(self) -> None:
        self.last_poll = self._now()
        if self.conflict:
            log.warning("the other poller is gone; listening again")
        self._failures, self.conflict, self.refused = 0, False, False

    async def _someone_else(self) -> None:
        if not self.conflict:
            log.error("another program polls with the same token; waiting for it to stop")
        self.conflict = True
        self._tally.count("poll_conflicts")
        await asyncio.sleep(self._patience.after_conflict)

    async def _broken(self, error: BaseException) -> None:
        """A poll failed. Whatever the reason, no connection of before is trusted any more."""
        self._failures += 1
        self._tally.count("poll_failures")
        self.refused = isinstance(error, InvalidToken)
        log.warning("a poll failed", reason=type(error).__name__, times=self._failures)
        await self._request.renew()
        doubled = self._patience.pause * 2 ** min(self._failures - 1, 5)
        await asyncio.sleep(min(doubled, self._patience.longest_pause))


def updates(raw: Sequence[dict[str, Any]], bot: Bot) -> list[Update]:
    """Updates from their JSON; one that the library can't read is dropped, not the others."""
    read = []
    for one in raw:
        try:
            read.append(Update.de_json(one, bot))
        except Exception:
            log.exception("an update could not be read", update=one.get("update_id"))
    return read
