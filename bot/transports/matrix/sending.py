"""Saying a piece of a reply in a room, sealed for everybody in it where the room is encrypted.

Each piece has an id of its own: the server takes the same id twice from the same login for the same
message. So a send that may have arrived is simply repeated; by another login, once `earlier` didn't
find it in the room.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from typing import Any

from aiohttp import ClientError
from nio import RoomSendResponse
from nio.exceptions import EncryptionError, LocalProtocolError, SendRetryError

from bot.port import (
    Choice,
    DeliveryError,
    GoneError,
    Limits,
    Piece,
    RefusedError,
    UnreachedError,
)
from bot.talk.files import NoFileError, content
from bot.talk.message import Reply
from bot.transports.matrix import cutting, media
from bot.transports.matrix.account import Patience
from bot.transports.matrix.busy import busy
from bot.transports.matrix.client import Client
from bot.transports.matrix.earlier import ID, Earlier
from bot.transports.matrix.ids import Ids
from bot.transports.matrix.own import ROW, OwnMessages
from bot.transports.matrix.trouble import typed
from bot.transports.matrix.wording import as_html, listed, plain
from core.store.outbox import Parcel

MESSAGE = "m.room.message"


class MatrixPort:
    """Brings replies to Matrix rooms. `client` is None while we aren't signed in and in sync.

    Devices that nobody verified get our keys too: who is in the room may read in it.
    """

    network = "matrix"
    fades = False

    def __init__(self, limits: Limits, patience: Patience, own: OwnMessages) -> None:
        self.limits = limits
        self.client: Client | None = None
        self.ids = Ids.kept_in({})
        self.expected: set[str] = set()
        """Rooms that we have joined and that the next sync will show."""
        self.earlier = Earlier()
        self._patience = patience
        self._own = own
        self._one = asyncio.Lock()  # pictures are drawn one at a time, and threads are few

    def cut(self, parcel: Parcel, reply: Reply) -> Sequence[Piece]:
        """A reply as the messages it becomes."""
        return cutting.cut(reply, parcel.id)

    async def send(self, chat: str, piece: Piece) -> str:
        """Say a piece; the room and the event. Raises a DeliveryError."""
        client = self.client
        if client is None:
            raise UnreachedError("not in sync yet")
        if chat not in client.rooms:
            raise UnreachedError("not in sync yet") if chat in self.expected else GoneError()
        event = await self._say(client, chat, piece)
        self._own.remember(event, piece.row)
        return f"{chat} {event}"

    async def take_away(self, said: str) -> None:
        """Choices are lines of a message here, which stay. Raises RefusedError."""
        raise RefusedError(f"the choices of {said} are part of its text")

    async def fetch(self, ref: str, most: int) -> bytes:
        """The bytes of a picture by where it lies, deciphered."""
        if self.client is None:
            raise UnreachedError("not in sync yet")
        return await media.fetch(self.client, ref, most)

    async def _say(self, client: Client, room: str, piece: Piece) -> str:
        said = self.ids.of(piece)
        try:
            if event := await self.earlier.event(client, room, said):
                return event
            told = await self._content(client, room, piece) | {ID: said}
            async with asyncio.timeout(self._patience.send):
                await client.seal_for_all(room)
                answer = await client.room_send(
                    room, MESSAGE, told, tx_id=said, ignore_unverified_devices=True
                )
        except (ClientError, TimeoutError, OSError) as error:
            raise self._broken(client, room, error) from error
        except (EncryptionError, LocalProtocolError, SendRetryError) as error:
            raise self._broken(client, room, error) from error
        if not isinstance(answer, RoomSendResponse):
            raise typed(answer)
        return str(answer.event_id)

    async def _content(self, client: Client, room: str, piece: Piece) -> dict[str, Any]:
        """What to say; for a file, what the server made of it: a long way, so it shows there."""
        if piece.file is None:
            return content_of(piece)
        async with busy(client, room, self._patience.typing), asyncio.timeout(media.LONGEST):
            try:
                async with self._one:
                    data = await asyncio.to_thread(content, piece.file)
            except NoFileError as error:
                raise RefusedError(str(error)) from error
            shown = await media.sent_up(client, room, piece.file, data)
        return shown | common(piece)

    def _broken(self, client: Client, room: str, error: Exception) -> DeliveryError:
        """Sharing a key that broke off would keep later sends waiting for its end."""
        sharing = client.sharing_session.pop(room, None)
        if sharing is not None:
            sharing.set()
        return UnreachedError(f"{type(error).__name__}: {error}")


def content_of(piece: Piece) -> dict[str, Any]:
    """The content of a notice: plain text, the same as HTML, what it points back at."""
    text, marked = plain(piece.text), as_html(piece.text)
    if piece.choices:
        text = f"{text}\n\n{_listed(piece.choices, plain)}"
        marked = f"{marked}<br><br>{_listed(piece.choices, as_html)}"
    said = {
        "msgtype": "m.notice",
        "body": text,
        "format": "org.matrix.custom.html",
        "formatted_body": marked,
    }
    return said | common(piece)


def common(piece: Piece) -> dict[str, Any]:
    """What every message of ours carries: whom it calls (nobody), its row, what it is about."""
    relation = _relation(piece)
    return {"m.mentions": {}, ROW: piece.row} | ({"m.relates_to": relation} if relation else {})


def _listed(choices: Sequence[Choice], shown: Callable[[str], str]) -> str:
    return shown(listed(choices))


def _relation(piece: Piece) -> dict[str, Any]:
    if piece.thread is None:
        return {"m.in_reply_to": {"event_id": piece.answers}} if piece.answers else {}
    return {
        "rel_type": "m.thread",
        "event_id": piece.thread,
        "is_falling_back": piece.answers is None,
        "m.in_reply_to": {"event_id": piece.answers or piece.thread},
    }
