"""Delivery with many chats at once: in each chat in order, the chats beside each other.

A reply is handed over by whoever did its work and goes before anything unasked. Whatever the
network answers ends in one of: sent, uncertain (never again), failed, parked until the chat is
back, or again later. At least once: a kill between a send and its mark sends that row again.
"""

from __future__ import annotations

import asyncio
import math
import random
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

import structlog

from bot.duty.mailroom import Mailroom
from bot.duty.pacing import Gate, Pace
from bot.port import (
    DeliveryError,
    GoneError,
    LimitedError,
    MovedError,
    Piece,
    Port,
    RefusedError,
    UncertainError,
    UnreachedError,
)
from bot.talk.message import Reply
from bot.tally import Tally
from bot.tasks import ended
from core.store.buttons import Shown
from core.store.outbox import REPLY, Parcel

log = structlog.get_logger(__name__)

# Unasked messages that are in hand at once; more wait in the database.
MOST_IN_HAND = 200
# Fetched in so small heaps that a message that comes in waits for none of them long.
AT_ONCE = 20
# A chat that has this many unasked messages in hand gives further ones back.
MOST_IN_ONE_CHAT = 10
# So many messages of a chat may wait to lose their buttons; of more the oldest keep them.
MOST_OVER = 20
# While a chat is busy, whether there is time for that is looked at so often, in seconds.
LOOK_FOR_TIME = 0.5
# What a chat gives back is looked at again this long after the chat may be free, in seconds.
LOOK_AGAIN = 0.5
BACK_OFF = (1.0, 2.0, 5.0, 10.0, 30.0, 60.0)
# By this much each wait is shorter or longer, lest all chats try again in the same moment.
JITTER = (0.8, 1.2)
_CHANCE = random.SystemRandom()
# What could not be delivered for so long is of no use any more.
GIVE_UP_AFTER = timedelta(days=1)


@dataclass(slots=True)
class Job:
    """A message on its way: which of its pieces comes next, and what became of those before."""

    parcel: Parcel
    reply: Reply
    pieces: Sequence[Piece] = ()
    next: int = 0
    attempts: int = 0
    unsure: bool = False
    since: float = 0
    """When it was taken in hand, by the loop's clock."""
    said: str | None = None  # what the network told of the piece before

    @property
    def shown(self) -> Shown | None:
        """Its last piece, which shows its buttons, if those ask something."""
        step = self.reply.step
        if self.said is None or step is None or not self.reply.buttons:
            return None
        return Shown(self.said, step.dialogue, step.version)

    def goes_on_in_words(self) -> bool:
        """Put words in the place of the file that goes next; False where that is none of ours."""
        words = self.pieces[self.next].in_words()
        if words is None:
            return False
        self.pieces = [*self.pieces[: self.next], words, *self.pieces[self.next + 1 :]]
        return True

    @property
    def answers(self) -> bool:
        """Whether it is the reply to a message."""
        return self.parcel.kind == REPLY


@dataclass(slots=True)
class Lane:
    """What is to be said in one chat. `chat` is its address, which may change."""

    chat: str
    pace: Pace
    replies: deque[Job] = field(default_factory=deque)
    unasked: deque[Job] = field(default_factory=deque)
    runner: asyncio.Task[None] | None = None
    turn: asyncio.Future[None] | None = None
    sending: bool = False
    over: deque[str] = field(default_factory=lambda: deque(maxlen=MOST_OVER))
    clearer: asyncio.Task[None] | None = None

    def first(self) -> Job | None:
        """The job that goes next."""
        line = self.replies or self.unasked
        return line[0] if line else None

    def drop(self, job: Job) -> bool:
        """This job is done with; False when it was gone already."""
        line = self.replies if job.answers else self.unasked
        if job not in line:
            return False
        line.remove(job)
        return True

    def idle(self, now: float) -> bool:
        """Whether nothing is left to say here, nor to remember of its pace."""
        at_work = self.runner is not None or self.clearer is not None
        return not at_work and self.first() is None and self.pace.idle(now)


class Courier:
    """Brings the outbox of one network out. All of it runs on one event loop.

    A claim is ours for `sure` seconds from being taken or renewed; later it is not sent.
    """

    def __init__(
        self,
        port: Port,
        mailroom: Mailroom,
        now: Callable[[], datetime],
        tally: Tally,
        sure: float = math.inf,
    ) -> None:
        self._port = port
        self._mail = mailroom
        self._now = now
        self._tally = tally
        self._clock = asyncio.get_running_loop().time
        self._gate = Gate(port.limits.overall, self._clock)
        self._lanes: dict[int, Lane] = {}
        self._in_hand = 0  # unasked jobs in all lanes
        self._closing = False
        self._sure = sure
        self._renewed = -math.inf
        self._claiming = asyncio.Lock()
        self._more = False
        mailroom.over = self._take_away
        self.hungry = asyncio.Event()
        """Set when there is room in hand again and more waits in the database."""

    def post(self, parcel: Parcel, reply: Reply) -> None:
        """Take a reply that its worker has claimed already."""
        self._put(Job(parcel, reply))

    async def look(self) -> int:
        """Fetch what is due unasked; how many rows were taken in hand."""
        taken = 0
        async with self._claiming:
            self._tidy()
            self._more = True
            self.hungry.clear()
            while not self._closing and (room := MOST_IN_HAND - self._in_hand) > 0:
                found = await self._mail.claim(min(room, AT_ONCE))
                taken += len(found)
                surplus = [parcel for parcel, reply in found if not self._put(Job(parcel, reply))]
                await self._give_back(surplus)
                if not found:
                    self._more = bool(surplus) or self._in_hand > 0
                    break
        return taken

    async def close(self, patience: timedelta = timedelta(seconds=5)) -> None:
        """Finish what is being sent; the rest stays in the outbox."""
        self._closing = True
        await ended([lane.clearer for lane in self._lanes.values() if lane.clearer])
        at_work = [lane for lane in self._lanes.values() if lane.runner]
        await ended([lane.runner for lane in at_work if lane.runner and not lane.sending])
        runners = [lane.runner for lane in at_work if lane.runner]
        if runners:
            _, late = await asyncio.wait(runners, timeout=patience.total_seconds())
            await ended(late)
        await self._mail.put_back(self.rows(), self._now())

    def keep_to(self, share: float) -> None:
        """From now on go at this part of the pace on the whole: the rest is for other workers."""
        self._gate.set_rate(self._port.limits.overall * share)

    async def renew(self) -> None:
        """Say that what is in hand is still ours."""
        begun = self._clock()
        await self._mail.renew(self.rows())
        self._renewed = begun

    def rows(self) -> list[int]:
        """Every row in hand, so that its claim can be renewed."""
        return [
            job.parcel.id for lane in self._lanes.values() for job in (*lane.replies, *lane.unasked)
        ]

    def _tidy(self) -> None:
        """Forget chats of which there is nothing to remember."""
        now = self._clock()
        for chat_id in [n for n, lane in self._lanes.items() if lane.idle(now)]:
            del self._lanes[chat_id]

    def _drop(self, lane: Lane, job: Job) -> None:
        if lane.drop(job) and not job.answers:
            self._in_hand -= 1

    def _put(self, job: Job) -> bool:
        lane = self._lane(job.parcel)
        job.since = self._clock()
        if job.answers:
            lane.replies.append(job)
            if lane.turn is not None:
                self._gate.hasten(lane.turn)
        elif len(lane.unasked) >= MOST_IN_ONE_CHAT:
            return False
        else:
            lane.unasked.append(job)
            self._in_hand += 1
        if lane.runner is None and not self._closing:
            lane.runner = asyncio.get_running_loop().create_task(self._run(lane, job.parcel))
        return True

    def _lane(self, parcel: Parcel) -> Lane:
        lane = self._lanes.get(parcel.chat_id)
        if lane is None:
            pace = Pace(self._port.limits, direct=parcel.direct, now=self._clock())
            lane = self._lanes[parcel.chat_id] = Lane(parcel.chat, pace)
        elif lane.runner is None:
            lane.chat = parcel.chat
        return lane

    async def _give_back(self, parcels: Sequence[Parcel]) -> None:
        """What a busy chat can't take now waits in the database until the chat may be free."""
        if not parcels:
            return
        by_chat: dict[int, list[int]] = {}
        for parcel in parcels:
            by_chat.setdefault(parcel.chat_id, []).append(parcel.id)
        for chat_id, rows in by_chat.items():
            lane = self._lanes[chat_id]
            wait = max(0.0, lane.pace.free_at(self._clock()) - self._clock()) + LOOK_AGAIN
            await self._mail.hold(chat_id, rows, self._now() + timedelta(seconds=wait))

    async def _run(self, lane: Lane, parcel: Parcel) -> None:
        """Say what there is to say in one chat, until nothing is left."""
        try:
            while not self._closing and lane.first() is not None:
                job = await self._next(lane)
                if job is not None:
                    lane.sending = True
                    await self._step(lane, job)
                    lane.sending = False
        except Exception:
            log.exception("delivery to a chat stopped", chat=parcel.chat_id)
        finally:
            lane.runner, lane.sending = None, False
            if lane.first() is not None and not self._closing:
                self._later(lane, parcel)

    def _later(self, lane: Lane, parcel: Parcel) -> None:
        def again() -> None:
            if lane.runner is None and not self._closing:
                lane.runner = asyncio.get_running_loop().create_task(self._run(lane, parcel))

        asyncio.get_running_loop().call_later(1.0, again)

    async def _next(self, lane: Lane) -> Job | None:
        """Wait for the chat's turn, then for ours on the whole; what goes now, None to look again.

        A reply that comes in while something unasked waits goes before it, in its turn or sooner.
        """
        job = lane.first()
        answers = job is not None and job.answers
        wait = lane.pace.free_at(self._clock()) - self._clock()
        if wait > 0:
            await asyncio.sleep(wait if answers else min(wait, 0.2))
            return None
        lane.turn = self._gate.turn(0 if answers else 1)
        await lane.turn
        job = lane.first()
        return job if job is not None and self._still_ours(lane, job) else None

    def _still_ours(self, lane: Lane, job: Job) -> bool:
        """Whether nobody else can have it meanwhile; what may be another's is left to them."""
        if self._clock() - max(job.since, self._renewed) < self._sure:
            return True
        log.warning("a claim ran out before its message went", outbox=job.parcel.id)
        self._drop(lane, job)
        return False

    async def _step(self, lane: Lane, job: Job) -> None:
        """Send the next piece of a job and see what became of it."""
        if not job.pieces:
            whole = await self._mail.with_stored(job.parcel, job.reply)
            job.pieces = self._port.cut(job.parcel, whole)
        lane.pace.count(self._clock())
        try:
            job.said = await self._port.send(lane.chat, job.pieces[job.next])
        except UncertainError:
            job.unsure = True
            self._tally.count("uncertain", job.parcel.kind)
            log.warning("a send is uncertain", outbox=job.parcel.id, piece=job.next)
        except DeliveryError as error:
            await self._trouble(lane, job, error)
            return
        job.next += 1
        job.attempts = 0
        if job.next >= len(job.pieces):
            self._finish(lane, job)

    def _finish(self, lane: Lane, job: Job) -> None:
        self._drop(lane, job)
        if self._more and not job.answers and self._in_hand <= MOST_IN_HAND // 2:
            self.hungry.set()
        if job.unsure:
            self._mail.uncertain(job.parcel.id, self._now())
        else:
            self._tally.count("sent", job.parcel.kind)
            shown = job.shown if self._port.fades else None
            spoken_of = job.reply.about is not None or job.reply.buttons
            posted = job.said if spoken_of else None
            self._mail.sent(job.parcel.id, self._now(), shown, posted)

    async def _trouble(self, lane: Lane, job: Job, error: DeliveryError) -> None:
        match error:
            case LimitedError(after=after):
                await self._limited(lane, job, after)
            case MovedError(to=to):
                self._tally.count("moved")
                await self._mail.moved(job.parcel, lane.chat, to)
                lane.chat = to
            case GoneError():
                await self._gone(lane, job)
            case RefusedError() if job.goes_on_in_words():
                log.warning("words go in the place of a file", reason=str(error))
            case RefusedError():
                self._drop(lane, job)
                self._tally.count("failed", job.parcel.kind)
                log.error("a send was refused", outbox=job.parcel.id, reason=str(error))
                await self._mail.failed(job.parcel.id, self._now())
            case UnreachedError():
                await self._unreached(lane, job, error)
            case _:
                raise error

    async def _limited(self, lane: Lane, job: Job, after: timedelta) -> None:
        """This chat waits; what is unasked waits in the database, so that others have room."""
        self._tally.count("limited", job.parcel.kind)
        lane.pace.hold(self._clock() + after.total_seconds())
        waiting = [one for one in lane.unasked if not one.next]
        for one in waiting:
            self._drop(lane, one)
        rows = [one.parcel.id for one in waiting]
        await self._mail.hold(job.parcel.chat_id, rows, self._now() + after)

    async def _gone(self, lane: Lane, job: Job) -> None:
        self._tally.count("gone")
        self._in_hand -= len(lane.unasked)
        lane.replies.clear()
        lane.unasked.clear()
        await self._mail.gone(job.parcel, lane.chat)

    async def _unreached(self, lane: Lane, job: Job, error: DeliveryError) -> None:
        self._tally.count("retried", job.parcel.kind)
        if self._now() - job.parcel.due_at > GIVE_UP_AFTER:
            self._drop(lane, job)
            log.error("gave up on a message", outbox=job.parcel.id, reason=str(error))
            await self._mail.failed(job.parcel.id, self._now())
            return
        wait = BACK_OFF[min(job.attempts, len(BACK_OFF) - 1)] * _CHANCE.uniform(*JITTER)
        job.attempts += 1
        lane.pace.hold(self._clock() + wait)

    # --- buttons that ask nothing any more ------------------------------------------------------

    def _take_away(self, over: Sequence[tuple[int, str]]) -> None:
        """Have buttons taken away, beside and after everything that is to be said."""
        for chat_id, said in over:
            lane = self._lanes.get(chat_id)
            if lane is None or self._closing:
                continue
            lane.over.append(said)
            if lane.clearer is None:
                lane.clearer = asyncio.get_running_loop().create_task(self._clear(lane))

    async def _clear(self, lane: Lane) -> None:
        """Whatever goes wrong here harms nobody: a button that stays says that it is outdated."""
        try:
            while lane.over:
                now = self._clock()
                if lane.first() is not None or not lane.pace.spare(now):
                    await asyncio.sleep(LOOK_FOR_TIME)
                    continue
                await self._gate.pass_through(1)
                lane.pace.count(self._clock())
                await self._take_one(lane, lane.over.popleft())
        except Exception:
            log.exception("buttons stay")
        finally:
            lane.clearer = None

    async def _take_one(self, lane: Lane, said: str) -> None:
        try:
            await self._port.take_away(said)
        except LimitedError as error:
            lane.pace.hold(self._clock() + error.after.total_seconds())
        except DeliveryError as error:
            log.info("buttons stay", reason=str(error))
