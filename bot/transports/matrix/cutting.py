"""A reply as the messages that it becomes: files first, then the text, cut between lines.

An event holds 65,536 bytes, and encryption makes a third more of what is in it; long before that
a message is no pleasure to read.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bot.port import Choice, Piece
from bot.talk.message import Attachment, Reply
from bot.transports.matrix.wording import as_html, plain
from bot.transports.splitting import split

# Of both forms of a text together, in bytes.
MOST_BYTES = 12_000
BLANK = "\N{HORIZONTAL ELLIPSIS}"
LETTERS = "abcdefghij"


def size(text: str) -> int:
    """How much of an event a text takes, in bytes."""
    return len(plain(text).encode()) + len(as_html(text).encode())


def cut(reply: Reply, row: int) -> list[Piece]:
    """The pieces of a reply, in order; its choices stay with the last one."""
    contents = list(_contents(reply)) or [(BLANK, None)]
    pieces = [
        Piece(
            text,
            file=file,
            thread=reply.thread,
            answers=reply.answers if n == 0 else None,
            row=row,
            part=n,
        )
        for n, (text, file) in enumerate(contents)
    ]
    return [*pieces[:-1], replace(pieces[-1], choices=choices(reply))]


def choices(reply: Reply) -> tuple[Choice, ...]:
    """The ways to answer: by number, or by letter where a number is an answer already."""
    return tuple(
        Choice(
            one.label or BLANK, f"{LETTERS[n % len(LETTERS)]})" if reply.numbers else f"{n + 1}."
        )
        for n, one in enumerate(reply.buttons)
    )


def _contents(reply: Reply) -> Iterator[tuple[str, Attachment | None]]:
    """Files, then the text; a reply of files alone has its choices with an empty text."""
    for file in reply.files:
        yield "", file
    yield from ((piece, None) for piece in split(reply.text, MOST_BYTES, size))
    if reply.files and reply.buttons and not reply.text.strip():
        yield BLANK, None
