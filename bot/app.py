"""The one place where the parts are wired: a house with a store, a clock and ways to speak."""

from __future__ import annotations

import argparse
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import NoReturn

from bot.clock import Clock, StandingClock
from bot.duty.delivery import Delivery, Sender
from bot.duty.sweep import Sweeper
from bot.talk.message import Message
from bot.talk.reception import Reception
from bot.transports.terminal import run
from core.store.engine import Store


def chat(options: argparse.Namespace, refuse: Callable[[str], NoReturn]) -> int:
    """`potside chat`: the terminal on a house of its own; the exit status."""
    return run.chat(options, refuse, House, _sweeps)


@contextmanager
def _sweeps(tick: Callable[[], None]) -> Iterator[None]:
    """On the real clock, do what falls due while nobody types."""
    from bot.duty.schedule import start_sweeps, stop_sweeps  # noqa: PLC0415 - 80 ms, not always

    scheduler = start_sweeps(tick)
    try:
        yield
    finally:
        stop_sweeps(scheduler)


class House:
    """Everything between a transport's two ends: it hears messages and sends what is due."""

    def __init__(self, store: Store, clock: Clock, sender: Sender, zone: str) -> None:
        self.store = store
        self.clock = clock
        self.sender = sender
        self.reception = Reception(store, zone)
        self.sweeper = Sweeper(store)
        self.delivery = Delivery(store, sender, clock.now)
        self._turns = threading.RLock()

    def wake(self) -> None:
        """At a start: finish what an earlier run left undone."""
        with self._turns:
            self.delivery.recover()
            self.reception.attend_all()
            self.tick()

    def hear(self, message: Message) -> None:
        """Take a message in, work on it, send what comes of it."""
        with self._turns:
            inbox_id = self.reception.take_in(message)
            if inbox_id is not None:
                self.reception.attend(inbox_id)
            self.delivery.deliver_due()

    def tick(self) -> None:
        """Do what is due by now."""
        with self._turns:
            while self.sweeper.sweep(self.clock.now()):
                pass
            self.delivery.look()

    def wait_until(self, moment: datetime) -> None:
        """Let a standing clock run to a moment, doing everything that falls due on the way."""
        if not isinstance(self.clock, StandingClock):
            raise TypeError("only a standing clock can be moved")
        with self._turns:
            while True:
                due = self.sweeper.next_due(self.sender.network)
                if due is None or due > moment:
                    break
                self.clock.move_to(due)
                self.tick()
            self.clock.move_to(moment)
            self.tick()
