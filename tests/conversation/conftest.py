"""A stage for each test, and a household to play on."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

# The scripts' helper is found from here, however the tests are started.
ROOT = str(Path(__file__).resolve().parents[2])
if ROOT not in sys.path:
    sys.path.insert(0, ROOT)

from tests.conversation.talking import InProcess  # noqa: E402 - needs the path above

PLANTS = (
    "fern, Boston fern, 15 cm pot, bathroom, north window",
    "goldie, golden pothos, 15 cm pot, kitchen, east window",
    "viper, snake plant, D16 h15 cm terracotta, study, low light",
    "fig, fiddle-leaf fig, 25 cm pot, living room, south window",
)


@pytest.fixture(autouse=True)
def broken(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[str]]:
    """Whatever raises while a message is worked on fails the test, even where it was answered."""
    import traceback

    from bot.talk import reception

    raised: list[str] = []

    class Listening:
        def __getattr__(self, method: str) -> Callable[..., None]:
            def keep(event: str, **_facts: Any) -> None:
                if method in ("exception", "error"):
                    raised.append(f"{event}\n{traceback.format_exc()}")

            return keep

    monkeypatch.setattr(reception, "log", Listening())
    yield raised
    assert not raised, raised[0]


@pytest.fixture
def stage() -> Iterator[InProcess]:
    """An empty household of Ida's in Berlin, on Monday the 2nd of March 2026 at 07:30."""
    stage = InProcess()
    yield stage
    stage.close()


@pytest.fixture
def house(stage: InProcess) -> InProcess:
    """Four plants of the household in Birch Street, just added by Ida."""
    stage.say("Ida", "/add\n" + "\n".join(PLANTS))
    return stage
