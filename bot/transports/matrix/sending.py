"""Saying a piece of a reply in a room, sealed for everybody in it where the room is encrypted.

Each piece has an id of its own, its outbox row and part: the server takes the same id twice from
the same login for the same message. So a send that may have arrived is simply repeated.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from typing import Any

import structlog
from aiohttp import ClientError
from nio import RoomSendResponse
from nio.exceptions import EncryptionError, LocalProtocolError, SendRetryError

from bot.port import (
    Choice,
    DeliveryError,
    GoneError,
    Limits,
    Piece,
    UnreachedError,
)
from bot.talk.message import Reply
from bot.transports.matrix import cutting
from bot.transports.matrix.account import Patience
from bot.transports.matrix.client import Client
from bot.transports.matrix.own import ROW, OwnMessages
from bot.transports.matrix.trouble import typed
from bot.transports.matrix.wording import as_html, listed, plain
from core.store.outbox import Parcel

log = structlog.get_logger(__name__)

MESSAGE = "m.room.message"


class MatrixPort:
    """Brings replies to Matrix rooms. `client` is None while we aren't signed in and in sync.

    Devices that nobody verified get our keys too: who is in the room may read in it.
    """

    network = "matrix"

    def __init__(self, limits: Limits, patience: Patience, own: OwnMessages) -> None:
        self.limits = limits
        self.client: Client | None = None
        self.house = ""
        """Sets our rows apart from those of another database that had the same login."""
        self.expected: set[str] = set()
        """Rooms that we have joined and that the next sync will show."""
        self._patience = patience
        self._own = own

    def cut(self, parcel: Parcel, reply: Reply) -> Sequence[Piece]:
        """A reply as the messages it becomes."""
        return cutting.cut(reply, parcel.id)

    async def send(self, chat: str, piece: Piece) -> None:
        """Say a piece. Raises a DeliveryError."""
        client = self.client
        if client is None:
            raise UnreachedError("not in sync yet")
        if chat not in client.rooms:
            raise UnreachedError("not in sync yet") if chat in self.expected else GoneError()
        await self._say(client, chat, piece)

    async def _say(self, client: Client, room: str, piece: Piece) -> None:
        content = content_of(piece)
        try:
            async with asyncio.timeout(self._patience.send):
                await client.seal_for_all(room)
                answer = await client.room_send(
                    room,
                    MESSAGE,
                    content,
                    tx_id=f"{self.house}.{piece.row}.{piece.part}",
                    ignore_unverified_devices=True,
                )
        except (ClientError, TimeoutError, OSError) as error:
            raise self._broken(client, room, error) from error
        except (EncryptionError, LocalProtocolError, SendRetryError) as error:
            raise self._broken(client, room, error) from error
        if not isinstance(answer, RoomSendResponse):
            raise typed(answer)
        self._own.remember(answer.event_id, piece.row)

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
    content: dict[str, Any] = {
        "msgtype": "m.notice",
        "body": text,
        "format": "org.matrix.custom.html",
        "formatted_body": marked,
        "m.mentions": {},
        ROW: piece.row,
    }
    relation = _relation(piece)
    if relation:
        content["m.relates_to"] = relation
    return content


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
