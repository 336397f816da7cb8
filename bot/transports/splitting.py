"""A text in pieces that a network takes, cut between blocks, lines or words."""

from __future__ import annotations

from collections.abc import Callable, Iterator


def split(text: str, most: int, size: Callable[[str], int]) -> list[str]:
    """A text in pieces of at most `most` by `size`, which grows with the text."""
    if size(text) <= most:
        return [text] if text.strip() else []
    pieces: list[str] = []
    now = ""
    for line in _lines(text, most, size):
        longer = f"{now}\n{line}" if now else line
        if size(longer) <= most:
            now = longer
            continue
        head, tail = _at_block(now, most, size)
        pieces.append(head)
        now = f"{tail}\n{line}" if tail else line
        if size(now) > most:
            pieces.append(tail)
            now = line
    return [piece for piece in (*pieces, now) if piece.strip()]


def _at_block(text: str, most: int, size: Callable[[str], int]) -> tuple[str, str]:
    """Cut at the last empty line, if that leaves a good part before it."""
    head, gap, tail = text.rpartition("\n\n")
    if gap and size(head) > most // 2:
        return head, tail.strip("\n")
    return text, ""


def _lines(text: str, most: int, size: Callable[[str], int]) -> Iterator[str]:
    for line in text.split("\n"):
        rest = line
        while size(rest) > most:
            head = _fitting(rest, most, size)
            yield head.rstrip()
            rest = rest[len(head) :]
        yield rest


def _fitting(text: str, most: int, size: Callable[[str], int]) -> str:
    """The longest beginning that fits, ending between words where there are any."""
    low, high = 1, min(len(text), most)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if size(text[:middle]) <= most else (low, middle - 1)
    space = text.rfind(" ", low // 2, low)
    return text[: space + 1] if space > 0 else text[:low]
