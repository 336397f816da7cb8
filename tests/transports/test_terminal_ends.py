"""How a sitting ends: signals, readers that leave, streams that aren't there."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.transports.child import PATIENCE, Potside

Start = Callable[..., "subprocess.Popen[bytes]"]
FERN = b"/add fern, Boston fern, 15 cm pot, bathroom, north window\n"


def _said_first(child: subprocess.Popen[bytes]) -> bytes:
    """Wait until the program answers, so that it is surely up."""
    assert child.stdin is not None
    assert child.stdout is not None
    child.stdin.write(b"/help\n")
    child.stdin.flush()
    return child.stdout.readline()


def _end(child: subprocess.Popen[bytes]) -> tuple[int, bytes]:
    assert child.stderr is not None
    status = child.wait(PATIENCE)
    return status, child.stderr.read()


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
@pytest.mark.parametrize("clock", [(), ("--start", "2026-03-02T07:30")], ids=["real", "standing"])
def test_a_signal_ends_it_quietly(
    running: Start, db: str, tmp_path: Path, number: signal.Signals, clock: tuple[str, ...]
) -> None:
    child = running("chat", "--json", "--db", db, *clock)
    assert _said_first(child)
    child.send_signal(number)
    assert _end(child) == (128 + number, b"")
    assert not list(tmp_path.glob("*-wal"))  # closed as it should be


def test_a_signal_waits_for_the_line_in_hand(running: Start, db: str, potside: Potside) -> None:
    child = running("chat", "--json", "--db", db, "--start", "2026-03-02T07:30")
    assert _said_first(child)
    assert child.stdin is not None
    assert child.stdout is not None
    child.stdin.write(FERN * 1 + b"fern 3 4\n" * 50)
    child.stdin.flush()
    lines: list[bytes] = []
    while not any(b'"line": 9}' in line for line in lines):
        lines.append(child.stdout.readline())
    child.send_signal(signal.SIGTERM)
    rest, err = child.communicate(timeout=PATIENCE)
    assert (child.returncode, err) == (143, b"")
    told = b"".join(lines) + rest
    assert told.endswith(b"}\n")
    assert b'"event": "done"' in told.splitlines()[-1]
    checks = told.count(b"Fern: 3 and 4")
    story = potside.chat(*["/undo"] * (checks + 2), db=db)
    taken = [one for one in story.messages if "3 and 4" in one["text"].partition("\n")[0]]
    assert len(taken) == checks


def test_a_second_signal_does_not_wait(running: Start, db: str) -> None:
    other = running("chat", "--json", "--db", db)
    assert _said_first(other)
    child = running("chat", "--json", "--db", db)
    assert _said_first(child)
    held = os.open(f"{db.removeprefix('sqlite:///')}-turn", os.O_RDWR)
    _lock(held)
    assert child.stdin is not None
    child.stdin.write(b"/plants\n")
    child.stdin.flush()
    time.sleep(0.5)
    child.send_signal(signal.SIGINT)
    time.sleep(0.2)
    assert child.poll() is None
    child.send_signal(signal.SIGINT)
    assert _end(child)[0] == 130
    os.close(held)


def _lock(file: int) -> None:
    import fcntl

    fcntl.flock(file, fcntl.LOCK_EX)


def test_an_ignored_signal_stays_ignored(potside: Potside) -> None:
    command = ["nohup", *potside.command("chat", "--json", "--db", "sqlite://")]
    with subprocess.Popen(
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=Path(__file__).resolve().parents[2],
        env=potside.environment(),
    ) as child:
        assert _said_first(child)
        child.send_signal(signal.SIGHUP)
        out, _ = child.communicate(b"/help\n", PATIENCE)
    assert child.returncode == 0
    assert b'"line": 2}' in out


@pytest.mark.parametrize("more", [("--json",), (), ("--demo",)], ids=["json", "text", "demo"])
def test_a_reader_that_leaves_ends_it_quietly(running: Start, more: tuple[str, ...]) -> None:
    child = running("chat", "--db", "sqlite://", "--start", "2026-03-02T07:30", *more)
    assert child.stdin is not None
    assert child.stdout is not None
    child.stdin.write(b"/help\n")
    child.stdin.flush()
    assert child.stdout.readline()
    child.stdout.close()
    child.stdin.write(b"/help\n" * 10)
    child.stdin.close()
    assert _end(child) == (141, b"")


def test_what_nobody_read_is_said_at_the_next_start(
    running: Start, db: str, potside: Potside
) -> None:
    child = running("chat", "--json", "--db", db, "--start", "2026-03-02T07:30")
    assert _said_first(child)
    assert child.stdin is not None
    assert child.stdout is not None
    assert b"done" in child.stdout.readline()
    child.stdout.close()
    child.stdin.write(FERN)
    child.stdin.close()
    assert _end(child) == (141, b"")
    ended = potside.chat("/plants", db=db)
    texts = [one["text"] for one in ended.answers(1)]
    assert texts[0].startswith("Fern is on the list")
    assert texts[-1].endswith("Bathroom: Fern")


def test_a_full_disk_is_named(running: Start) -> None:
    if not Path("/dev/full").exists():
        pytest.skip("this system has no full device")
    with Path("/dev/full").open("wb") as full:
        child = running("chat", "--json", "--db", "sqlite://", stdout=full)
        child.communicate(b"/help\n", PATIENCE)
    assert child.returncode == 1


@pytest.fixture
def shell(potside: Potside) -> Callable[[str], subprocess.CompletedProcess[bytes]]:
    def run(script: str) -> subprocess.CompletedProcess[bytes]:
        command = ["sh", "-c", script, "sh", *potside.command("chat", "--db", "sqlite://")]
        return subprocess.run(
            command,
            cwd=Path(__file__).resolve().parents[2],
            env=potside.environment(),
            capture_output=True,
            timeout=PATIENCE,
            check=False,
            stdin=subprocess.DEVNULL,
        )

    return run


@pytest.mark.parametrize(
    ("script", "status", "aside"),
    [
        ('"$@" </dev/null', 0, b""),
        ('"$@" <&-', 0, b""),
        ('echo /help | "$@" >&-', 1, b"no standard output"),
        ('echo /help | "$@" >&- 2>&-', 1, b""),
        ('echo /help | "$@" 2>&- >/dev/null', 0, b""),
        ('"$@" --start never 2>&-', 2, b""),
        ('yes | "$@" --demo | head -1 >/dev/null', 0, b""),
    ],
)
def test_streams_that_arent_there(
    shell: Callable[[str], subprocess.CompletedProcess[bytes]],
    script: str,
    status: int,
    aside: bytes,
) -> None:
    done = shell(script)
    assert done.returncode == status
    assert aside in done.stderr
    assert b"Traceback" not in done.stderr
    assert b"Exception" not in done.stderr
