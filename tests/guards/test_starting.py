"""Starting is cheap: nothing heavy is loaded before somebody needs it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
HEAVY = set("aiohttp alembic apscheduler matplotlib nio numpy pint structlog telegram".split())
DATABASE = {"sqlalchemy", "sqlmodel", "psycopg"}


def _loaded(*arguments: str, said: str = "") -> set[str]:
    """Top-level packages loaded by a run of potside that must end well."""
    code = (
        "import atexit, sys\n"
        "atexit.register(lambda: print('LOADED', *{m.partition('.')[0] for m in sys.modules}"
        ", file=sys.stderr))\n"
        f"sys.argv = {['potside', *arguments]!r}\n"
        "from bot.cli import main\n"
        "sys.exit(main())\n"
    )
    command = [sys.executable, "-c", code]
    done = subprocess.run(
        command, cwd=ROOT, input=said, capture_output=True, text=True, check=False, timeout=60
    )
    assert done.returncode == 0, done.stderr
    return set(done.stderr.rpartition("LOADED")[2].split())


def test_help_loads_no_database() -> None:
    loaded = _loaded("--help")
    assert "bot" in loaded
    assert not loaded & (HEAVY | DATABASE)


@pytest.mark.parametrize("said", ["", "/help\n/plants\n"])
def test_a_chat_loads_nothing_heavy(said: str) -> None:
    loaded = _loaded("chat", "--db", "sqlite://", said=said)
    assert "sqlalchemy" in loaded
    assert not loaded & HEAVY


def test_only_a_plant_loads_the_arithmetic_of_drying() -> None:
    said = "/add fern, Boston fern, 15 cm pot, north window\nfern 3 4\n"
    # On a clock of its own nothing is swept beside: how long it takes makes no difference.
    loaded = _loaded("chat", "--db", "sqlite://", "--start", "2026-03-02T07:30", said=said)
    assert loaded & HEAVY == {"numpy"}


def test_a_program_that_serves_has_loaded_what_a_message_needs() -> None:
    """So that its first message, once counted as begun, is soon done."""
    code = """
import sys
from bot.talk import running
from tests.conversation.talking import InProcess
stage = InProcess()
running.load()
before = set(sys.modules)
stage.say("Ida", "/add fern, Boston fern, 15 cm pot, north window")
for said in ("fern 3 4", "/pour fern", "poured", "/undo", "/why fern", "/round", "whats due"):
    stage.say("Ida", said)
ours = {"bot", "core", "numpy"}
later = {one for one in set(sys.modules) - before if one.partition(".")[0] in ours}
sys.exit(" ".join(sorted(later)) or 0)
"""
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
