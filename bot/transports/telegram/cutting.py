"""A reply as the messages that it becomes: one if it fits, else cut between lines.

A text is cut before it is marked up, so that no piece begins or ends inside markup; the buttons
stay with the last piece.
"""

from __future__ import annotations

from collections.abc import Iterator

from bot.port import Choice, Piece
from bot.talk.message import Attachment, Reply
from bot.transports.telegram.wording import plain, units

MOST_TEXT = 4096
MOST_CAPTION = 1024
MOST_LABEL = 64
BLANK = "\N{HORIZONTAL ELLIPSIS}"
PREFIX = "b"


def cut(reply: Reply, row: int) -> list[Piece]:
    """The pieces of a reply, in order; its buttons are known by the outbox row."""
    choices = tuple(
        Choice(one.label[:MOST_LABEL] or BLANK, f"{PREFIX}:{row}:{n}")
        for n, one in enumerate(reply.buttons)
    )
    contents = list(_contents(reply)) or [(BLANK, None)]
    last = len(contents) - 1
    return [
        Piece(
            text,
            choices=choices if n == last else (),
            file=file,
            thread=reply.thread,
            answers=reply.answers if n == 0 else None,
        )
        for n, (text, file) in enumerate(contents)
    ]


def _contents(reply: Reply) -> Iterator[tuple[str, Attachment | None]]:
    """Texts and files: a text that fits under the last file goes with it."""
    caption = reply.text if reply.files and units(plain(reply.text)) <= MOST_CAPTION else ""
    for n, file in enumerate(reply.files, 1):
        yield caption if n == len(reply.files) else "", file
    if not reply.files or not caption:
        yield from ((piece, None) for piece in split(reply.text))


def split(text: str, most: int = MOST_TEXT) -> list[str]:
    """A text in pieces of at most `most` UTF-16 units, cut between blocks, lines or words."""
    if units(plain(text)) <= most:
        return [text] if text.strip() else []
    pieces: list[str] = []
    now = ""
    for line in _lines(text, most):
        longer = f"{now}\n{line}" if now else line
        if units(plain(longer)) <= most:
            now = longer
            continue
        head, tail = _at_block(now, most)
        pieces.append(head)
        now = f"{tail}\n{line}" if tail else line
        if units(plain(now)) > most:
            pieces.append(tail)
            now = line
    return [piece for piece in (*pieces, now) if piece.strip()]


def _at_block(text: str, most: int) -> tuple[str, str]:
    """Cut at the last empty line, if that leaves a good part before it."""
    head, gap, tail = text.rpartition("\n\n")
    if gap and units(plain(head)) > most // 2:
        return head, tail.strip("\n")
    return text, ""


def _lines(text: str, most: int) -> Iterator[str]:
    for line in text.split("\n"):
        rest = line
        while units(plain(rest)) > most:
            head = _fitting(rest, most)
            yield head.rstrip()
            rest = rest[len(head) :]
        yield rest


def _fitting(text: str, most: int) -> str:
    """The longest beginning that fits, ending between words where there are any."""
    low, high = 1, min(len(text), most)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if units(text[:middle]) <= most else (low, middle - 1)
    space = text.rfind(" ", low // 2, low)
    return text[: space + 1] if space > 0 else text[:low]
