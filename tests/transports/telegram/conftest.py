"""The stand-in in a process of its own (aiogram takes 165 MiB), and a world for each test."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import AsyncIterator, Iterator
from pathlib import Path

import aiohttp
import pytest
import pytest_asyncio

from tests.transports.telegram.world import World

ROOT = Path(__file__).resolve().parents[3]
PATIENCE = 60.0


@pytest.fixture(scope="session")
def standin() -> Iterator[str]:
    """The base URL of a Bot API on the loopback."""
    command = [sys.executable, "-m", "tests.transports.telegram.standin.server"]
    with subprocess.Popen(
        command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout
        assert process.stdin
        late = threading.Timer(PATIENCE, process.kill)  # then the line below is empty
        late.start()
        port = int(process.stdout.readline())
        late.cancel()
        try:
            yield f"http://127.0.0.1:{port}"
            process.stdin.close()
            process.wait(10)
        finally:
            process.kill()


@pytest_asyncio.fixture
async def world(standin: str) -> AsyncIterator[World]:
    """A bot's world; at the end nothing that the bot sent may have been wrong."""
    async with aiohttp.ClientSession() as session:
        made = World(standin, session)
        yield made
        assert not (await made.look())["complaints"]
