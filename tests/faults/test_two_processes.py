"""Two programs serve one PostgreSQL on one morning: each household hears its round once.

Reports of other projects that this answers: agronholm/apscheduler #160, #218, #766.
"""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from core.store.opening import open_store
from tests.bench import street

ROOT = Path(__file__).resolve().parents[2]
HOUSEHOLDS = 120


@pytest.mark.postgres
def test_each_round_is_said_by_one_of_them(postgres_database: str, tmp_path: Path) -> None:
    store = open_store(postgres_database)
    street.settle(store, HOUSEHOLDS)
    store.close()
    heard = [tmp_path / "one", tmp_path / "other"]
    programs = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.faults.fanout", postgres_database, str(path)],
            cwd=ROOT,
            stdout=subprocess.DEVNULL,
        )
        for path in heard
    ]
    try:
        assert [program.wait(120) for program in programs] == [0, 0]
    finally:
        for program in programs:
            program.kill()
            program.wait(10)
    said = [[line.split()[0] for line in path.read_text().splitlines()] for path in heard]
    assert Counter(said[0] + said[1]) == {
        "home0": 1,
        **{f"home{n}": 1 for n in range(1, HOUSEHOLDS)},
    }
