"""The terminal as whoever starts it sees it: a child process, its streams, its exit status."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 60.0
Event = dict[str, Any]


@dataclass(frozen=True)
class Ended:
    """What a run left: its exit status and what it wrote."""

    status: int
    out: str
    err: str

    @property
    def events(self) -> list[Event]:
        """Every line of the output, which must all be JSON objects."""
        return [json.loads(line) for line in self.out.split("\n")[:-1]]

    @property
    def messages(self) -> list[Event]:
        return [one for one in self.events if one["event"] == "message"]

    def answers(self, line: int) -> list[Event]:
        """The messages between the end of the line before and the end of this one."""
        found: list[Event] = []
        for event in self.events:
            if event["event"] == "message":
                found.append(event)
            elif event["line"] == line:
                return found
            else:
                found = []
        raise AssertionError(f"line {line} was never done")

    def answer(self, line: int) -> str:
        """The text of the only answer to a line."""
        (only,) = self.answers(line)
        text = only["text"]
        assert isinstance(text, str)
        return text


@dataclass
class Potside:
    """Starts the program, at home in a folder of its own."""

    home: Path
    env: dict[str, str] = field(default_factory=dict)

    def environment(self, **more: str) -> dict[str, str]:
        kept = {"PATH": os.environ["PATH"], "TZ": "Europe/Berlin", "PYTHONWARNINGS": "error"}
        return kept | {"HOME": str(self.home), "XDG_DATA_HOME": str(self.home / "data")} | more

    def command(self, *arguments: str) -> list[str]:
        return [sys.executable, "-m", "bot.cli", *arguments]

    def run(self, *arguments: str, said: str | bytes = "", **env: str) -> Ended:
        given = said.encode() if isinstance(said, str) else said
        done = subprocess.run(
            self.command(*arguments),
            input=given,
            capture_output=True,
            cwd=ROOT,
            env=self.environment(**env),
            timeout=PATIENCE,
            check=False,
        )
        return Ended(done.returncode, done.stdout.decode(), done.stderr.decode())

    def chat(self, *lines: str, db: str = "sqlite://", options: tuple[str, ...] = ()) -> Ended:
        """A JSON chat on a standing clock in Berlin that must end well and say nothing aside."""
        clock = () if "--start" in options else ("--start", "2026-03-02T07:30")
        where = ("--db", db, "--tz", "Europe/Berlin")
        said = "".join(f"{line}\n" for line in lines)
        ended = self.run("chat", "--json", *where, *clock, *options, said=said)
        assert (ended.status, ended.err) == (0, "")
        return ended

    def start(self, *arguments: str, **streams: Any) -> subprocess.Popen[bytes]:
        pipes: dict[str, Any] = dict.fromkeys(("stdin", "stdout", "stderr"), subprocess.PIPE)
        command, env = self.command(*arguments), self.environment()
        child: subprocess.Popen[bytes] = subprocess.Popen(
            command, cwd=ROOT, env=env, **(pipes | streams)
        )
        return child
