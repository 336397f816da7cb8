"""What is said to the terminal: UTF-8 whatever the locale, lines of bounded length."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from typing import BinaryIO

from bot.talk.conversation import MOST_TEXT

# No character takes more than four bytes; a line longer than this is refused by its length alone.
MOST_BYTES = 4 * MOST_TEXT + 4

# Keys that were pressed by mistake or bytes of a file that is no text; a tab is a space.
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


class UnreadableError(Exception):
    """Standard input can't be read: a folder, a terminal that was closed."""


def lines() -> Iterator[str]:
    """Lines of standard input as they come, without their ends. Raises UnreadableError."""
    if sys.stdin is None:
        return
    first = True
    for raw in _raw_lines(sys.stdin.buffer):
        text = raw.decode("utf-8", errors="replace")
        yield clean(text.removeprefix("\ufeff") if first else text)
        first = False


def clean(text: str) -> str:
    """What somebody typed without line ends and control characters; inner newlines stay."""
    unbroken = text.rstrip("\r\n").replace("\r\n", "\n").replace("\r", "\n").replace("\t", " ")
    return _CONTROL.sub("", unbroken.encode("utf-8", "replace").decode())


def _raw_lines(source: BinaryIO) -> Iterator[bytes]:
    """Lines in bytes; of one that is too long only the beginning, which is too long as well."""
    while raw := _some(source):
        rest = raw
        while len(rest) == MOST_BYTES and not rest.endswith(b"\n"):
            rest = _some(source)
        yield raw


def _some(source: BinaryIO) -> bytes:
    try:
        return source.readline(MOST_BYTES)
    except OSError as error:
        raise UnreadableError(error.strerror) from error
