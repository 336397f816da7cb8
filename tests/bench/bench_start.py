"""How soon somebody who starts the program has an answer, and how much memory it took.

Each way of starting is a child process of its own, timed from its spawn; the ways take turns, and
of each the least disturbed start counts. What Python alone and SQLModel alone cost stands beside
it: the second is the floor under anything that keeps its tables so.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from tests.bench.conftest import Figures

ROOT = Path(__file__).resolve().parents[2]
REPEATS = 9
MOST_SECONDS, MOST_MIB, MOST_HELP_SECONDS = 1.2, 120, 0.25

FERN = "/add Fern, Boston fern, 15 cm pot, bathroom, north window"
CHECK = "/check fern 3 4"


class Started(NamedTuple):
    """A start: seconds from the spawn to the first answer (or the end), peak memory in MiB."""

    seconds: float
    mib: float = 0.0


def _ran(*arguments: str) -> Started:
    """Run Python to its end."""
    began = perf_counter()
    subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, check=True, stdout=subprocess.DEVNULL, timeout=60
    )
    return Started(perf_counter() - began)


def _peak_mib(pid: int) -> float:
    """The most memory a running process held so far; its parent's doesn't count, as in rusage."""
    for line in Path(f"/proc/{pid}/status").read_text(encoding="utf-8").splitlines():
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) / 1024
    raise LookupError("the kernel tells no peak")


def _answered(database: Path, line: str, *options: str) -> Started:
    """Start a chat that finds one line waiting; stop the watch at its first answer."""
    command = [sys.executable, "-m", "bot.cli", "chat", "--json", "--db", f"sqlite:///{database}"]
    began = perf_counter()
    with subprocess.Popen(
        [*command, *options], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as child:
        assert child.stdin is not None
        assert child.stdout is not None
        child.stdin.write(f"{line}\n")
        child.stdin.flush()
        first = json.loads(child.stdout.readline())
        started = Started(perf_counter() - began, _peak_mib(child.pid))
        child.stdin.close()
        child.stdout.read()
    assert first["event"] == "message"
    assert first["text"].startswith("Fern")
    return started


def _takes_turns(ways: dict[str, Callable[[], Started]]) -> dict[str, list[Started]]:
    """Every way of starting, round by round; a first round that fills caches isn't counted."""
    rounds = [{name: way() for name, way in ways.items()} for _ in range(REPEATS + 1)]
    return {name: [one[name] for one in rounds[1:]] for name in ways}


def test_start(figures: Figures, tmp_path: Path) -> None:
    """Cold starts, from the spawn to the first answer"""
    lived_in = tmp_path / "lived-in.db"
    _answered(lived_in, FERN)
    fresh = iter(range(1000))
    stands = ("--start", "2100-03-02T07:30", "--tz", "Europe/Berlin")
    times = _takes_turns(
        {
            "python -c pass": lambda: _ran("-c", "pass"),
            "python -c 'import sqlmodel'": lambda: _ran("-c", "import sqlmodel"),
            "potside --help": lambda: _ran("-m", "bot.cli", "--help"),
            "potside chat, a new file, /add": lambda: _answered(
                tmp_path / f"{next(fresh)}.db", FERN
            ),
            "potside chat, a file lived in, /check": lambda: _answered(lived_in, CHECK),
            "potside chat --start, the same": lambda: _answered(lived_in, CHECK, *stands),
        }
    )
    _tell(figures, times)
    figures.settle()


def _tell(figures: Figures, times: dict[str, list[Started]]) -> None:
    bare, sqlmodel = (_best(one) for one in list(times.values())[:2])
    for name, starts in times.items():
        best, seconds = _best(starts), [one.seconds for one in starts]
        figures.note(
            name,
            f"{best:.3f} s (median {median(seconds):.3f}, longest {max(seconds):.3f}), "
            f"{best / bare:.1f} x python, {best / sqlmodel:.2f} x sqlmodel",
        )
    figures.goal("potside --help", _best(times["potside --help"]), MOST_HELP_SECONDS, "s")
    for name, starts in times.items():
        if name.startswith("potside chat"):
            figures.goal(name, _best(starts), MOST_SECONDS, "s")
            figures.goal("  its peak memory", max(one.mib for one in starts), MOST_MIB, "MiB")


def _best(starts: Sequence[Started]) -> float:
    return min(one.seconds for one in starts)
