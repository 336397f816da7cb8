"""Asked to leave by a signal: at once when idle, else when the line in hand is done."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

SIGNALS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)


class LeaveError(KeyboardInterrupt):
    """Raised in the main thread. Not an Exception, so that no guard against faults keeps it."""


class Leaving:
    """Watches for signals. `status` is the exit status they ask for, as a shell counts it."""

    def __init__(self) -> None:
        self.status = 0
        self._busy = False

    @contextmanager
    def watched(self) -> Iterator[None]:
        """While the block runs, a signal raises LeaveError in it; an ignored one stays ignored."""
        heard = [one for one in SIGNALS if signal.getsignal(one) is not signal.SIG_IGN]
        before = {one: signal.signal(one, self._asked) for one in heard}
        try:
            yield
        finally:
            for one, handler in before.items():
                signal.signal(one, handler)

    @contextmanager
    def after_this(self) -> Iterator[None]:
        """Work that is finished first; a second signal doesn't wait for it."""
        self._busy = True
        try:
            yield
        finally:
            self._busy = False
        if self.status:
            raise LeaveError

    def _asked(self, number: int, _frame: FrameType | None) -> None:
        impatient = self.status != 0
        self.status = 128 + number
        if impatient or not self._busy:
            raise LeaveError
