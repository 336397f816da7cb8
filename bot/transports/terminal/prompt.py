"""At a real terminal: a prompt with history and completion, and what falls due meanwhile."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from prompt_toolkit import PromptSession
from prompt_toolkit.history import FileHistory, History, InMemoryHistory
from prompt_toolkit.patch_stdout import patch_stdout

from bot import settings
from bot.clock import StandingClock
from bot.transports.terminal import streams
from bot.transports.terminal.completion import Completions
from bot.transports.terminal.leaving import Leaving
from bot.transports.terminal.screen import DIRECT, MAIN, Screen
from bot.transports.terminal.session import QuitError, Session


def converse(session: Session, leaving: Leaving, *, keep_history: bool) -> int:
    """Read lines until the person leaves (`:quit`, or the end-of-input key); the exit status."""
    reader: PromptSession[str] = PromptSession(
        history=_history() if keep_history else InMemoryHistory(),
        completer=Completions(session),
        complete_while_typing=False,  # a list that opens by itself is noise to a screen reader
        enable_history_search=True,
    )
    with leaving.after_this(), session.turns.mine():
        session.tell("terminal-hello" if session.here() else "terminal-first")
    while True:
        try:
            with _above_prompt(session.screen):
                line = reader.prompt(_sign(session))
            with leaving.after_this():
                session.take(streams.clean(line))
        except KeyboardInterrupt:
            if leaving.status:
                raise
            session.tell("terminal-leave")
        except (EOFError, QuitError):
            return 0


def _sign(session: Session) -> str:
    """Who speaks, where if not in the main room, and when if the clock stands still."""
    where = ""
    if session.chat.startswith(DIRECT):
        where = " in private"
    elif session.chat != MAIN:
        where = f" in {session.chat}"
    when = ""
    if isinstance(session.house.clock, StandingClock):
        here = session.here()
        at = session.house.clock.now().astimezone(session.zone_of(here))
        when = f"[{at:%a} {at.day} {at:%b %H:%M}] "
    return f"{when}{session.speaker}{where}> "


@contextmanager
def _above_prompt(screen: Screen) -> Iterator[None]:
    """While a line is typed, what falls due is written above it.

    Standard output is exchanged for that; the lock keeps another thread from writing into the
    substitute when nobody empties it any more.
    """
    patch = patch_stdout(raw=True)
    with screen.lock:
        patch.__enter__()
    try:
        yield
    finally:
        with screen.lock:
            patch.__exit__(None, None, None)


def _history() -> History:
    """What was typed before, kept where only its writer can read it."""
    path = settings.data_folder() / "history"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch(mode=0o600)
        with path.open("a", encoding="utf-8"):
            return FileHistory(str(path))
    except OSError:
        return InMemoryHistory()
