"""kill -9 at random instants of a morning's fan-out: nothing lost, doubles within their window.

`POTSIDE_KILLS=200` kills that often; a double is a message sent and not yet marked when the kill
came, so there is at most one for each kill.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from collections import Counter
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from core.store.opening import open_store
from tests.faults.fanout import found, plan_all

ROOT = Path(__file__).resolve().parents[3]
BERLIN = ZoneInfo("Europe/Berlin")
BEFORE = datetime(2026, 3, 2, 12, tzinfo=BERLIN)
MORNING = datetime(2026, 3, 12, 8, 1, tzinfo=BERLIN)
KILLS = int(os.environ.get("POTSIDE_KILLS", "12"))
HOUSEHOLDS = 40 * max(4, KILLS // 4)
# A start takes so long at most; kills come within so many messages of a run, on any machine.
PATIENCE, WITHIN = 60.0, 9


def test_killed_again_and_again_each_household_hears_its_round(tmp_path: Path) -> None:
    url, heard = f"sqlite:///{tmp_path / 'fanout.db'}", tmp_path / "heard"
    store = open_store(url)
    found(store, HOUSEHOLDS, BEFORE)
    store.close()
    plan_all(url, heard, BEFORE)
    chance = random.Random(11)  # noqa: S311 - the same instants each time
    kills = 0
    while kills < KILLS and _run(url, heard, chance.randint(1, WITHIN), chance.uniform(0, 0.004)):
        kills += 1
    assert not _run(url, heard, None)
    times = Counter(heard.read_text().split())
    assert set(times) == {f"home{n}" for n in range(HOUSEHOLDS)}
    doubles = sum(count - 1 for count in times.values())
    assert kills >= min(KILLS, 3)
    assert doubles <= kills
    assert max(times.values()) <= 2


def _run(url: str, heard: Path, messages: int | None, moment: float = 0) -> bool:
    """Run until all is said, or until killed a moment after so many messages; whether killed."""
    before = _count(heard)
    command = [sys.executable, "-m", "tests.faults.fanout", url, str(heard), MORNING.isoformat()]
    with subprocess.Popen(command, cwd=ROOT) as process:
        end = time.monotonic() + PATIENCE
        if messages is None:
            assert process.wait(PATIENCE) == 0
            return False
        while _count(heard) < before + messages and process.poll() is None:
            assert time.monotonic() < end
            time.sleep(0.001)
        time.sleep(moment)
        process.kill()
        return process.wait(PATIENCE) != 0


def _count(heard: Path) -> int:
    return heard.read_text().count("\n")
