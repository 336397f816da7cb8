"""A pseudo-terminal with the program in it, seen as text."""

from __future__ import annotations

import os
import pty
import re
import select
import subprocess
import termios
import time
from typing import Self

from tests.transports.child import PATIENCE, ROOT, Potside

_STYLE = re.compile(r"\x1b\[[0-9;?]*[a-zA-Z]|\x1b[=>]|\x1b\][^\x07]*\x07")


class Terminal:
    """Types keys and waits for what appears. `raw` keeps the styles, `text` leaves them out."""

    def __init__(
        self,
        potside: Potside,
        *arguments: str,
        columns: int = 100,
        env: dict[str, str] | None = None,
    ) -> None:
        self._ours, theirs = pty.openpty()
        termios.tcsetwinsize(theirs, (30, columns))
        self.before = termios.tcgetattr(theirs)
        self._theirs = theirs
        self.raw = ""
        self.child = subprocess.Popen(
            potside.command("chat", *arguments),
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            cwd=ROOT,
            env=potside.environment(**({"TERM": "xterm-256color"} | (env or {}))),
            start_new_session=True,
        )

    @property
    def text(self) -> str:
        return _STYLE.sub("", self.raw).replace("\r", "")

    @property
    def after(self) -> list[object]:
        """How the terminal was left."""
        return termios.tcgetattr(self._theirs)

    def press(self, keys: str) -> None:
        os.write(self._ours, keys.encode())

    def see(self, wanted: str, *, within: float = PATIENCE) -> str:
        """Wait until a text appears; all since the last time somebody looked."""
        self.styled(wanted, within=within)
        seen, self.raw = self.text, ""
        return seen

    def styled(self, wanted: str, *, within: float = PATIENCE) -> str:
        """The same with its styles, and to be seen again."""
        end = time.monotonic() + within
        while wanted not in self.text:
            assert time.monotonic() < end, f"{wanted!r} never came after {self.text!r}"
            self._read(0.2)
        return self.raw

    def rest(self) -> str:
        """What comes until the program ends."""
        end = time.monotonic() + PATIENCE
        while self.child.poll() is None:
            assert time.monotonic() < end, self.text
            self._read(0.2)
        while self._read(0.1):
            pass
        return self.text

    def _read(self, seconds: float) -> bool:
        ready, _, _ = select.select([self._ours], [], [], seconds)
        if not ready:
            return False
        chunk = os.read(self._ours, 65536).decode("utf-8", "replace")
        self.raw += chunk
        if "\x1b[6n" in chunk:  # the program asks where the cursor is
            self.press("\x1b[1;1R")
        return True

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_error: object) -> None:
        self.child.kill()
        self.child.wait()
        os.close(self._ours)
        os.close(self._theirs)
