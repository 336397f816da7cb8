"""What serving takes in memory: pytest tests/bench/bench_memory.py

`potside serve` as it is run, with Telegram alone: after words, after charts, after photos. What
draws and develops is a process of its own, told beside it.
"""

from __future__ import annotations

import asyncio
import base64
import os
import signal
import subprocess
import time
from collections.abc import AsyncIterator
from io import BytesIO
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING, Any

import aiohttp
import pytest
import pytest_asyncio
from PIL import Image

from tests.transports.telegram.child import environment, memory_mib, of_child, serve
from tests.transports.telegram.conftest import standin
from tests.transports.telegram.world import World, person, private

if TYPE_CHECKING:
    from tests.bench.conftest import Figures

__all__ = ["standin"]

PEOPLE = [person(9000 + n, f"P{n}") for n in range(20)]
MOST_MIB = 150
PHOTO = (4000, 3000)
"""Dots: what a phone takes."""


@pytest_asyncio.fixture
async def session() -> AsyncIterator[aiohttp.ClientSession]:
    async with aiohttp.ClientSession() as opened:
        yield opened


async def _words(world: World) -> None:
    for said in ("/add fern, Boston fern, 15 cm pot", "fern 6", "gave fern 300 ml", "/plants"):
        for one in PEOPLE:
            await world.ask(one, private(one), said)


async def _charts(world: World) -> list[float]:
    """Seconds from each asking to its picture."""
    took = []
    for one in PEOPLE:
        begun = time.monotonic()
        shown = await world.ask(one, private(one), "/chart fern")
        took.append(time.monotonic() - begun)
        assert shown["method"] == "sendPhoto"
    return took


async def _photos(world: World) -> None:
    """One of each, all on their way at once."""
    file = BytesIO()
    noise = Image.frombytes("RGB", (PHOTO[0] // 10, PHOTO[1] // 10), os.urandom(360_000))
    noise.resize(PHOTO).save(file, "JPEG", quality=90)
    await world.set(file={"id": "leaf", "content": base64.b64encode(file.getvalue()).decode()})
    sizes = [{"file_id": "leaf", "file_unique_id": "l", "width": PHOTO[0], "height": PHOTO[1],
              "file_size": len(file.getvalue())}]  # fmt: skip
    posts: list[dict[str, Any]] = [
        {"message": world.message(one, private(one), "", caption="/photo fern", photo=sizes)}
        for one in PEOPLE
    ]
    await world.update(*posts)
    await world.wait(
        lambda calls: sum("kept with Fern" in one.get("shown", "") for one in calls) == len(PEOPLE),
        120,
    )


# A photo is brought to the stand-in in one piece.
@pytest.mark.filterwarnings("ignore:Sending a large body:ResourceWarning")
async def test_memory(
    standin: str, session: aiohttp.ClientSession, tmp_path: Path, figures: Figures
) -> None:
    """Serving Telegram: memory after words, charts and photos."""
    world = World(standin, session)
    told = environment(world.base, world.token, f"sqlite:///{tmp_path / 'potside.db'}")
    program = serve(told, tmp_path / "log")
    try:
        await _words(world)
        _tell(figures, "after words", program)
        first, *others = await _charts(world)
        _tell(figures, "after 20 charts", program)
        figures.note("first chart, later ones (median)",
                     f"{first * 1e3:.0f} ms, {median(others) * 1e3:.0f} ms")  # fmt: skip
        await _photos(world)
        _tell(figures, "after 20 photos of 12 million dots", program)
    finally:
        program.send_signal(signal.SIGTERM)
        assert await asyncio.to_thread(program.wait, 20) == 0
    figures.settle()


def _tell(figures: Figures, when: str, program: subprocess.Popen[bytes]) -> None:
    figures.goal(when, memory_mib(program) or 0, MOST_MIB, "MiB")
    for peak in of_child(program):
        figures.note("  its child, at most", f"{peak:8.2f} MiB")
