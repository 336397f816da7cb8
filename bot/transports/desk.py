"""What a transport needs of the house behind it."""

from __future__ import annotations

from datetime import datetime
from typing import Protocol

from bot.clock import Clock
from bot.talk.message import Message
from core.store.engine import Store


class NotKeptError(Exception):
    """The database gave way: nothing of the message was kept. The message says why."""


class PutOffError(Exception):
    """The database gave way: the message is kept and answered later. The message says why."""


class Desk(Protocol):
    """Where messages are handed in; whatever comes of them is sent by the transport's sender."""

    store: Store
    clock: Clock

    def wake(self) -> None:
        """At a start: finish what an earlier run left undone."""

    def hear(self, message: Message) -> None:
        """Take a message in, work on it, send what comes of it.

        Raises NotKeptError or PutOffError when the database gives way.
        """

    def tick(self) -> None:
        """Do what is due by now."""

    def wait_until(self, moment: datetime) -> None:
        """Let a standing clock run to a moment."""
