"""Matrix end to end on a real homeserver, in sealed rooms: pytest tests/bench/bench_matrix.py

Rates beside a bare echo by matrix-nio in the same run; the time from a start to the answer to what
was said while it was down; memory. The homeserver, and whoever speaks, have the other core.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import AsyncIterator, Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

import pytest_asyncio

from tests.transports.matrix.conftest import homeserver
from tests.transports.matrix.homeserver import Homeserver
from tests.transports.matrix.people import Crowd, Person
from tests.transports.matrix.world import Bot, a_bot
from tests.transports.telegram.child import memory_mib

if TYPE_CHECKING:
    from tests.bench.conftest import Figures

__all__ = ["homeserver"]

ROOT = Path(__file__).resolve().parents[2]
ROOMS, IN_EACH, TURNS = 10, 20, 3
RESTARTS = 5
PATIENCE = 120.0
# The echo's first words: how long they may take, in seconds, and how often they are asked for.
EARLY, TRIES = 10.0, 6


@pytest_asyncio.fixture
async def people(homeserver: Homeserver, tmp_path: Path) -> AsyncIterator[Crowd]:
    crowd = Crowd(homeserver, tmp_path)
    yield crowd
    await crowd.leave()


@contextmanager
def running(mode: str, bot: Bot) -> Iterator[subprocess.Popen[bytes]]:
    """One of the bots, running."""
    who = [bot.base, bot.id, bot.login.device, bot.login.token]
    command = [sys.executable, "-m", "tests.bench.matrixbots", mode, *who, str(bot.keys)]
    with subprocess.Popen([*command, bot.database], cwd=ROOT, stderr=subprocess.DEVNULL) as process:
        try:
            yield process
        finally:
            process.kill()


def _cpu(process: subprocess.Popen[bytes]) -> float:
    """Seconds of a core that a child has used so far."""
    fields = Path(f"/proc/{process.pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


async def _rooms(who: Person, bot: Bot) -> list[str]:
    """Rooms with a bot, in each of which it sees who speaks."""
    made = [await who.open(bot.id, name=f"Room {n}") for n in range(ROOMS)]
    for room in made:
        await who.sees(room, bot.id)
    return made


async def _households(who: Person, bot: Bot) -> list[str]:
    """Rooms with ours, each a household with a plant."""
    made = await _rooms(who, bot)
    for room in made:
        await who.ask(room, "!add fern, Boston fern, 15 cm pot", "on the list", within=PATIENCE)
    return made


async def _echoing(who: Person, bot: Bot) -> list[str]:
    """Rooms with the bare echo, in each of which it has answered.

    It joins before its keys are known, and doesn't ask for the key of what it can't read: what is
    said too early it never hears, so it is said again under a new key.
    """
    made = await _rooms(who, bot)
    for room in made:
        for n in range(TRIES):
            try:
                await who.ask(room, f"hello {n}", f"heard hello {n}", within=EARLY)
                break
            except AssertionError:
                who.client.invalidate_outbound_session(room)
        else:
            raise AssertionError(f"the echo can't read what is said in {room}")
    return made


async def _burst(
    who: Person, rooms: list[str], text: str, process: subprocess.Popen[bytes]
) -> tuple[float, float]:
    """All is said while the bot stands still: messages a second and its milliseconds for each."""
    process.send_signal(signal.SIGSTOP)
    before = {room: len(who.others(room)) for room in rooms}
    for n in range(IN_EACH):
        for room in rooms:
            await who.say(room, text.format(1 + n % 9))
    spent, begun = _cpu(process), time.monotonic()
    process.send_signal(signal.SIGCONT)
    await who.until(
        lambda: all(len(who.others(room)) >= before[room] + IN_EACH for room in rooms), PATIENCE
    )
    took = time.monotonic() - begun
    messages = ROOMS * IN_EACH
    return messages / took, (_cpu(process) - spent) / messages * 1e3


async def test_rate(
    homeserver: Homeserver, people: Crowd, tmp_path: Path, figures: Figures
) -> None:
    """Matrix: sealed messages a second, from being there to the last answer."""
    echo = a_bot(homeserver, tmp_path, name="echo")
    ours = a_bot(homeserver, tmp_path)
    ida = await people("ida")
    found: dict[str, list[tuple[float, float]]] = {"echo": [], "potside": []}
    with running("echo", echo) as bare, running("potside", ours) as real:
        said = await _echoing(ida, echo)
        asked = await _households(ida, ours)
        for _ in range(TURNS):
            found["echo"].append(await _burst(ida, said, "!check fern {}", bare))
            found["potside"].append(await _burst(ida, asked, "!check fern {}", real))
        resident = {"echo": memory_mib(bare) or 0.0, "potside": memory_mib(real) or 0.0}
    assert not ida.sealed
    for mode, turns in found.items():
        rates, cpu = [one[0] for one in turns], [one[1] for one in turns]
        told = f"{max(rates):6.0f}/s (median {median(rates):.0f}), {min(cpu):.1f} ms of a core each"
        figures.note(f"{mode}: best of {TURNS}", f"{told}, {resident[mode]:.0f} MiB")
    best = {mode: max(one[0] for one in turns) for mode, turns in found.items()}
    figures.goal("the bare echo's rate by ours", best["echo"] / best["potside"], 2)
    figures.goal("memory after that", resident["potside"], 200, "MiB")
    figures.settle()


async def test_restart(
    homeserver: Homeserver, people: Crowd, tmp_path: Path, figures: Figures
) -> None:
    """Matrix: from a start to the answer to what was said while it was down."""
    took: list[float] = []
    ida = await people("ida")
    bot = a_bot(homeserver, tmp_path)
    with running("potside", bot):
        room, *_ = await _households(ida, bot)
    for _ in range(RESTARTS):
        before = len(ida.others(room))
        await ida.say(room, "!check fern 3")
        begun = time.monotonic()
        with running("potside", bot):
            await ida.hears(room, "Fern: 3.", before, within=PATIENCE)
            took.append(time.monotonic() - begun)
    bare = _nothing_but_python()
    figures.note("kill, start, answer", f"{min(took):.2f} s, worst {max(took):.2f} s")
    figures.note("of it: Python with matrix-nio imported", f"{bare:.2f} s")
    figures.goal("the first by the second", min(took) / bare, 8)
    figures.settle()


def _nothing_but_python() -> float:
    """Seconds that a process takes which only imports the library."""
    took = []
    for _ in range(RESTARTS):
        begun = time.monotonic()
        subprocess.run([sys.executable, "-c", "import nio"], check=True)
        took.append(time.monotonic() - begun)
    return min(took)
