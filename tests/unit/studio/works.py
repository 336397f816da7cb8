"""What the tests have done apart: each a function of bytes, found by its name."""

from __future__ import annotations

import json
import os
import signal
import sys
import time
from pathlib import Path

from bot.studio.wire import DeclinedError


def turned(given: bytes) -> bytes:
    print("said by a library")
    return given[::-1]


def process(_given: bytes) -> bytes:
    return str(os.getpid()).encode()


def surroundings(_given: bytes) -> bytes:
    """Its environment, what it has open, what it has loaded."""
    told = {"environment": dict(os.environ), "files": open_files(), "loaded": list(sys.modules)}
    return json.dumps(told).encode()


def open_files() -> list[str]:
    held = Path("/proc/self/fd").iterdir()
    return [str(one.readlink()) for one in held if one.is_symlink()]


def declined(given: bytes) -> bytes:
    raise DeclinedError(given.decode())


def broken(given: bytes) -> bytes:
    raise RuntimeError(given.decode())


def hung(_given: bytes) -> bytes:
    while True:
        time.sleep(60)


def killed(_given: bytes) -> bytes:
    os.kill(os.getpid(), signal.SIGKILL)
    return b""


def left(_given: bytes) -> bytes:
    os._exit(3)


def starved(_given: bytes) -> bytes:
    """More memory than there is."""
    return bytes(2**62)


def garbled(_given: bytes) -> bytes:
    """A decoder that was taken over, and writes what it likes to whoever asked."""
    for descriptor in range(3, 10):
        try:
            os.write(descriptor, b'["nonsense"]\n')
        except OSError:
            continue
    return b"x"


def looked_for_fonts(_given: bytes) -> bytes:
    from matplotlib import font_manager

    return font_manager.findfont("DejaVu Sans").encode()
