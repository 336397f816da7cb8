"""What a check costs beside the database work that it cannot do without.

The statements of each check are taken down at the engine, transactions and commits included,
and run again on a second, identical file with nothing but sqlite3: the bare loop. Its file must
hold the same in the end.
"""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable, Sequence
from itertools import islice
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import TYPE_CHECKING, Any, TypeAlias

import pytest

from tests.driver import overheard

if TYPE_CHECKING:
    from tests.bench.conftest import Figures, Home, OpenHome, Spread

# Of several rounds the least disturbed counts: what else the machine does is no cost of ours.
ROUNDS, CHECKS = 8, 300
BLOCK = 25  # a busy second falls on both
MOST_TIMES, MOST_P99_MS = 6, 10

PLANTS = (
    "Fern, Boston fern, 15 cm pot, bathroom, north window",
    "Goldie, golden pothos, 15 cm pot, kitchen, east window",
    "Viper, snake plant, D16 h15 cm terracotta, study, low light",
    "Fig, fiddle-leaf fig, 25 cm pot, living room, south window",
    "Basil, basil, 12 cm pot, kitchen, south window",
    "Luna, moth orchid, 12 cm pot, bedroom, east window",
    "Ivy, English ivy, 12 cm pot, hall, north window",
    "Peace lily, peace lily, 18 cm pot, bedroom, north window",
    "Zed, ZZ plant, 20 cm pot, hall, low light",
    "Rubber, rubber plant, 6in azalea, living room, west window",
)
# Half of them lead to water: a dose, buttons, a question kept. Half are plain sentences.
CHECKS_TOLD = (
    "/check fern 3 4",
    "goldie 5",
    "/check viper 1 1",
    "fig 6 7",
    "/check basil 2",
    "ivy 4m 6d",
    "/check peace lily 3",
    "zed is dry",
    "/check rubber 3 4 3",
    "fern 7",
)

# (statement, parameters) in order; the transactions' own lines are among them.
Statements: TypeAlias = list[tuple[str, Any]]


def _bare(path: Path, synchronous: str) -> sqlite3.Connection:
    """A connection with the settings of the store's own."""
    connection = sqlite3.connect(path, isolation_level=None)
    for setting in (f"synchronous={synchronous}", "foreign_keys=ON", "secure_delete=ON"):
        connection.execute(f"PRAGMA {setting}")
    return connection


def _run(connection: sqlite3.Connection, statements: Statements) -> None:
    for text, values in statements:
        cursor = connection.execute(text, values)
        if cursor.description is not None:
            cursor.fetchall()


def _timed(work: Callable[[], object]) -> float:
    began = perf_counter()
    work()
    return perf_counter() - began


def _copies(path: Path) -> list[Path]:
    return [
        Path(shutil.copyfile(path, path.with_name(f"{name}.db")))
        for name in ("told", "taken", "bare")
    ]


def _measure(
    told: Home, taken: Home, bare: sqlite3.Connection, checks: int
) -> tuple[list[float], list[float]]:
    """Seconds of each check as a whole and of its statements alone, in alternating blocks."""
    statements: Statements = []
    texts = iter(CHECKS_TOLD * checks)
    whole: list[float] = []
    alone: list[float] = []
    for _ in range(0, checks, BLOCK):
        block = list(islice(texts, BLOCK))
        scripts: list[Statements] = []
        with overheard(taken.house.store.engine, lambda *said: statements.append(said)):
            for text in block:
                taken.say(text)
                scripts.append(statements.copy())
                statements.clear()
        whole += [_timed(lambda text=text: told.say(text)) for text in block]  # type: ignore[misc]
        alone += [_timed(lambda one=one: _run(bare, one)) for one in scripts]  # type: ignore[misc]
    return whole, alone


def _content(path: Path) -> Sequence[str]:
    connection = sqlite3.connect(path)
    content = list(connection.iterdump())
    connection.close()
    return content


@pytest.mark.parametrize("synchronous", ["FULL", "NORMAL"])
def test_check(
    synchronous: str,
    figures: Figures,
    furnish: Callable[..., tuple[Path, int]],
    open_home: OpenHome,
    spread: Callable[[Sequence[float]], Spread],
) -> None:
    """A check, from the message taken in to the answer sent, beside its statements alone"""
    seeded, messages = furnish(PLANTS)
    wholes: list[Spread] = []
    bares: list[Spread] = []
    for _ in range(ROUNDS):
        paths = _copies(seeded)
        options = {"synchronous": synchronous, "told": messages}
        with open_home(paths[0], **options) as told, open_home(paths[1], **options) as taken:
            bare = _bare(paths[2], synchronous)
            whole, alone = _measure(told, taken, bare, CHECKS)
            bare.close()
        assert _content(paths[0]) == _content(paths[2])
        wholes.append(spread(whole))
        bares.append(spread(alone))
    _tell(figures, synchronous, wholes, bares)
    figures.settle()


def _tell(
    figures: Figures, synchronous: str, wholes: Sequence[Spread], bares: Sequence[Spread]
) -> None:
    default = " (our default)" if synchronous == "FULL" else ""
    figures.note(f"synchronous={synchronous}{default}", f"{ROUNDS} rounds of {CHECKS} checks")
    for what, rounds in (("a check, answered", wholes), ("its statements alone", bares)):
        figures.note(what, str(_quietest(rounds)))
        p50s = [one.p50 * 1e3 for one in rounds]
        noise = f"p50 {min(p50s):.2f} to {max(p50s):.2f}, median {median(p50s):.2f} ms"
        figures.note("  over all rounds", noise)
    times = _quietest(wholes).p50 / _quietest(bares).p50
    if synchronous == "FULL":
        figures.goal("times as long, by p50", times, MOST_TIMES)
    else:
        figures.note("times as long, by p50", f"{times:8.2f}")
    figures.goal("p99", min(one.p99 for one in wholes) * 1e3, MOST_P99_MS, "ms")


def _quietest(rounds: Sequence[Spread]) -> Spread:
    return min(rounds, key=lambda one: one.p50)
