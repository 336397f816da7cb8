"""The terminal as whoever starts it sees it."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.transports.child import Potside


@pytest.fixture
def potside(tmp_path: Path) -> Potside:
    return Potside(tmp_path)


@pytest.fixture
def db(tmp_path: Path) -> str:
    return f"sqlite:///{tmp_path / 'plants.db'}"


@pytest.fixture
def running(potside: Potside) -> Iterator[Callable[..., subprocess.Popen[bytes]]]:
    """Starts children that don't outlive the test."""
    children: list[subprocess.Popen[bytes]] = []

    def start(*arguments: str, **streams: Any) -> subprocess.Popen[bytes]:
        children.append(potside.start(*arguments, **streams))
        return children[-1]

    yield start
    for child in children:
        child.kill()
        child.wait(10)
        for stream in (child.stdin, child.stdout, child.stderr):
            if stream is not None and not stream.closed:
                stream.close()
