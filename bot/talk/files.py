"""The bytes of a file that goes with a reply: read from where it lies, drawn, or looked up."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

from bot.studio.studio import STUDIO, FailedError
from bot.talk.charts.drawing import drawn
from bot.talk.message import Attachment, Reply
from core.actions import takeout
from core.store import belonging, photos
from core.store.engine import Transaction
from core.store.outbox import Parcel


class NoFileError(Exception):
    """A file can't be read or drawn; the message says which."""


def content(file: Attachment) -> bytes:
    """What the file holds; slow, so never on an event loop. Raises NoFileError."""
    if file.data is not None:
        return file.data
    try:
        if file.recipe is None:
            return Path(file.path).read_bytes()
        return STUDIO.do(drawn, json.dumps(file.recipe).encode())
    except (OSError, ValueError, FailedError) as error:
        raise NoFileError(f"the file {file.name} can't be had") from error


def lying(path: str, most: int) -> bytes:
    """A file of this machine, as a terminal names it; at most `most` bytes and one more."""
    with Path(path).open("rb") as file:
        return file.read(most + 1)


def needs_stored(reply: Reply) -> bool:
    """Whether bytes must be looked up in the store before the reply can be sent."""
    return any(one.stored and one.data is None for one in reply.files)


def with_stored(tx: Transaction, parcel: Parcel, reply: Reply) -> Reply:
    """The reply with the bytes of its photos and its journal, as far as its household has them.

    Slow for a long journal, so never on an event loop.
    """
    return replace(reply, files=tuple(_with_bytes(tx, parcel, one) for one in reply.files))


def _with_bytes(tx: Transaction, parcel: Parcel, file: Attachment) -> Attachment:
    if file.journal and belonging.is_keepers(tx, parcel.household_id, parcel.chat_id):
        return replace(file, data=takeout.written(tx, parcel.household_id))
    if file.photo is not None:
        return replace(file, data=photos.content(tx, parcel.household_id, file.photo))
    return file
