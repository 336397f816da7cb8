"""The bytes of a file that goes with a reply: read from where it lies, drawn, or looked up."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

from bot.studio.studio import STUDIO, FailedError
from bot.talk.charts.drawing import drawn
from bot.talk.message import Attachment, Reply
from core.store import photos
from core.store.engine import Transaction


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


def needs_photos(reply: Reply) -> bool:
    """Whether bytes of kept photos must be looked up before the reply can be sent."""
    return any(one.photo is not None and one.data is None for one in reply.files)


def with_photos(tx: Transaction, household_id: int, reply: Reply) -> Reply:
    """The reply with the bytes of its photos, as far as that household keeps them."""
    return replace(reply, files=tuple(_with_bytes(tx, household_id, one) for one in reply.files))


def _with_bytes(tx: Transaction, household_id: int, file: Attachment) -> Attachment:
    if file.photo is None:
        return file
    return replace(file, data=photos.content(tx, household_id, file.photo))
