"""The bytes of a file that goes with a reply: read from where it lies, or drawn from its recipe."""

from __future__ import annotations

from pathlib import Path

from bot.talk.message import Attachment


class NoFileError(Exception):
    """A file can't be read or drawn; the message says which."""


def content(file: Attachment) -> bytes:
    """What the file holds; slow, so never on an event loop. Raises NoFileError."""
    try:
        if file.recipe is None:
            return Path(file.path).read_bytes()
        from bot.talk.charts.drawing import draw  # noqa: PLC0415 - half a second, at the first

        return draw(file.recipe)
    except (OSError, ValueError) as error:
        raise NoFileError(f"the file {file.name} can't be had") from error
