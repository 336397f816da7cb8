"""`potside chat --json` as a child process: lines in, JSON objects out, and a way to kill it."""

from __future__ import annotations

import json
import subprocess
import sys
import threading
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any, TypeAlias
from zoneinfo import ZoneInfo

ROOT = Path(__file__).resolve().parents[2]
ZONE = "Europe/Berlin"
BEGINS = datetime(2026, 3, 2, 7, 30, tzinfo=ZoneInfo(ZONE))
PATIENCE = 60.0
# The program itself, but that it leaves marks in the journal at every turn.
CHAT = (
    "import sys; from core.journal import marks; marks.EVERY = 8;"
    " from bot.cli import main; sys.exit(main())"
)

Said: TypeAlias = dict[str, Any]


class Child:
    """A `potside chat --json` of its own. Its clock stands, or is the real one."""

    def __init__(
        self, url: str, clock: datetime | None, errors: Path, *, who: str = "Ida", **more: Any
    ) -> None:
        command = [sys.executable, "-c", CHAT, "chat", "--json", "--db", url, "--as", who]
        command += ["--tz", ZONE] + (["--start", clock.isoformat()] if clock else [])
        with errors.open("ab") as log:
            self._process = subprocess.Popen(
                command,
                cwd=ROOT,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=log,
                **more,
            )
        self.said: list[Said] = []
        self._more = threading.Condition()
        self._over = False
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        assert self._process.stdout is not None
        for raw in self._process.stdout:
            if raw.endswith(b"\n"):  # a kill may cut the last line: then it was not said
                with self._more:
                    self.said.append(json.loads(raw))
                    self._more.notify_all()
        with self._more:
            self._over = True
            self._more.notify_all()

    def feed(self, *texts: str) -> None:
        """Type lines, all at once."""
        assert self._process.stdin is not None
        self._process.stdin.write("".join(f"{text}\n" for text in texts).encode())
        self._process.stdin.flush()

    def wait_for(self, enough: Callable[[list[Said]], bool]) -> bool:
        """Until what was said is enough; False when the child ended before."""
        with self._more:
            done = self._more.wait_for(lambda: self._over or enough(self.said), PATIENCE)
            assert done, f"nothing more after {self.said[-3:]}"
            return enough(self.said)

    def until_done(self, line: int) -> None:
        """Until an input line has been handled."""
        assert self.wait_for(lambda said: any(one.get("line") == line for one in said)), self.said

    def kill(self) -> None:
        """kill -9; then whatever it said until that moment has been read."""
        self._process.kill()
        self._end()

    def leave(self) -> None:
        """End of input; it has to go by itself, with status 0."""
        assert self._process.stdin is not None
        self._process.stdin.close()
        assert self._process.wait(PATIENCE) == 0
        self._end()

    def ended(self) -> int:
        """Wait until it goes by itself; its exit status."""
        status = self._process.wait(PATIENCE)
        self._end()
        return status

    def _end(self) -> None:
        self._process.wait(PATIENCE)
        self._reader.join(PATIENCE)
        assert not self._reader.is_alive(), "its output never ended"
        for stream in (self._process.stdin, self._process.stdout):
            assert stream is not None
            try:
                stream.close()
            except BrokenPipeError:
                continue  # lines that were never read
