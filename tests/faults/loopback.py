"""A network inside the process, for `serving`: its port is whatever a test or a bench gives it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from time import perf_counter
from typing import TYPE_CHECKING

from bot.port import Health, Limits, Office, Piece, RefusedError
from bot.talk.message import Message, Reply
from core.store.outbox import REPLY, Parcel
from core.store.people import Address

if TYPE_CHECKING:
    from aiohttp.web import RouteDef

NETWORK = "loopback"
NO_LIMIT = 1_000_000
_AT_ONCE = Limits(NO_LIMIT, NO_LIMIT, NO_LIMIT, NO_LIMIT)


@dataclass(frozen=True, slots=True)
class Sent:
    """One message that the network took, at a moment of the process's clock."""

    chat: str
    text: str
    kind: str
    at: float


@dataclass(slots=True)
class Sink:
    """A port without limits that takes down what it hears. `before` may raise a DeliveryError."""

    network: str = NETWORK
    limits: Limits = _AT_ONCE
    fades: bool = False
    heard: list[Sent] = field(default_factory=list)
    tried: int = 0
    before: Callable[[str], None] | None = None
    answered: asyncio.Event = field(default_factory=asyncio.Event)

    def cut(self, parcel: Parcel, reply: Reply) -> Sequence[Piece]:
        """Everything fits; what kind it is goes where an answer points back."""
        return [Piece(reply.text, answers=parcel.kind)]

    async def send(self, chat: str, piece: Piece) -> None:
        """Heard."""
        self.tried += 1
        if self.before is not None:
            self.before(chat)
        self.heard.append(Sent(chat, piece.text, str(piece.answers), perf_counter()))
        if piece.answers == REPLY:
            self.answered.set()

    async def take_away(self, said: str) -> None:
        """Nothing here can be taken away."""
        raise RefusedError(said)

    async def fetch(self, ref: str, most: int) -> bytes:
        """Nobody sends pictures here."""
        raise RefusedError(f"no picture {ref} of {most} bytes")

    @property
    def unasked(self) -> list[Sent]:
        """What was no answer."""
        return [one for one in self.heard if one.kind != REPLY]


class Loopback:
    """The network: people speak on it by `ask`."""

    def __init__(self, port: Sink | None = None, said: int = 0) -> None:
        """`said`: so many messages were said before, elsewhere; each has its own number."""
        self.port = Sink() if port is None else port
        self.network = self.port.network
        self._office: Office | None = None
        self._count = said

    async def connect(self) -> None:
        """Nobody to ask."""

    async def listen(self, office: Office) -> None:
        """Whatever is said from now on is worked on."""
        self._office = office

    async def stop(self) -> None:
        """Nothing more is heard."""
        self._office = None

    async def disconnect(self) -> None:
        """Nothing was open."""

    def health(self) -> Health:
        """Always well."""
        return Health(well=True, facts={})

    def route(self) -> RouteDef | None:
        """It calls nobody."""
        return None

    async def ask(self, where: Address, text: str, at: datetime) -> float:
        """Say something; seconds until its answer was here."""
        assert self._office is not None
        self._count += 1
        self.port.answered.clear()
        began = perf_counter()
        for chat in await self._office.take_in([Message(where, f"a{self._count}", text, at)]):
            await self._office.attend(chat)
        async with asyncio.timeout(120):
            await self.port.answered.wait()
        return perf_counter() - began


async def until(is_so: Callable[[], bool], within: timedelta = timedelta(seconds=30)) -> None:
    """Wait until something is so. Raises TimeoutError when it doesn't come."""
    async with asyncio.timeout(within.total_seconds()):
        while not is_so():  # noqa: ASYNC110 - what is waited for rings no bell
            await asyncio.sleep(0.01)
