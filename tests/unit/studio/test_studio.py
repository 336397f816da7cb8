"""Work done apart: what goes wrong there ends there, and nothing of ours goes there."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from bot.studio.studio import FailedError, Studio
from bot.studio.wire import DeclinedError
from bot.talk.charts.drawing import draw, drawn
from bot.talk.charts.planning import recipe
from bot.talk.charts.recipe import to_values
from core.store.opening import open_store
from tests.unit.charts.test_drawing import BERLIN, FULL, LABELS, NOW
from tests.unit.studio import works

ROOT = Path(__file__).resolve().parents[3]
HAS_PROC = Path("/proc/self/fd").exists()


@pytest.fixture(scope="module")
def studio() -> Iterator[Studio]:
    made = Studio()
    yield made
    made.end()


@pytest.fixture
def hasty() -> Iterator[Studio]:
    """One that is begun for a test, and doesn't stay without work."""
    made = Studio(idle=1.0)
    yield made
    made.end()


def gone(pid: int, within: float = 5) -> bool:
    """Whether a process ends."""
    ends = time.monotonic() + within
    while time.monotonic() < ends:
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.02)
    return False


def test_what_a_library_prints_is_no_answer(studio: Studio) -> None:
    assert studio.do(works.turned, b"fern") == b"nref"
    large = os.urandom(3_000_000)
    assert studio.do(works.turned, large) == large[::-1]


def test_nothing_is_drawn_otherwise_there(studio: Studio) -> None:
    values = to_values(recipe([FULL, FULL], LABELS, NOW, BERLIN))
    assert studio.do(drawn, json.dumps(values).encode()) == draw(values)


@pytest.mark.skipif(not HAS_PROC, reason="only Linux tells what a process has open")
def test_it_has_no_secret_no_database_and_nothing_of_the_core(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("POTSIDE_TELEGRAM_TOKEN", "123:SECRET")
    monkeypatch.setenv("CREDENTIALS_DIRECTORY", "/run/credentials")
    store = open_store(f"sqlite:///{tmp_path / 'potside.db'}")
    with store.write():
        values = to_values(recipe([FULL], LABELS, NOW, BERLIN))
        studio = Studio()
        studio.do(drawn, json.dumps(values).encode())
        told = json.loads(studio.do(works.surroundings, b""))
        studio.end()
        mine = works.open_files()
    store.close()
    assert any("potside.db" in one for one in mine)  # so the check below can fail
    assert not [one for one in told["files"] if "potside" in one or one.startswith("socket")]
    assert told["environment"]["PATH"] == os.environ["PATH"]
    assert "SECRET" not in str(told["environment"])
    assert "CREDENTIALS_DIRECTORY" not in told["environment"]
    loaded = set(told["loaded"])
    assert "matplotlib.figure" in loaded
    assert not {"sqlalchemy", "core", "asyncio"} & loaded
    # It keeps every figure (nccgroup/SteppingStones #2, matplotlib #27138).
    assert "matplotlib.pyplot" not in loaded


def test_why_something_is_declined_comes_back(studio: Studio) -> None:
    with pytest.raises(DeclinedError, match="pixels"):
        studio.do(works.declined, b"pixels")


@pytest.mark.parametrize("work", [works.broken, works.starved])
def test_what_nobody_foresaw_is_told_without_its_words(
    studio: Studio, work: Callable[[bytes], bytes]
) -> None:
    before = studio.do(works.process, b"")
    with pytest.raises(FailedError, match=r"Error, works\.py:\d+ from worker\.py") as failed:
        studio.do(work, b"what Ida wrote")
    assert "Ida" not in str(failed.value)
    assert studio.do(works.process, b"") == before


@pytest.mark.parametrize(
    ("work", "status"),
    [(works.killed, "-9"), (works.left, "3"), (works.garbled, "-?[0-9]+")],
)
def test_whatever_becomes_of_it_the_next_work_is_done(
    hasty: Studio, work: Callable[[bytes], bytes], status: str
) -> None:
    with pytest.raises(FailedError, match=rf"{work.__name__}: \w+Error, exit status {status}"):
        hasty.do(work, b"")
    assert hasty.do(works.turned, b"fern") == b"nref"


def test_what_hangs_is_ended(hasty: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    begun = time.monotonic()
    with monkeypatch.context() as patch:
        patch.setattr(hasty, "_patience", 1.0)
        with pytest.raises(FailedError, match="exit status -9"):
            hasty.do(works.hung, b"")
    assert time.monotonic() - begun < 10
    assert hasty.do(works.turned, b"fern") == b"nref"


def test_one_that_was_ended_while_it_waited_is_not_missed(studio: Studio) -> None:
    """Whether that shows already or not: it takes a while to be gone."""
    for pause in (0.1, 0.0, 0.0, 0.0):
        pid = int(studio.do(works.process, b""))
        os.kill(pid, signal.SIGKILL)
        time.sleep(pause)
        assert int(studio.do(works.process, b"")) != pid


def test_a_program_that_can_not_be_begun(monkeypatch: pytest.MonkeyPatch, hasty: Studio) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(sys, "executable", "/does/not/exist")
        with pytest.raises(FailedError):
            hasty.do(works.turned, b"fern")
    assert hasty.do(works.turned, b"fern") == b"nref"


@pytest.mark.skipif(sys.platform == "win32", reason="signals")
def test_what_ends_the_one_that_asks_is_not_for_it(studio: Studio) -> None:
    pid = int(studio.do(works.process, b""))
    os.kill(pid, signal.SIGINT)
    os.kill(pid, signal.SIGTERM)
    assert int(studio.do(works.process, b"")) == pid


def test_it_goes_when_there_is_no_more_to_do(hasty: Studio) -> None:
    first = int(hasty.do(works.process, b""))
    assert int(hasty.do(works.process, b"")) == first
    assert gone(first)
    assert hasty.pid is None
    second = int(hasty.do(works.process, b""))
    assert second != first
    assert gone(second)


def test_it_is_begun_anew_after_much_work() -> None:
    studio = Studio(enough=2)
    pids = [studio.do(works.process, b"") for _ in range(4)]
    assert len(set(pids)) == 2
    assert pids[0] == pids[1]
    assert studio.pid is None


def test_the_end_comes_in_the_middle_of_work(studio: Studio) -> None:
    pid = int(studio.do(works.process, b""))
    threading.Timer(0.3, studio.end).start()
    begun = time.monotonic()
    with pytest.raises(FailedError):
        studio.do(works.hung, b"")
    assert time.monotonic() - begun < 5
    assert gone(pid)


def test_many_threads_take_turns(studio: Studio) -> None:
    found: dict[int, bytes] = {}

    def ask(number: int) -> None:
        found[number] = studio.do(works.turned, f"{number:04}".encode())

    threads = [threading.Thread(target=ask, args=(n,)) for n in range(20)]
    for one in threads:
        one.start()
    for one in threads:
        one.join(20)
    assert found == {n: f"{n:04}"[::-1].encode() for n in range(20)}


@pytest.mark.parametrize("work", ["process", "hung"])
def test_no_orphan_stays_when_the_one_that_asks_is_killed(work: str) -> None:
    """At rest it sees that nobody can ask; at work the system ends it, hung as it may be."""
    code = (
        "import sys, time\n"
        "from bot.studio.studio import Studio\n"
        "from tests.unit.studio import works\n"
        "studio = Studio(patience=2.0)\n"
        "print(studio.do(works.process, b'').decode(), flush=True)\n"
        f"studio.do(works.{work}, b'')\n"
        "time.sleep(60)\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code], cwd=ROOT, stdout=subprocess.PIPE, text=True
    ) as parent:
        assert parent.stdout
        pid = int(parent.stdout.readline())
        time.sleep(0.3)
        parent.kill()
    assert gone(pid, 15)
