"""One program at a time on the folder of our keys: two would answer with each other's keys."""

from __future__ import annotations

import errno
from pathlib import Path
from typing import IO

try:
    import fcntl
except ImportError:  # a platform without: there it is up to the operator
    fcntl = None  # type: ignore[assignment]


class Lock:
    """Held from `take` to `give_back`, or to the program's end, however it ends."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._file: IO[bytes] | None = None

    def take(self) -> None:
        """Take it, unless it is ours already.

        Raises BlockingIOError while another program has it, OSError when it can't be had at all.
        """
        if self._file is not None:
            return
        self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        file = (self._folder / "lock").open("ab")
        try:
            if fcntl is not None:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            file.close()
            raise BlockingIOError(errno.EAGAIN, "another program uses it") from error
        self._file = file

    def give_back(self) -> None:
        """Let another program have it."""
        if self._file is not None:
            self._file.close()
            self._file = None
