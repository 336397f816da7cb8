"""Telegram as one of the networks that are served: connected, listening, and stopped again.

Updates come by our own poll loop or webhook route, are committed by the house, and only then go
through the library's Application, chat by chat.
"""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from urllib.parse import urlsplit

import structlog
from aiohttp import web
from telegram import Bot, Update
from telegram.error import InvalidToken, TelegramError
from telegram.ext import Application, ApplicationBuilder, ContextTypes, TypeHandler

from bot.port import Health, Incoming, Limits, NotAdmittedError, Office
from bot.tally import Tally
from bot.tasks import ended
from bot.transports.telegram import menu, polling, webhook
from bot.transports.telegram.hearing import WANTED, Ear
from bot.transports.telegram.polling import Patience, Poller
from bot.transports.telegram.request import AiohttpRequest
from bot.transports.telegram.sending import TelegramPort

log = structlog.get_logger(__name__)

AT_ONCE = 64
"""So many chats are worked on, and so many messages sent, at the same time."""
PATIENCE_AT_END = 10.0


# A poll older than this is no sign of health: a question's half minute, its margins, one retry.
STALE = timedelta(seconds=90)


@dataclass(frozen=True, slots=True)
class Account:
    """How to reach the Bot API as which bot. `webhook` is the public URL; polling when empty."""

    token: str = field(repr=False)
    api: str = "https://api.telegram.org"
    webhook: str = ""
    secret: str = field(default="", repr=False)
    allowed: frozenset[str] | None = None
    limits: Limits = field(default_factory=Limits)
    patience: Patience = field(default_factory=Patience)


@dataclass(frozen=True, slots=True)
class _Line:
    """Says to the Application that a chat has something to be worked on."""

    chat: str


class Telegram:
    """One bot on Telegram. Make it, `connect` it, then `listen` until `stop`."""

    network = "telegram"

    def __init__(self, account: Account, now: Callable[[], datetime], tally: Tally) -> None:
        self._account = account
        self._now = now
        self._tally = tally
        self._polls = AiohttpRequest(2, read=account.patience.question + 10)
        base = account.api.rstrip("/")
        self.bot = Bot(
            account.token,
            base_url=f"{base}/bot",
            base_file_url=f"{base}/file/bot",
            request=AiohttpRequest(AT_ONCE),
            get_updates_request=self._polls,
        )
        self.port = TelegramPort(self.bot, account.limits)
        self.poller: Poller | None = None
        self._ear: Ear | None = None
        self._office: Office | None = None
        self._app: Application[Any, Any, Any, Any, Any, Any] | None = None
        self._tasks: set[asyncio.Task[Any]] = set()
        self._polling: asyncio.Task[None] | None = None

    async def connect(self) -> None:
        """Learn who we are, however long the network is away. Raises NotAdmittedError."""
        wait = 1.0
        while True:
            try:
                await self.bot.initialize()
            except InvalidToken as error:
                raise NotAdmittedError(
                    "Telegram doesn't know this token; potside doctor says more."
                ) from error
            except TelegramError as error:
                log.warning("Telegram can't be reached yet", reason=type(error).__name__)
                await asyncio.sleep(wait)
                wait = min(wait * 2, 30.0)
            else:
                break
        self._ear = Ear(self.bot.id, self.bot.username, self._now, self._account.allowed)

    def route(self) -> web.RouteDef | None:
        """The webhook's route for our web server; None when we poll."""
        if not self._account.webhook:
            return None
        path = urlsplit(self._account.webhook).path or "/"
        return webhook.route(path, self._account.secret, self._take_raw)

    async def listen(self, office: Office) -> None:
        """Begin to hear and to work; returns when that is under way."""
        self._office = office
        builder = ApplicationBuilder().bot(self.bot).updater(None).job_queue(None)
        self._app = builder.concurrent_updates(AT_ONCE).build()
        self._app.add_handler(TypeHandler(_Line, self._attend))
        await self._app.initialize()
        await self._app.start()
        self._spawn(menu.dress(self.bot))
        if self._account.webhook:
            await self._insist(self._set_webhook)
            return
        await self._insist(self.bot.delete_webhook)
        self.poller = Poller(
            self.bot,
            self._polls,
            self._take,
            self._now,
            self._tally,
            self._account.patience,
            office.my_turn,
        )
        self._polling = asyncio.create_task(self.poller.run())

    def health(self) -> Health:
        """Whether it is heard, and the age of the last poll in seconds."""
        poller = self.poller
        if poller is None:
            listens = self._app is not None and bool(self._account.webhook)
            return Health(listens, {"telegram": "webhook" if listens else "not yet"})
        if poller.standing_by:
            return Health(True, {"telegram": "standing by"})
        age = None if poller.last_poll is None else self._now() - poller.last_poll
        well = age is not None and age < STALE and not poller.conflict and not poller.refused
        return Health(
            well,
            {
                "telegram": "poll",
                "last_poll_age_seconds": None if age is None else round(age.total_seconds(), 1),
                "second_poller": poller.conflict,
                "token_refused": poller.refused,
            },
        )

    async def stop(self) -> None:
        """Hear no more, finish what is in hand; what isn't finished stays in the inbox."""
        if self._polling is not None:
            await ended([self._polling])
        if self._app is not None and self._app.running:
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(PATIENCE_AT_END):
                    await self._app.stop()

    async def disconnect(self) -> None:
        """Close the connections; after the last message was sent."""
        await ended(self._tasks)
        if self._app is not None and not self._app.running:
            await self._app.shutdown()
        await self.bot.shutdown()

    async def _insist(self, call: Callable[[], Awaitable[object]]) -> None:
        """Do what listening needs, however long the network is away."""
        wait = 1.0
        while True:
            try:
                await call()
            except TelegramError as error:
                log.warning("Telegram didn't do it yet", reason=error.message)
                await asyncio.sleep(wait)
                wait = min(wait * 2, 30.0)
            else:
                return

    async def _set_webhook(self) -> None:
        await self.bot.set_webhook(
            self._account.webhook,
            secret_token=self._account.secret,
            allowed_updates=list(WANTED),
            max_connections=40,
        )

    async def _take_raw(self, raw: Sequence[dict[str, Any]]) -> None:
        await self._take(polling.updates(raw, self.bot))

    async def _take(self, came: Sequence[Update]) -> None:
        """Commit what came, then have it worked on."""
        if self._office is None or self._app is None or self._ear is None:
            raise RuntimeError("not listening yet")
        heard = [one for update in came for one in self._heard(self._ear, update)]
        if heard:
            for chat in await self._office.take_in(heard):
                self._app.update_queue.put_nowait(_Line(chat))
        for update in came:
            if update.callback_query is not None:
                self._spawn(self._acknowledge(update.callback_query.id))

    def _heard(self, ear: Ear, update: Update) -> Sequence[Incoming]:
        """What an update means; one that we stumble over is told and dropped, not the others."""
        try:
            return ear.hear(update)
        except Exception:
            log.exception("an update was not understood", update=update.update_id)
            return ()

    async def _attend(self, line: _Line, _context: ContextTypes.DEFAULT_TYPE) -> None:
        if self._office is not None:
            await self._office.attend(line.chat)

    async def _acknowledge(self, query_id: str) -> None:
        """Let the button stop turning; it is committed already, so failing harms nothing."""
        with contextlib.suppress(TelegramError):
            await self.bot.answer_callback_query(query_id)

    def _spawn(self, work: Any) -> None:
        task = asyncio.create_task(work)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)
