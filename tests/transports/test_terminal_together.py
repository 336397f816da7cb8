"""Several terminals on one database, and terminals that are killed."""

from __future__ import annotations

import contextlib
import json
import signal
import sqlite3
import subprocess
import time
from collections.abc import Callable
from typing import Any

import pytest

from tests.transports.child import PATIENCE, Potside

Start = Callable[..., "subprocess.Popen[bytes]"]
Event = dict[str, Any]
CLOCK = ("--start", "2026-03-02T07:30", "--tz", "Europe/Berlin")
FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"


def _talk(child: subprocess.Popen[bytes], line: str) -> list[Event]:
    """Say a line and hear all that comes until it is done."""
    assert child.stdin is not None
    assert child.stdout is not None
    child.stdin.write(f"{line}\n".encode())
    child.stdin.flush()
    heard: list[Event] = []
    while not heard or heard[-1]["event"] != "done":
        heard.append(json.loads(child.stdout.readline()))
    return heard[:-1]


def test_two_talk_on_one_database_at_once_and_each_gets_its_own_answers(
    running: Start, db_url: str, potside: Potside
) -> None:
    each = 25
    children = {}
    for name in ("Ida", "Tom"):
        children[name] = running("chat", "--json", "--db", db_url, "--as", name, *CLOCK)
    said = {
        name: "".join(f"/add {name}{number}, Boston fern\n" for number in range(each))
        for name in children
    }
    for name, child in children.items():
        assert child.stdin is not None
        child.stdin.write(said[name].encode())
        child.stdin.close()
    for name, child in children.items():
        assert child.stdout is not None
        assert child.stderr is not None
        out, err = child.stdout.read().decode(), child.stderr.read().decode()
        assert (child.wait(PATIENCE), err) == (0, "")
        events = [json.loads(line) for line in out.splitlines()]
        assert [one["line"] for one in events if one["event"] == "done"] == [*range(1, each + 1)]
        texts = [one["text"] for one in events if one["event"] == "message"]
        assert [text.partition(" ")[0] for text in texts] == [f"{name}{n}" for n in range(each)]
    ended = potside.chat("/household", "/plants", db=db_url)
    assert "Ida" in ended.answer(1)
    assert "Tom" in ended.answer(1)
    assert f"{2 * each} plants" in ended.answer(2)


def test_what_one_says_the_other_knows(running: Start, db: str) -> None:
    ida = running("chat", "--json", "--db", db, "--as", "Ida", *CLOCK)
    tom = running("chat", "--json", "--db", db, "--as", "Tom", *CLOCK)
    _talk(ida, FERN)
    _talk(ida, "fern 3 4")
    (step,) = _talk(ida, "/pour fern")
    assert "first half" in step["text"].casefold()
    (done,) = _talk(tom, "/pour fern poured")
    assert "back in" in done["text"]
    (stale,) = _talk(ida, ":tap 1")
    assert stale["text"].startswith("That step is done")
    (look,) = _talk(tom, ":wait 10m")
    assert look["kind"] == "reminder"


@pytest.mark.parametrize("lines", [3, 6])
def test_a_kill_loses_nothing_and_doubles_nothing(
    running: Start, db: str, potside: Potside, lines: int
) -> None:
    """The full trial, fifty kills under a burst, is among the faults; this is its small sister."""
    acknowledged = 0
    for round_ in range(3):
        child = running("chat", "--json", "--db", db, "--as", f"Ida{round_}", *CLOCK)
        assert child.stdin is not None
        assert child.stdout is not None
        said = "".join(f"/add p{round_}x{n}, Boston fern\n" for n in range(50))
        child.stdin.write(said.encode())
        child.stdin.flush()
        done = 0
        while done < lines:
            done += json.loads(child.stdout.readline())["event"] == "done"
        child.send_signal(signal.SIGKILL)
        rest = child.stdout.read().decode()
        acknowledged += done + rest.count('"done"')
        child.wait(PATIENCE)
    start = potside.chat("/plants all", db=db)
    count = int(start.answers(1)[-1]["text"].partition(" plants")[0])
    assert acknowledged <= count <= acknowledged + 3
    assert "No difference" in potside.run("rebuild", "--db", db).out


def test_an_answer_that_was_kept_and_not_said_is_said_at_the_next_start(
    running: Start, db: str, potside: Potside
) -> None:
    """Killed while nobody reads: the pipe is full and the answer is only in the database."""
    child = running("chat", "--json", "--db", db, *CLOCK)
    assert child.stdin is not None
    assert child.stdout is not None
    _talk(child, "/help")
    child.stdin.write(b"/help all\n" * 500)  # answers of more than a pipe holds
    child.stdin.flush()
    _wait_until_stuck(db)
    child.send_signal(signal.SIGKILL)
    child.wait(PATIENCE)
    seen = child.stdout.read().split(b"\n")
    said = sum(json.loads(line)["event"] == "message" for line in seen[:-1])
    heard = _heard(db) - 1  # the first was answered before
    later = potside.chat("", db=db).messages
    assert heard <= said + len(later) <= heard + 1  # the one in hand may be said twice, never not
    assert later[0]["text"].startswith("Plants:")


def _heard(db: str) -> int:
    with contextlib.closing(sqlite3.connect(db.removeprefix("sqlite:///"))) as kept:
        (count,) = kept.execute("SELECT count(*) FROM inbox").fetchone()
        return int(count)


def _wait_until_stuck(db: str) -> None:
    before, now = 0, 1
    while now != before:
        before = now
        time.sleep(1)
        now = _heard(db)
