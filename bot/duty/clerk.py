"""Taking in what a network brings, and working on it: each chat in order, chats side by side.

What comes in is committed before the network hears that we have it.
"""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial

import structlog

from bot.duty.workroom import LATER, ClosedError, Result, Workroom
from bot.port import Back, Gone, Incoming, Moved, Pick, Press, Renamed
from bot.talk.message import Message, Step, write
from bot.talk.reception import Held, Reception
from bot.tally import Tally
from bot.tasks import doubling, ended
from core.actions import chats
from core.store import bookmarks, inbox, postbox
from core.store.bookmarks import Bookmark
from core.store.engine import Store, Transaction
from core.store.postbox import Chosen

log = structlog.get_logger(__name__)

# No dialogue has this id, so a button without its row is answered as outdated.
NO_STEP = Step(0, 0)
# While the database fails, the next try comes after ever longer pauses, in seconds.
TRY_AGAIN, LONGEST_PAUSE = 0.5, 10.0


class Clerk:
    """Keeps a line of inbox ids for each chat; `post` gets the replies.

    `hands` transactions run at a time, each for up to `together` chats' messages. `pictures` is
    called when a message brought one: it is to be fetched soon.
    """

    def __init__(
        self,
        store: Store,
        reception: Reception,
        room: Workroom,
        now: Callable[[], datetime],
        post: Callable[[Held], None],
        tally: Tally,
        *,
        hands: int,
        together: int,
        pictures: Callable[[], None] = lambda: None,
        my_turn: Callable[[], Awaitable[bool]] | None = None,
    ) -> None:
        self._store = store
        self._reception = reception
        self._room = room
        self._now = now
        self._post = post
        self._tally = tally
        self._lines: dict[str, deque[int]] = {}
        self._busy: set[str] = set()
        self._ready: deque[tuple[int, asyncio.Future[Held | None]]] = deque()
        self._hands: set[asyncio.Task[None]] = set()
        self._at_work = 0
        self._most_hands = hands
        self._together = together
        self._pictures = pictures
        self._my_turn = my_turn
        self._seen: dict[int, datetime] = {}  # since when what nobody works on was seen to wait

    async def take_in(self, came: Sequence[Incoming], mark: Bookmark | None = None) -> list[str]:
        """Commit what came, and how far that was; the chats that now have work to be done."""
        kept = await self._room.run(lambda: self._keep(came, mark))
        if any(isinstance(one, Message) and one.photo is not None for one in came):
            self._pictures()
        for chat, inbox_id in kept:
            self._tally.count("heard")
            self._lines.setdefault(chat, deque()).append(inbox_id)
        return list(dict.fromkeys(chat for chat, _ in kept))

    async def last_mark(self, account: str) -> Bookmark | None:
        """How far one of our accounts was heard, where its network tells that by a token."""
        return await self._room.run(lambda: self._last_mark(account))

    def _last_mark(self, account: str) -> Bookmark | None:
        with self._store.read() as tx:
            return bookmarks.newest(tx, self._reception.network or "", account)

    def _keep(self, came: Sequence[Incoming], mark: Bookmark | None) -> list[tuple[str, int]]:
        kept = []
        with self._store.write() as tx:
            if mark is not None:
                bookmarks.put(tx, mark, self._now())
            for one in came:
                message = self._message(tx, one)
                if message is None:
                    continue
                inbox_id = inbox.put(tx, message.key, write(message), message.at)
                if inbox_id is not None:
                    kept.append((message.address.chat, inbox_id))
        return kept

    def _message(self, tx: Transaction, one: Incoming) -> Message | None:
        """The message in what came; a change of a chat is done at once and has none."""
        match one:
            case Message():
                return one
            case Press():
                return _pressed(tx, one)
            case Pick():
                return _picked(tx, one)
            case Gone(place):
                chats.chat_gone(tx, place.network, place.account, place.chat, self._now())
            case Back(place):
                chats.chat_back(tx, place.network, place.account, place.chat, self._now())
            case Renamed(place, title):
                chats.chat_renamed(tx, place.network, place.account, place.chat, title)
            case Moved(place, to):
                chats.chat_moved(tx, place.network, place.account, place.chat, to)
        return None

    async def attend(self, chat: str) -> None:
        """Work on what stands in a chat's line, unless that is being done already."""
        if chat in self._busy:
            return
        self._busy.add(chat)
        try:
            line = self._lines.get(chat, deque())
            while line:
                await self._work(line[0])
                line.popleft()
            self._lines.pop(chat, None)
        finally:
            self._busy.discard(chat)

    async def attend_old(self) -> None:
        """Work on what an earlier run kept and did not finish."""
        for held in await self._room.run(self._reception.attend_all):
            self._post(held)

    async def my_turn(self) -> bool:
        """Whether it is for us to ask a network that only one may ask."""
        return self._my_turn is None or await self._my_turn()

    async def take_over(self, lease: timedelta) -> None:
        """Work on what has been waiting for so long that whoever took it in must have died."""
        now = self._now()
        waiting = await self._room.run(self._reception.waiting, LATER)
        self._seen = {one: self._seen.get(one, now) for one in waiting}
        mine = {one for line in self._lines.values() for one in line}
        for one in waiting:
            if one not in mine and now - self._seen[one] >= lease:
                held = await self._room.run(partial(self._reception.take_up, one), LATER)
                if held is not None:
                    self._post(held)

    async def close(self) -> None:
        """Take nothing more in hand; what isn't worked on yet stays in the inbox."""
        await ended(list(self._hands))

    async def _work(self, inbox_id: int) -> None:
        """Have one message worked on and its reply posted."""
        done: asyncio.Future[Held | None] = asyncio.get_running_loop().create_future()
        self._ready.append((inbox_id, done))
        if self._at_work < self._most_hands:
            self._at_work += 1
            hand = asyncio.get_running_loop().create_task(self._hand())
            self._hands.add(hand)
            hand.add_done_callback(self._hands.discard)
        held = await done
        if held is not None:
            self._post(held)

    async def _hand(self) -> None:
        """Work on what is ready, several chats' messages together."""
        try:
            while self._ready:
                some = min(self._together, len(self._ready))
                await self._batch([self._ready.popleft() for _ in range(some)])
        finally:
            # In the same step that saw nothing ready: whatever comes next finds a hand free. (A
            # task's own callback runs a step later, and what came in between would lie there.)
            self._at_work -= 1

    async def _batch(self, batch: Sequence[tuple[int, asyncio.Future[Held | None]]]) -> None:
        """Work on some messages. Whatever happens, whoever waits for one of them hears of it.

        A chat whose promise stayed open would be busy for ever.
        """
        try:
            held = await self._attended([inbox_id for inbox_id, _ in batch])
            for (_, done), one in zip(batch, held, strict=True):
                if not done.done():
                    done.set_result(one)
        except ClosedError:
            log.info("left for the next start", inbox=[one for one, _ in batch])
        except Exception as error:
            log.exception("messages were not worked on", inbox=[one for one, _ in batch])
            for _, done in batch:
                if not done.done():
                    done.set_exception(error)
        finally:
            for _, done in batch:
                done.cancel()  # does nothing to one that is kept or failed

    async def _attended(self, inbox_ids: Sequence[int]) -> Sequence[Held | None]:
        """Work on messages, together or each by itself.

        By itself each is tried again alone: what another's try would find done has a reply in hand.
        """
        held = await self._tried(lambda: self._reception.attend_together(inbox_ids))
        if held is not None:
            return held
        return [await self._tried(partial(self._reception.attend, one)) for one in inbox_ids]

    async def _tried(self, work: Callable[[], Result]) -> Result:
        """Have it done; while the database fails, again and again, until the room closes."""
        pauses = doubling(TRY_AGAIN, LONGEST_PAUSE)
        while True:
            try:
                return await self._room.run(work)
            except ClosedError:
                raise
            except Exception as error:  # noqa: BLE001 - the reception deals with all others
                log.warning("the database failed; trying again", reason=str(error))
            await asyncio.sleep(next(pauses))


def _picked(tx: Transaction, pick: Pick) -> Message:
    """The choice that a bare number names; where there is none such, the number as it was said.

    It is one of the message that was replied to, else of the newest.
    """
    place, quote = pick.message.address, pick.message.quotes
    where = (place.network, place.account, place.chat)
    number, letter = pick.number, pick.letter
    if quote is None:
        chosen = postbox.newest_choice(tx, *where, number=number, letter=letter)
    else:
        chosen = postbox.choice(
            tx, *where, row=quote.row, index=number - 1, letter=letter, said=quote.said
        )
    return pick.message if chosen is None else _said_by(pick.message, chosen)


def _pressed(tx: Transaction, press: Press) -> Message:
    """The command behind a button, as the row that showed it says; a row that is gone: outdated."""
    place = press.message.address
    where = (place.network, place.account, place.chat)
    chosen = postbox.choice(tx, *where, row=press.row, index=press.index, said=press.said)
    if chosen is None:
        return replace(press.message, text="/help", step=NO_STEP)
    thread = press.message.thread or chosen.thread
    return replace(_said_by(press.message, chosen), thread=thread)


def _said_by(message: Message, chosen: Chosen) -> Message:
    """The message as if the choice had been typed, on the question that it answers."""
    step = Step(*chosen.step) if chosen.step else None
    return replace(message, text=chosen.option.send, step=step)
