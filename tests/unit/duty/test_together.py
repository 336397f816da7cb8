"""Messages that share a commit: one that fails costs the others nothing, and no reply is lost."""

from __future__ import annotations

import asyncio
from collections import deque
from contextlib import AbstractContextManager
from datetime import UTC, datetime
from typing import Any

import pytest
from sqlalchemy import select
from structlog.testing import capture_logs

from bot.duty import clerk as clerks
from bot.duty.clerk import Clerk
from bot.duty.workroom import Workroom
from bot.talk import conversation
from bot.talk.message import Message, Reply
from bot.talk.reception import MOST_ATTEMPTS, Held, Reception
from bot.talk.turn import Turn
from bot.tally import Tally
from core.store.engine import Store, StoreFailedError
from core.store.inbox import DONE, INBOX, POISON
from core.store.opening import open_store
from core.store.outbox import OUTBOX
from core.store.people import Address

AT = datetime(2026, 3, 2, tzinfo=UTC)
CHATS = ("one", "ill", "three")
_CONVERSE = conversation.converse


class _Shaky:
    """A store that gives way once, at one of its writes."""

    def __init__(self, store: Store, fails_at: int) -> None:
        self.store = store
        self.left = fails_at

    def write(self) -> AbstractContextManager[Any]:
        self.left -= 1
        if self.left == 0:
            raise StoreFailedError("the disk is full")
        return self.store.write()


def _converse(turn: Turn) -> Reply | None:
    if turn.message.text == "ill":
        raise ZeroDivisionError
    return _CONVERSE(turn)


def _message(chat: str) -> Message:
    address = Address("loopback", "a", chat, chat, chat.title(), direct=True)
    return Message(address, "1", "/help" if chat != "ill" else chat, AT)


@pytest.mark.parametrize("fails_at", range(11))
async def test_each_is_answered_once(fails_at: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """The database gives way at each of the transactions in turn (at 0 never)."""
    monkeypatch.setattr(conversation, "converse", _converse)
    monkeypatch.setattr(clerks, "TRY_AGAIN", 0.001)
    store, room, posted = open_store("sqlite://"), Workroom(1), list[Held]()
    shaky: Any = _Shaky(store, fails_at)
    at_work = Reception(shaky, "UTC", claims=lambda: AT)
    clerk = Clerk(store, at_work, room, lambda: AT, posted.append, Tally(), hands=1, together=8)
    for chat in CHATS:
        inbox_id = Reception(store, "UTC").take_in(_message(chat))
        clerk._lines[chat] = deque([inbox_id or 0])
    with capture_logs():
        async with asyncio.timeout(20):
            await asyncio.gather(*(clerk.attend(chat) for chat in CHATS))
    room.close()
    assert shaky.left <= 0
    assert sorted(one.message.address.chat for one in posted) == sorted(CHATS)
    with store.read() as tx:
        assert sorted(tx.execute(select(OUTBOX.c.id)).scalars()) == sorted(
            one.row for one in posted
        )
        rows = tx.execute(select(INBOX.c.state, INBOX.c.attempts).order_by(INBOX.c.id)).all()
    assert [row.state for row in rows] == [DONE, POISON, DONE]
    assert [row.attempts >= MOST_ATTEMPTS for row in rows] == [False, True, False]
    store.close()
