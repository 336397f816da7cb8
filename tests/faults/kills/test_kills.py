"""kill -9 at random moments: nothing acknowledged is lost, nothing is applied twice, every answer
arrives, and pours go on from where they were.

An ordinary run kills a few times in each test. POTSIDE_KILLS=50 kills that often, and
POTSIDE_SEED=7 chooses other moments (as far as the machine lets us choose).
"""

from __future__ import annotations

import json
import os
import random
import sqlite3
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

import pytest

if TYPE_CHECKING:
    from tests.faults.kills.conftest import Line, Tally, Trial, Undisturbed

KILLS = int(os.environ.get("POTSIDE_KILLS", "3"))
SEED = int(os.environ.get("POTSIDE_SEED", "1"))
ROOT = Path(__file__).resolve().parents[3]

Play: TypeAlias = "Callable[[list[Line]], Undisturbed]"
Begin: TypeAlias = "Callable[[Undisturbed, random.Random, Tally], Trial]"


def _events(path: Path) -> list[tuple[str, str | None, dict[str, Any]]]:
    """Kind, plant and body of every standing event."""
    with sqlite3.connect(path) as connection:
        rows = connection.execute(
            "SELECT event.kind, plant.name, event.body FROM event LEFT JOIN plant"
            " ON plant.id = event.plant_id WHERE undone_by IS NULL ORDER BY event.id"
        ).fetchall()
    return [(kind, name, json.loads(body)) for kind, name, body in rows]


def _rebuilt(path: Path) -> str:
    """What `potside rebuild` says; it has to find no difference."""
    command = [sys.executable, "-m", "bot.cli", "rebuild", "--db", f"sqlite:///{path}"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


# --- a burst of commands ------------------------------------------------------------------------

KINDS = (
    "boston fern", "golden pothos", "snake plant", "fiddle-leaf fig", "english ivy", "zz plant",
    "rubber plant", "peace lily",
)  # fmt: skip
NAMES = ("Fern", "Goldie", "Viper", "Fig", "Ivy", "Zed", "Rubber", "Luna")
BURST = 200


def _burst() -> list[str]:
    """Two hundred lines: most make one event, some none, one takes one back."""
    lines = [
        f"/add {name}, {kind}, 15 cm pot, hall, north window"
        for name, kind in zip(NAMES, KINDS, strict=True)
    ]
    for number in range(BURST - len(NAMES)):
        name = NAMES[number % len(NAMES)].lower()
        lines.append(
            (
                f"/check {name} {1 + number % 9} {1 + number % 5}",
                f"/gave {name} {number + 10} ml",
                f"/turn {name}",
                f"{name} {1 + number % 7}",
                f"/dose 20 x 20 x {8 + number % 20} cm",
                f"gave the {name} {number + 10} ml",
                f"/wipe {name}",
                f"/check {name} 14" if number % 4 else "/undo",
            )[number // len(NAMES) % 8]
        )
    return lines


@pytest.fixture(scope="module")
def burst(play: Play, script: Callable[..., list[Line]]) -> Undisturbed:
    """The burst with nobody killing it, checked by counting."""
    lines = _burst()
    assert len(lines) == BURST
    undisturbed = play(script(*lines))
    assert all(len(answers) == 1 for answers in undisturbed.answers[1:])
    told = Counter(kind for kind, _, _ in _events(undisturbed.path))
    said = Counter(line.partition(" ")[0] for line in lines)
    undone = said["/undo"]
    assert undone > 1
    assert told["arrived"] == len(NAMES)
    assert told["tended"] == said["/turn"] + said["/wipe"] - undone
    assert told["poured"] == said["/gave"] + said["gave"]
    assert told["undone"] == undone
    return undisturbed


def test_a_burst_of_commands(burst: Undisturbed, trial: Begin, tally: Tally) -> None:
    """Every burst is killed once or more; most of the time in the middle, sometimes at a start."""
    rng = random.Random(SEED)  # noqa: S311 - to be the same again
    while tally.kills < KILLS:
        run = trial(burst, rng, tally)
        if rng.random() < 0.1:
            run.kill_while_starting()
        run.wake()
        run.rush(killed=True)
        if rng.random() < 0.1:
            run.kill_while_starting()
        run.wake()
        if run.left:
            run.rush()
        run.finish()
        assert _rebuilt(run.path).startswith("No difference")


# --- pours with their timers --------------------------------------------------------------------

POURS: tuple[str | int, ...] = (
    "/add Fern, Boston fern, 15 cm pot, bathroom, north window",
    "/add Ivy, English ivy, 15 cm pot without a hole, hall, north window",
    "/add Fig, fiddle-leaf fig, 20 cm terracotta pot, living room, south window",
    "/add Goldie, golden pothos, 15 cm pot, kitchen, east window",
    "fern 3 4",
    "ivy 1 1",
    "fig 1 1",
    "goldie 2 2",
    "/pour fern",
    "/pour ivy",
    "/pour fig",
    "/pour goldie bottom",
    "/pour fern poured",
    "/pour ivy poured",
    "/pour goldie poured",
    "/pour fig through",
    9,
    "/pour fern none",
    "/pour goldie drunk",
    4,
    "/pour fig none",
    "/pour fern poured",
    "/pour goldie poured",
    "/pour fig poured",
    9,
    "/pour goldie standing",
    7,
    "/pour fig water",
    "/pour goldie standing",
    "/pour fig poured",
    41,
    "/pour fern emptied 30 ml",
    "/pour fig",
    "/pour goldie none",
    "/pour ivy none",
    360,
    "/story fig",
)


@pytest.fixture(scope="module")
def pours(play: Play, script: Callable[..., list[Line]]) -> Undisturbed:
    """Four pours at once with nobody killing them: from above in halves, without a hole, little
    by little and left alone in the end, from below."""
    undisturbed = play(script(*POURS))
    poured = {name: body for kind, name, body in _events(undisturbed.path) if kind == "poured"}
    assert {name: body["way"] for name, body in poured.items()} == {
        "Fern": "top", "Ivy": "no-hole", "Fig": "portions", "Goldie": "bottom",
    }  # fmt: skip
    for name, portions in {"Fern": 2, "Ivy": 1, "Fig": 3, "Goldie": 2}.items():
        assert len(poured[name]["portions_l"]) == portions
        assert sum(poured[name]["portions_l"]) == pytest.approx(poured[name]["litres"])
    unasked = [one for said in undisturbed.answers for one in said if one["kind"] == "reminder"]
    assert len(unasked) == 11
    return undisturbed


def test_pours_with_their_timers(pours: Undisturbed, trial: Begin, tally: Tally) -> None:
    """After each kill the dialogues, portions and timers stand as if it had not happened."""
    rng = random.Random(SEED)  # noqa: S311 - to be the same again
    while tally.kills < KILLS:
        run = trial(pours, rng, tally)
        run.wake()
        while run.left:
            killed = rng.random() < 0.3 and tally.kills < KILLS
            run.step(killed=killed)
            if killed and rng.random() < 0.15:
                run.kill_while_starting()
            if killed:
                run.wake()
        run.finish()
        assert _rebuilt(run.path).startswith("No difference")
