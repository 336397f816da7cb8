"""How fast we speak: so many messages a second on the whole, fewer in one chat, fewer in a group.

The chats are counted apart: one that has to wait keeps nobody else waiting.
"""

from __future__ import annotations

import asyncio
import heapq
import itertools
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field

from bot.port import Limits

MINUTE = 60.0
# What could be left out leaves so much of a chat's burst for answers.
ROOM_LEFT = 3.0


@dataclass(slots=True)
class Bucket:
    """Holds `size` tokens and gets `rate` a second; times in seconds of one clock."""

    rate: float
    size: float
    level: float
    at: float

    def wait(self, now: float) -> float:
        """Seconds until a token is there; 0 when it is there already."""
        self.level = min(self.size, self.level + (now - self.at) * self.rate)
        self.at = now
        return max(0.0, (1 - self.level) / self.rate)

    def take(self) -> None:
        """Use one token, in debt if need be."""
        self.level -= 1


class Pace:
    """The pace of one chat: `free_at` says when the next message may go."""

    def __init__(self, limits: Limits, *, direct: bool, now: float) -> None:
        self._bucket = Bucket(limits.per_second, limits.burst, limits.burst, now)
        self._group = limits.group_per_minute if not direct else 0
        self._lately: deque[float] = deque()
        self._held = 0.0

    def free_at(self, now: float) -> float:
        """The moment at which the next message may go; not after `now` when it may go at once."""
        at = max(now + self._bucket.wait(now), self._held)
        if self._group and len(self._lately) >= self._group:
            at = max(at, self._lately[-self._group] + MINUTE)
        return at

    def spare(self, now: float) -> bool:
        """Whether something may go that could as well be left out, and an answer right after it."""
        if self.free_at(now) > now or self._bucket.level < ROOM_LEFT:
            return False
        lately = sum(now - one < MINUTE for one in self._lately)
        return not self._group or lately < self._group // 2

    def count(self, now: float) -> None:
        """A message goes now."""
        self._bucket.wait(now)
        self._bucket.take()
        if self._group:
            self._lately.append(now)
            while len(self._lately) > self._group:
                self._lately.popleft()

    def hold(self, until: float) -> None:
        """The network asked us to wait here."""
        self._held = max(self._held, until)

    def idle(self, now: float) -> bool:
        """Whether nothing is left to remember of this chat."""
        level = min(self._bucket.size, self._bucket.level + (now - self._bucket.at))
        quiet = not self._lately or now - self._lately[-1] > MINUTE
        return quiet and level >= self._bucket.size and self._held <= now


# What is unasked goes evenly, at most so many at once; the rest of a burst is for answers.
UNASKED_AT_ONCE = 5.0


@dataclass(slots=True)
class Gate:
    """The pace on the whole: whoever waits is let through in order, answers before the rest."""

    rate: float
    clock: Callable[[], float]
    _bucket: Bucket = field(init=False)
    _waiting: list[tuple[int, int, asyncio.Future[None]]] = field(default_factory=list)
    _order: itertools.count[int] = field(default_factory=itertools.count)
    _timer: asyncio.TimerHandle | None = None

    def __post_init__(self) -> None:
        size = _burst(self.rate)
        self._bucket = Bucket(self.rate, size, size, self.clock())

    def set_rate(self, rate: float) -> None:
        """From now on this is the pace."""
        self._bucket.wait(self.clock())
        self.rate = self._bucket.rate = rate
        self._bucket.size = _burst(rate)

    async def pass_through(self, urgency: int) -> None:
        """Wait for one message's turn; smaller urgency goes first, 0 for answers."""
        await self.turn(urgency)

    def turn(self, urgency: int) -> asyncio.Future[None]:
        """The same as a promise, which is kept when the turn comes."""
        turn: asyncio.Future[None] = asyncio.get_running_loop().create_future()
        ahead = bool(self._waiting) and self._waiting[0][0] <= urgency
        if not ahead and self._wait(urgency) <= 0:
            self._bucket.take()
            turn.set_result(None)
        else:
            self._queue(urgency, turn)
        return turn

    def hasten(self, turn: asyncio.Future[None]) -> None:
        """From now on this turn is as urgent as an answer's."""
        if not turn.done():
            self._queue(0, turn)

    def _queue(self, urgency: int, turn: asyncio.Future[None]) -> None:
        heapq.heappush(self._waiting, (urgency, next(self._order), turn))
        self._arm()

    def _wait(self, urgency: int) -> float:
        """Seconds until a message of this urgency may go."""
        self._bucket.wait(self.clock())
        needed = self._bucket.size - UNASKED_AT_ONCE + 1 if urgency else 1.0
        return max(0.0, (needed - self._bucket.level) / self.rate)

    def _arm(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None
        if self._waiting:
            wait = self._wait(self._waiting[0][0])
            self._timer = asyncio.get_running_loop().call_later(wait, self._let_through)

    def _let_through(self) -> None:
        self._timer = None
        while self._waiting and self._wait(self._waiting[0][0]) <= 1e-6:
            _, _, turn = heapq.heappop(self._waiting)
            if not turn.done():
                self._bucket.take()
                turn.set_result(None)
        self._arm()


def _burst(rate: float) -> float:
    """Half a second's worth may go at once.

    So the busiest second sees one and a half times the rate, and a long run just the rate.
    """
    return max(UNASKED_AT_ONCE + 1, rate / 2)
