"""The side that asks: one process apart, begun when there is work, ended when there is none.

matplotlib takes 60 MiB and never gives them back, and decoders read what strangers send: neither
belongs in a process that serves for months.
"""

from __future__ import annotations

import atexit
import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from typing import Any, BinaryIO, TypeAlias, cast

from bot.logs import Log
from bot.studio.wire import DeclinedError, receive, send

log = Log(__name__)

Work: TypeAlias = Callable[[bytes], bytes]

PATIENCE = 45.0
"""Seconds one piece of work may take: the first of all looks through the machine's fonts."""
IDLE = 60.0
"""Seconds the process is kept without work: a second chart comes in a fifth of the time."""
ENOUGH = 200
"""Pieces of work until it is begun anew: whatever leaks in it is small and ends."""
AT_ONCE = 1.0
"""A process that is found gone within so many seconds may have been so before it was asked."""
FAREWELL = 5.0
"""Seconds it has for ending by itself."""
KEPT = (
    "HOME LANG LC_ALL LC_CTYPE LD_LIBRARY_PATH MPLCONFIGDIR PATH PYTHONHOME SYSTEMROOT TEMP TMP "
    "TMPDIR USERPROFILE XDG_CACHE_HOME XDG_CONFIG_HOME"
).split()
"""All that it is told of our environment: where things lie, no secret."""


class FailedError(Exception):
    """Work wasn't done: it took too long, its process died, or nobody foresaw what it met."""


class Studio:
    """Does work apart, one piece at a time; for any thread, never for an event loop."""

    def __init__(
        self, patience: float = PATIENCE, idle: float = IDLE, enough: int = ENOUGH
    ) -> None:
        self._patience = patience
        self._idle = idle
        self._enough = enough
        self._one = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._done = 0
        self._ends = 0
        self._last = 0.0

    @property
    def pid(self) -> int | None:
        """The process that is there now."""
        process = self._process
        return None if process is None else process.pid

    def do(self, work: Work, given: bytes) -> bytes:
        """What `work`, a function of a module, makes of `given`.

        Raises DeclinedError as `work` does, and FailedError.
        """
        with self._one:
            try:
                answer, made = self._asked(work, given)
            except (OSError, EOFError, ValueError, RuntimeError) as error:  # or no more threads
                why = f"{type(error).__name__}, exit status {self._end(0)}"
                raise _failed(work, why) from error
            except BaseException:
                self._end(0)  # its answer to this would be taken for that to the next
                raise
            self._rest()
        if answer.get("said") == "declined":
            raise DeclinedError(str(answer.get("why")))
        if answer.get("said") != "done":
            raise _failed(work, str(answer.get("why")))
        return made

    def end(self) -> None:
        """End the process, whatever it is at; more work begins another."""
        self._ends += 1
        process = self._process
        if process is not None and self._one.locked():
            process.kill()
        with self._one:
            self._end(FAREWELL)

    def _asked(self, work: Work, given: bytes) -> tuple[dict[str, Any], bytes]:
        """Ask; once more where a process that has worked before is gone at once.

        It may have been ended before this came, by a machine short of memory.
        """
        process, ends, begun = self._at_hand(), self._ends, time.monotonic()
        try:
            return self._ask(process, work, given)
        except (OSError, EOFError):
            if not self._done or self._ends != ends or time.monotonic() - begun > AT_ONCE:
                raise
        self._end(0)
        return self._ask(self._at_hand(), work, given)

    def _at_hand(self) -> subprocess.Popen[bytes]:
        if self._process is not None and self._process.poll() is not None:
            self._end(0)  # ended by somebody else while nothing was asked of it
        if self._process is None:
            self._process = _begun()
            self._done = 0
            atexit.register(self.end)
        return self._process

    def _ask(
        self, process: subprocess.Popen[bytes], work: Work, given: bytes
    ) -> tuple[dict[str, Any], bytes]:
        late = threading.Timer(self._patience, process.kill)
        late.daemon = True
        late.start()
        asked = {"work": f"{work.__module__}:{work.__name__}", "seconds": int(self._patience) + 1}
        try:
            send(cast("BinaryIO", process.stdin), asked, given)
            return receive(cast("BinaryIO", process.stdout))
        finally:
            late.cancel()

    def _rest(self) -> None:
        """After work: be ended when none comes for a while, at once after a great deal of it."""
        self._done += 1
        self._last = time.monotonic()
        if self._done >= self._enough:
            self._end(FAREWELL)
            return
        if self._done == 1:
            self._look_later(self._idle)

    def _look_later(self, seconds: float) -> None:
        idle = threading.Timer(seconds, self._look, (self._process,))
        idle.daemon = True
        with suppress(RuntimeError):  # no more threads: it stays until it has done enough
            idle.start()

    def _look(self, process: subprocess.Popen[bytes]) -> None:
        with self._one:
            if self._process is not process:
                return
            left = self._last + self._idle - time.monotonic()
            if left > 0:
                self._look_later(left)
            else:
                self._end(FAREWELL)

    def _end(self, patience: float) -> int | None:
        """End the process, after so many seconds by force; its exit status."""
        process, self._process = self._process, None
        if process is None:
            return None
        atexit.unregister(self.end)
        if not patience and process.poll() is None:
            process.kill()  # before its pipes are closed: what is in them would be waited for
        for pipe in (process.stdin, process.stdout):
            with suppress(OSError):  # what could not be written any more
                cast("BinaryIO", pipe).close()
        with suppress(subprocess.TimeoutExpired):
            return process.wait(patience or FAREWELL)
        process.kill()
        return process.wait()


def _failed(work: Work, why: str) -> FailedError:
    log.warning("a picture could not be made", work=work.__name__, reason=why)
    return FailedError(f"{work.__name__}: {why}")


def _begun() -> subprocess.Popen[bytes]:
    told = {name: os.environ[name] for name in KEPT if name in os.environ}
    places = [one or os.getcwd() for one in sys.path]  # noqa: PTH109 - an empty one means here
    told |= {"PYTHONPATH": os.pathsep.join(places), "OPENBLAS_NUM_THREADS": "1"}
    return subprocess.Popen(
        [sys.executable, "-P", "-m", "bot.studio.worker"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=told,
    )


STUDIO = Studio()
"""The program's own."""
