"""The one place where the parts are wired: a house with a store, a clock and ways to speak."""

from __future__ import annotations

import argparse
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from typing import NoReturn

from bot.clock import Clock, StandingClock
from bot.duty.darkroom import Darkroom
from bot.duty.delivery import Delivery, Sender
from bot.duty.sweep import Sweeper
from bot.logs import Log
from bot.port import RefusedError, TooLargeError
from bot.talk.files import lying
from bot.talk.message import Message
from bot.talk.reception import Held, Reception
from bot.transports.desk import NotKeptError, PutOffError
from bot.transports.terminal import run
from core.store.engine import Store, StoreFailedError

log = Log(__name__)

# What was kept and not worked on, because the database gave way, is tried again after this.
TRY_AGAIN_AFTER = timedelta(minutes=1)


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
        self.reception = Reception(store, zone, network=sender.network)
        self.counter = Reception(store, zone, claims=clock.now)  # for what is answered on the spot
        self.sweeper = Sweeper(store)
        self.delivery = Delivery(store, sender, clock.now)
        self.darkroom = Darkroom(store, sender.network, clock.now)
        self._turns = threading.RLock()
        self._behind = False

    def wake(self) -> None:
        """At a start: finish what an earlier run left undone. Raises StoreFailedError."""
        with self._turns:
            self.reception.attend_all()
            self.delivery.recover()
            self.darkroom.recover()
            self._do_what_is_due()

    def hear(self, message: Message) -> None:
        """Take a message in, work on it, send what comes of it.

        Raises NotKeptError when the database gives way before the message is in it, and
        PutOffError when it gives way after.
        """
        with self._turns:
            try:
                inbox_id = self.reception.take_in(message)
            except StoreFailedError as error:
                raise NotKeptError(str(error)) from error
            try:
                held = self._attend(inbox_id)
            except StoreFailedError as error:
                self._behind = True
                raise PutOffError(str(error)) from error
            self._answer(held)
            if message.photo is not None:
                self._develop()

    def _develop(self) -> None:
        """Keep the pictures that came, and say so; the terminal names them by their paths."""
        try:
            self.darkroom.develop_all(_fetched)
            self.delivery.look()
        except StoreFailedError as error:
            log.warning("the database gives way; trying again soon", reason=str(error))

    def _answer(self, held: Held | None) -> None:
        """Send what was due before, then the reply to what was just said."""
        try:
            self.delivery.look()
        except StoreFailedError as error:
            log.warning("the database gives way; trying again soon", reason=str(error))
        if held is not None:
            self.delivery.hand_over(held)

    def _attend(self, inbox_id: int | None) -> Held | None:
        """Work on a message, after those before it that the database was in the way of."""
        if self._behind:
            self.reception.attend_left(self.clock.now())
            self._behind = False
        return None if inbox_id is None else self.counter.attend(inbox_id)

    def tick(self) -> None:
        """Do what is due by now; while the database gives way, nothing."""
        try:
            with self._turns:
                self._do_what_is_due()
        except StoreFailedError as error:
            log.warning("the database gives way; trying again soon", reason=str(error))

    def _do_what_is_due(self) -> None:
        now = self.clock.now()
        self.reception.attend_left(now - TRY_AGAIN_AFTER)
        while self.sweeper.sweep(now):
            pass
        self.darkroom.develop_all(_fetched)
        self.delivery.look()

    def wait_until(self, moment: datetime) -> None:
        """Let a standing clock run to a moment, doing everything that falls due on the way.

        Raises StoreFailedError: then the clock stands where it got to.
        """
        if not isinstance(self.clock, StandingClock):
            raise TypeError("only a standing clock can be moved")
        with self._turns:
            while True:
                due = self.sweeper.next_due(self.sender.network)
                if due is None or due > moment:
                    break
                self.clock.move_to(due)
                self._do_what_is_due()
            self.clock.move_to(moment)
            self._do_what_is_due()


def _fetched(path: str, most: int) -> bytes:
    """The bytes of a picture at a path. Raises TooLargeError, RefusedError."""
    try:
        data = lying(path, most)
    except (OSError, RuntimeError, ValueError) as error:
        raise RefusedError(str(error)) from error
    if len(data) > most:
        raise TooLargeError(path)
    return data
