"""A network inside the process, for benches: it takes all at once and notes what it heard."""

from __future__ import annotations

import asyncio
from collections import Counter
from collections.abc import Sequence
from datetime import datetime
from time import perf_counter

from bot.port import Health, Limits, Office, Piece
from bot.talk.message import Message, Reply
from core.store.outbox import REPLY, Parcel
from core.store.people import Address
from tests.bench.street import NETWORK

_NO_LIMIT = 1_000_000


class Sink:
    """The port of a network without limits: counts what is unasked, tells when an answer came."""

    network = NETWORK
    limits = Limits(_NO_LIMIT, _NO_LIMIT, _NO_LIMIT, _NO_LIMIT)

    def __init__(self) -> None:
        self.unasked: Counter[str] = Counter()
        self.last_at = 0.0
        self.answered = asyncio.Event()

    def cut(self, parcel: Parcel, reply: Reply) -> Sequence[Piece]:
        """Everything fits; an answer points back at nothing."""
        return [Piece(reply.text, answers=parcel.kind)]

    async def send(self, chat: str, piece: Piece) -> None:
        """Heard."""
        if piece.answers == REPLY:
            self.answered.set()
        else:
            self.unasked[chat] += 1
            self.last_at = perf_counter()


class Loopback:
    """A network as `serving` wants it."""

    network = NETWORK

    def __init__(self) -> None:
        self.port = Sink()
        self._clerk: Office | None = None
        self._count = 0

    async def connect(self) -> None:
        """Nothing is away."""

    def health(self) -> Health:
        """All is well."""
        return Health(well=True, facts={})

    def route(self) -> None:
        """Nobody calls."""

    async def listen(self, clerk: Office) -> None:
        """Whatever is said from now on is worked on."""
        self._clerk = clerk

    async def stop(self) -> None:
        """Nothing more is heard."""
        self._clerk = None

    async def disconnect(self) -> None:
        """Nothing was open."""

    async def ask(self, where: Address, text: str, at: datetime) -> float:
        """Say something; seconds until its answer was here."""
        assert self._clerk is not None
        self._count += 1
        self.port.answered.clear()
        began = perf_counter()
        for chat in await self._clerk.take_in([Message(where, f"a{self._count}", text, at)]):
            await self._clerk.attend(chat)
        async with asyncio.timeout(120):
            await self.port.answered.wait()
        return perf_counter() - began
