"""What goes first when much is to be said."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Any, cast

from bot.duty.courier import Courier
from bot.duty.pacing import UNASKED_AT_ONCE
from bot.port import LimitedError, Piece, RefusedError
from bot.talk.message import Attachment, Reply
from bot.tally import Tally
from core.actions.takeout import TYPE
from core.store.outbox import REPLY, Parcel
from tests.faults.loopback import Sink
from tests.unit.duty.post import AT, Mail, parcel

CHATS = 60


async def test_a_reply_goes_before_what_waits_unasked_in_its_own_chat() -> None:
    """It used to stand behind it, as long as a morning's messages to all other chats took."""
    port = Sink()
    port.limits = replace(port.limits, overall=10)
    mail: Any = Mail()
    courier = Courier(port, mail, lambda: AT, Tally())
    for n in range(CHATS):
        courier.post(parcel(n, chat=n), Reply("unasked"))
    last = CHATS - 1
    await asyncio.sleep(0.05)
    courier.post(parcel(CHATS, chat=last, kind=REPLY), Reply("reply"))
    async with asyncio.timeout(5):
        await port.answered.wait()
    assert len(port.unasked) < CHATS / 2
    assert port.heard[-1].chat == f"chat {last}"
    assert [one.text for one in port.heard if one.chat == f"chat {last}"] == ["reply"]
    await courier.close(timedelta(seconds=0.1))
    assert len(mail.given_back) + len(port.heard) == CHATS + 1


class Slow(Sink):
    """A port that takes its time over each message."""

    async def send(self, chat: str, piece: Piece) -> None:
        await asyncio.sleep(0.1)
        await super().send(chat, piece)


async def test_a_stop_waits_for_what_is_being_sent_and_for_nothing_that_stands_in_line() -> None:
    """Those at the gate used to be waited for, five seconds, and went on sending meanwhile."""
    port = Slow()
    port.limits = replace(port.limits, overall=2)
    mail: Any = Mail()
    courier = Courier(port, mail, lambda: AT, Tally())
    for n in range(CHATS):
        courier.post(parcel(n, chat=n), Reply("unasked"))
    await asyncio.sleep(0.05)
    assert port.heard == []
    async with asyncio.timeout(2):
        await courier.close()
    assert len(port.heard) == len(mail.marked) == UNASKED_AT_ONCE
    assert sorted(mail.given_back + mail.marked) == list(range(CHATS))


async def test_a_stop_waits_for_no_chat_that_the_network_holds() -> None:
    def limited(_chat: str) -> None:
        raise LimitedError(timedelta(seconds=30))

    mail: Any = Mail()
    courier = Courier(Sink(before=limited), mail, lambda: AT, Tally())
    courier.post(parcel(1, kind=REPLY), Reply("reply"))
    await asyncio.sleep(0.05)
    async with asyncio.timeout(2):
        await courier.close()
    assert mail.given_back == [1]


async def test_words_go_in_the_place_of_a_file_that_the_network_refuses() -> None:
    """A journal too large for it, a group in which nobody may send pictures: it used to be silence.

    A file that isn't ours is all that there was to say, and refused words stay refused.
    """

    class Wordy(Sink):
        def cut(self, parcel: Parcel, reply: Reply) -> Sequence[Piece]:
            return [Piece(reply.text, file=next(iter(reply.files), None), answers=parcel.kind)]

        async def send(self, chat: str, piece: Piece) -> None:
            if piece.file is not None or piece.text == "bad":
                raise RefusedError("Request Entity Too Large")
            await super().send(chat, piece)

    mail, port = cast("Any", Mail()), Wordy()
    courier = Courier(port, mail, lambda: AT, Tally())
    ours = Attachment("a.jsonl", type=TYPE, instead="Not sent.", journal=True)
    courier.post(parcel(1, 1, REPLY), Reply("All of it.", files=(ours,)))
    courier.post(parcel(2, 2, REPLY), Reply("", files=(replace(ours, journal=False),)))
    courier.post(parcel(3, 3, REPLY), Reply("bad"))
    await asyncio.sleep(0.05)
    async with asyncio.timeout(5):
        await courier.close()
    assert [(one.chat, one.text) for one in port.heard] == [("chat 1", "All of it.\nNot sent.")]
    assert (mail.marked, sorted(mail.gave_up)) == ([1], [2, 3])
