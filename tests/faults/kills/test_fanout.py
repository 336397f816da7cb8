"""kill -9 at random instants of a morning's fan-out: nothing lost, doubles within their window.

`POTSIDE_KILLS=200` kills that often. A double is a message that was sent and not yet marked when
the kill came: docs/round.md says how long that can be.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from tests.bench import street

ROOT = Path(__file__).resolve().parents[3]
KILLS = int(os.environ.get("POTSIDE_KILLS", "20"))
HOUSEHOLDS = 50 * max(4, KILLS)
# A start takes so long at most. Kills come within so many messages of a run, or so many seconds.
PATIENCE, WITHIN, SOON = 60.0, 9, 0.5
# Marks are written every 20 ms; then they stand in line for the disk and the one who writes to
# it, which on a busy machine is most of the time.
WINDOW = 2.0


@dataclass(slots=True)
class Morning:
    """A street's morning in several runs; `kills` are their moments."""

    url: str
    heard: Path
    chance: random.Random
    kills: list[float] = field(default_factory=list)

    def run(self, *, killed: bool) -> bool:
        """Run until all is said, or kill at some instant; whether it was."""
        command = [sys.executable, "-m", "tests.faults.fanout", self.url, str(self.heard)]
        with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE) as process:
            assert process.stdout is not None
            begun = process.stdout.readline()
            assert begun == b"begun\n"
            if killed:
                self._wait(process)
                self.kills.append(time.monotonic())
                process.kill()
            status = process.wait(PATIENCE)
        if killed and status == 0:
            self.kills.pop()  # it had come to its end
        return status != 0

    def _wait(self, process: subprocess.Popen[bytes]) -> None:
        """Some time after its beginning, or a moment after some messages."""
        if self.chance.random() < 0.5:
            time.sleep(self.chance.uniform(0, SOON))
            return
        enough, end = len(self.lines()) + self.chance.randint(1, WITHIN), time.monotonic() + 60
        while len(self.lines()) < enough and process.poll() is None:
            assert time.monotonic() < end
            time.sleep(0.001)
        time.sleep(self.chance.uniform(0, 0.03))

    def lines(self) -> list[list[str]]:
        """Every message heard: its chat, its moment."""
        text = self.heard.read_text() if self.heard.exists() else ""
        return [line.split() for line in text.splitlines()]


def test_killed_again_and_again_each_household_hears_its_round(
    tmp_path: Path, tell: Callable[[str], None]
) -> None:
    street.build(tmp_path / "fanout.db", HOUSEHOLDS).close()
    chance = random.Random(11)  # noqa: S311 - the same instants each time
    morning = Morning(f"sqlite:///{tmp_path / 'fanout.db'}", tmp_path / "heard", chance)
    while len(morning.kills) < KILLS and morning.run(killed=True):
        pass
    assert not morning.run(killed=False)
    said: dict[str, list[float]] = {}
    for chat, at in morning.lines():
        said.setdefault(chat, []).append(float(at))
    assert set(said) == {"home0", *(f"home{n}" for n in range(1, HOUSEHOLDS))}
    again = [at for moments in said.values() for at in sorted(moments)[:-1]]
    spans = [_kill_after(at, morning.kills) - at for at in again]
    tell(
        f"{len(morning.kills)} kills in a morning of {HOUSEHOLDS} households: none lost, "
        f"{len(again)} said again, each sent at most {max(spans, default=0) * 1000:.0f} ms before "
        f"a kill; most after one kill {_most(again, morning.kills)}"
    )
    assert len(morning.kills) >= min(KILLS, 3)
    assert all(span <= WINDOW for span in spans)


def _kill_after(at: float, kills: list[float]) -> float:
    """The kill that left a message unmarked."""
    return min(kill for kill in kills if kill > at)


def _most(again: list[float], kills: list[float]) -> int:
    """How many messages one kill left unmarked."""
    return max(Counter(_kill_after(at, kills) for at in again).values(), default=0)
