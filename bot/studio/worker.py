"""The process apart: it does what it is asked, one thing after another, until nobody can ask.

Run as a program by `bot.studio.studio`. What it imports stays in its own memory, a decoder that a
file brings down brings down nothing else, and it is given neither the database nor any secret.
"""

from __future__ import annotations

import os
import signal
import sys
import traceback
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import Any, BinaryIO

from bot.studio.wire import DeclinedError, receive, send

FIRST_TO_GO = "500"
"""Of a thousand: where memory runs out, the kernel ends this process before the one that serves."""


def main() -> None:
    """Work until whoever asks is gone."""
    came, out = _pipes()
    _stand_back()
    with suppress(EOFError, BrokenPipeError):
        while True:
            head, body = receive(came)
            # Whoever asked would end us, but may be gone.
            _limit(int(head["seconds"]))
            answer, made = _done(head["work"], body)
            _limit(0)
            send(out, answer, made)


def _pipes() -> tuple[BinaryIO, BinaryIO]:
    """What comes in, and where our answers go; whatever a library prints goes nowhere."""
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    return sys.stdin.buffer, out


def _stand_back() -> None:
    """What is to end the one that asks isn't for us: it may want this picture first."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    with suppress(OSError):  # only Linux has it
        Path("/proc/self/oom_score_adj").write_text(FIRST_TO_GO)


def _limit(seconds: int) -> None:
    """Be ended by the system after so long, whatever hangs; 0 for never."""
    if sys.platform != "win32":
        signal.alarm(seconds)


def _done(work: str, given: bytes) -> tuple[dict[str, Any], bytes]:
    try:
        module, _, name = work.partition(":")
        return {"said": "done"}, getattr(import_module(module), name)(given)
    except DeclinedError as error:
        return {"said": "declined", "why": str(error)}, b""
    except Exception as error:  # noqa: BLE001 - told to whoever asked, without words of the data
        return {"said": "failed", "why": f"{type(error).__name__}, {_where(error)}"[:1000]}, b""


def _where(error: BaseException) -> str:
    """The places it passed, last first."""
    passed = reversed(traceback.extract_tb(error.__traceback__)[-5:])
    return " from ".join(f"{Path(one.filename).name}:{one.lineno}" for one in passed)


if __name__ == "__main__":
    main()
