"""At a real terminal: prompt, history, completion, colour, and what falls due meanwhile."""

from __future__ import annotations

import signal
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.transports.child import Potside
from tests.transports.screenful import Terminal

DEMO = ("--demo", "--start", "2026-03-02T07:30", "--tz", "Europe/Berlin")
PROMPT = "[Mon 2 Mar 07:30] Ida>"  # spaces at an end are skipped, not written
FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"


def test_prompt_and_completion(potside: Potside, tmp_path: Path) -> None:
    with Terminal(potside, *DEMO) as screen:
        shown = screen.see(PROMPT)
        assert "Tab completes" in shown
        screen.press("gol\t")
        screen.see("die")
        screen.press(" 4\r")
        screen.see("Goldie: 4")
        screen.see(PROMPT)
        screen.press("/hous\t")
        screen.see("ehold")
        screen.press("\r")
        screen.see("Ida, keeper")
        screen.press(":as T\t")
        screen.see("om")
        screen.press("\r")
        screen.see("Tom>")
        screen.press(":dm\r")
        screen.see("Tom in private>")
        screen.press(":wait until 09:00\r")
        screen.see("[Mon 2 Mar 09:00] Tom in private>")
        screen.press(":room studio\r")
        screen.see("Tom in studio>")
        screen.press(":quit\r")
        screen.rest()
        assert screen.child.returncode == 0
        assert screen.after == screen.before
    assert not (tmp_path / "data").exists()  # memory keeps no history either


def test_keys_that_leave_and_a_key_that_does_not(potside: Potside) -> None:
    with Terminal(potside, *DEMO) as screen:
        screen.see(PROMPT)
        screen.press("half a line\x03")
        screen.see("Ctrl-D leaves")
        screen.see(PROMPT)
        screen.press("\x04")
        assert "Traceback" not in screen.rest()
        assert screen.child.returncode == 0
        assert screen.after == screen.before


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_gives_the_terminal_back(potside: Potside, number: signal.Signals) -> None:
    with Terminal(potside, *DEMO) as screen:
        screen.see(PROMPT)
        screen.press("half a line")
        screen.see("half a line")
        screen.child.send_signal(number)
        assert "Traceback" not in screen.rest()
        assert screen.child.returncode == 128 + number
        assert screen.after == screen.before


def test_history_outlives_the_program_and_is_ones_own(
    potside: Potside, db: str, tmp_path: Path
) -> None:
    with Terminal(potside, "--db", db) as screen:
        screen.see("me>")
        screen.press("/help\r")
        screen.see("me>")
        screen.press("\x04")
        screen.rest()
    with Terminal(potside, "--db", db) as screen:
        screen.see("me>")
        screen.press("\x1b[A")
        screen.see("/help")
    history = tmp_path / "data" / "potside" / "history"
    assert stat.S_IMODE(history.stat().st_mode) == 0o600


def test_a_pasted_block_is_one_message(potside: Potside, db: str) -> None:
    with Terminal(potside, "--db", db) as screen:
        screen.see("me>")
        block = "/add\nfern, Boston fern, 15 cm pot\nfig, fiddle-leaf fig, 25 cm pot"
        screen.press(f"\x1b[200~{block}\x1b[201~")
        screen.press("\r")
        screen.see("me>")
        screen.press("/plants\r")
        assert "2 plants" in screen.see("2 plants")


def test_colour_only_for_eyes_that_want_it(potside: Potside) -> None:
    with Terminal(potside, *DEMO) as screen:
        assert "\x1b[36m[1 Pour with me]" in screen.styled(PROMPT)
        assert "*goldie 4*" not in screen.text
    for name, value in (("NO_COLOR", "1"), ("TERM", "dumb")):
        with Terminal(potside, *DEMO, env={name: value}) as screen:
            assert "[1 Pour with me]" in screen.styled("Ida> poured")
            assert "\x1b" not in screen.raw


def test_lines_break_between_words(potside: Potside) -> None:
    with Terminal(potside, *DEMO, columns=40) as screen:
        lines = screen.see("Ctrl-D leaves.").splitlines()
        assert max(map(len, lines)) < 40
        assert lines.count("Ida> poured") == 2


def test_json_on_a_terminal_has_no_prompt(potside: Potside) -> None:
    with Terminal(potside, "--db", "sqlite://", "--json") as screen:
        screen.press("/help\r")
        shown = screen.see('{"event": "done", "line": 1}')
        assert "me>" not in shown
        assert "\x1b" not in screen.raw


def test_what_falls_due_appears_above_a_half_typed_line(potside: Potside, db: str) -> None:
    """Somebody else begins a pour, by a clock that makes it due in a few seconds."""
    with Terminal(potside, "--db", db) as screen:
        screen.see("me>")
        screen.press("half a li")
        screen.see("half a li")
        begun = datetime.now(UTC) - timedelta(minutes=6, seconds=52)
        pour = (FERN, "fern 3 4", "/pour fern", "poured")
        potside.chat(*pour, db=db, options=("--start", begun.isoformat(), "--as", "Tom"))
        shown = screen.see("any water in the saucer?")
        assert "] Fern" in shown
        screen.press("ne\r")
        assert "half a line" in screen.see("half a line")
        screen.press("no\r")
        screen.see("other half")
