"""What passes between the process that asks and the one that works: never code, only bytes."""

from __future__ import annotations

import json
from typing import Any, BinaryIO

MOST_HEAD, MOST_BODY = 2**16, 2**26
"""Bytes: no more is read of what the other side sends."""


class DeclinedError(Exception):
    """The work can't be done for what was given; the message says why to whoever asked."""


def send(out: BinaryIO, head: dict[str, Any], body: bytes) -> None:
    """Write a thing: a line that says what it is, then its bytes. Raises OSError."""
    out.write(json.dumps({**head, "size": len(body)}).encode() + b"\n")
    out.write(body)
    out.flush()


def receive(come: BinaryIO) -> tuple[dict[str, Any], bytes]:
    """Read what `send` wrote. Raises EOFError at the end, ValueError for anything else."""
    line = come.readline(MOST_HEAD)
    if not line.endswith(b"\n"):
        raise EOFError
    head = json.loads(line)
    size = head.get("size") if isinstance(head, dict) else None
    if not isinstance(size, int) or not 0 <= size <= MOST_BODY:
        raise ValueError(f"{size} bytes")
    body = come.read(size)
    if len(body) < size:
        raise EOFError
    return head, body
