"""Taking turns on one database, among threads and among processes."""

from __future__ import annotations

import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from core.store import turns
from core.store.opening import open_store
from core.store.turns import Turns

HOLD = (
    "import sys, time\n"
    "from core.store.opening import open_store\n"
    "from core.store.turns import Turns\n"
    "with Turns(open_store(sys.argv[1])).mine():\n"
    "    print('mine', flush=True)\n"
    "    sys.stdin.read()\n"
)


@pytest.fixture
def holder(db_url: str) -> Iterator[subprocess.Popen[str]]:
    """Another process that has the turn until its input ends."""
    command = [sys.executable, "-c", HOLD, db_url]
    with subprocess.Popen(
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).resolve().parents[3],
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "mine\n"
        yield other
        other.kill()


@pytest.fixture
def mine(db_url: str) -> Iterator[Turns]:
    store = open_store(db_url)
    turns_ = Turns(store)
    yield turns_
    turns_.close()
    store.close()


def _seconds_to_get(mine: Turns) -> float:
    began = time.monotonic()
    with mine.mine():
        return time.monotonic() - began


def test_the_turn_comes_when_the_other_process_is_done(
    holder: subprocess.Popen[str], mine: Turns
) -> None:
    later = threading.Timer(0.3, holder.communicate)
    later.start()
    assert 0.25 < _seconds_to_get(mine) < 5
    later.join()
    assert _seconds_to_get(mine) < 0.25


def test_the_turn_of_a_killed_process_is_free(
    holder: subprocess.Popen[str], mine: Turns, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(turns, "PATIENCE", timedelta(minutes=1))
    holder.kill()
    assert _seconds_to_get(mine) < 5


def test_patience_ends_and_work_goes_on(
    holder: subprocess.Popen[str], mine: Turns, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(turns, "PATIENCE", timedelta(seconds=0.3))
    assert 0.2 < _seconds_to_get(mine) < 5
    assert holder.poll() is None


def test_threads_take_turns_and_one_may_nest(mine: Turns) -> None:
    inside: list[str] = []

    def enter(name: str) -> None:
        with mine.mine(), mine.mine():
            inside.append(name)
            time.sleep(0.01)
            inside.append(name)

    threads = [threading.Thread(target=enter, args=(name,)) for name in "abcdef"]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    pairs = list(zip(inside[::2], inside[1::2], strict=True))
    assert len(pairs) == 6
    assert all(first == second for first, second in pairs)


def test_memory_needs_no_file() -> None:
    store = open_store("sqlite://")
    assert _seconds_to_get(Turns(store)) < 0.25
    store.close()
