"""A homeserver for all tests of a run, one with its default limits, and the people of each test."""

from __future__ import annotations

import tempfile
from collections.abc import AsyncIterator, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import pytest_asyncio

from tests.transports.matrix.homeserver import UNLIMITED, Homeserver
from tests.transports.matrix.people import Crowd
from tests.transports.matrix.proxy import Proxy
from tests.transports.matrix.world import Bot, a_bot


@contextmanager
def _running(**limits: Any) -> Iterator[Homeserver]:
    with tempfile.TemporaryDirectory(prefix="potside-synapse-") as name:
        server = Homeserver(Path(name), **limits)
        server.start()
        try:
            yield server
        finally:
            server.stop()


@pytest.fixture(scope="session")
def homeserver() -> Iterator[Homeserver]:
    """A Synapse without limits; every test has people and rooms of its own."""
    with _running(**UNLIMITED) as server:
        yield server


@pytest.fixture
def strict_homeserver() -> Iterator[Homeserver]:
    """A Synapse as it is installed, for one test: with its default limits."""
    with _running() as server:
        yield server


@pytest_asyncio.fixture
async def people(homeserver: Homeserver, tmp_path: Path) -> AsyncIterator[Crowd]:
    """Makes people on the homeserver."""
    crowd = Crowd(homeserver, tmp_path)
    yield crowd
    await crowd.leave()


@pytest_asyncio.fixture
async def proxy(homeserver: Homeserver) -> AsyncIterator[Proxy]:
    """A proxy before the homeserver that all is passed through, until told otherwise."""
    async with Proxy(homeserver.url).open() as made:
        yield made


@pytest.fixture
def bot(homeserver: Homeserver, tmp_path: Path) -> Bot:
    """A bot of ours that isn't served yet."""
    return a_bot(homeserver, tmp_path)


@pytest.fixture
def another_bot(homeserver: Homeserver, tmp_path: Path) -> Bot:
    """A second one, with a database and keys of its own."""
    return a_bot(homeserver, tmp_path, name="pot-bot")


@pytest.fixture
def bot_behind(homeserver: Homeserver, proxy: Proxy, tmp_path: Path) -> Bot:
    """A bot that reaches the homeserver through the proxy; people don't."""
    return a_bot(homeserver, tmp_path, proxy.url)
