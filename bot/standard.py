"""The standard streams of every command: UTF-8 whatever the locale, no word when nobody reads."""

from __future__ import annotations

import os
import sys
from io import TextIOWrapper

BROKEN_PIPE = 128 + 13
INTERRUPTED = 128 + 2
"""Exit statuses as a shell counts them: of a program that SIGPIPE or SIGINT ended."""


def use_utf8() -> None:
    """Write UTF-8 and plain newlines; what can't be written so is replaced, not an error."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="replace", newline="\n")


def aside(text: str) -> None:
    """A line for the person at the machine, beside the conversation: standard error, if any."""
    if sys.stderr is not None:
        sys.stderr.write(text + "\n")


def hush() -> None:
    """Nobody reads what we write: let the interpreter's last flush go nowhere."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
