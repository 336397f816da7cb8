"""`potside chat`: opens the store, sets the clock, and feeds lines to a session."""

from __future__ import annotations

import argparse
import logging
import os
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager, nullcontext
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from bot.clock import Clock, RealClock, StandingClock
from bot.logs import log_to_stderr
from bot.standard import BROKEN_PIPE, aside, hush
from bot.transports.desk import Desk
from bot.transports.terminal import options, streams
from bot.transports.terminal.leaving import LeaveError, Leaving
from bot.transports.terminal.options import Options, Refuse
from bot.transports.terminal.screen import Screen, ScreenGoneError
from bot.transports.terminal.session import QuitError, Session
from core.journal.ledger import last_moment
from core.store.engine import Store, StoreFailedError, StoreUnavailableError
from core.store.opening import open_store
from core.store.turns import Turns

Build = Callable[[Store, Clock, Screen, str], Desk]
Sweeps = Callable[[Callable[[], None]], AbstractContextManager[None]]

# What is overdue at a start is done at once; the sweeps needn't hurry.
FIRST_SWEEP = timedelta(seconds=2)


def chat(given: argparse.Namespace, refuse: Refuse, build: Build, sweeps: Sweeps) -> int:
    """Run the terminal transport; the exit status. `build` wires a house, `sweeps` its duties."""
    asked = options.check(given, refuse)
    if sys.stdout is None:
        aside("There is no standard output to talk on.")
        return 1
    _quiet_logs()
    leaving = Leaving()
    try:
        with leaving.watched():
            return _open(asked, leaving, build, sweeps)
    except LeaveError:
        return leaving.status
    except StoreFailedError as error:
        aside(f"The database gives way: {error}.")
        return 1
    except ScreenGoneError as error:
        hush()
        if isinstance(error.__cause__, BrokenPipeError):
            return BROKEN_PIPE
        aside(f"What I say can't be written: {error.__cause__}")
        return 1


def _open(asked: Options, leaving: Leaving, build: Build, sweeps: Sweeps) -> int:
    try:
        store = open_store(asked.url)
    except StoreUnavailableError as error:
        aside(str(error))
        return 1
    turns = Turns(store)
    try:
        return _sit_down(asked, store, turns, leaving, build, sweeps)
    finally:
        turns.close()
        store.close()


def _sit_down(
    asked: Options, store: Store, turns: Turns, leaving: Leaving, build: Build, sweeps: Sweeps
) -> int:
    holder = [_clock(asked, store)]

    def now() -> datetime:
        return holder[0].now()

    for_eyes = _is_tty(sys.stdout) and not asked.as_json
    screen = Screen(now, as_json=asked.as_json, colour=for_eyes and _likes_colour(), wraps=for_eyes)

    def rebuild() -> Desk:
        return build(store, holder[0], screen, asked.zone)

    session = Session(rebuild(), screen, turns, asked.speaker, asked.zone, rebuild)
    _greet(asked, session, holder, leaving)
    with _in_a_while(sweeps, session) if asked.start is None else nullcontext():
        if for_eyes and _is_tty(sys.stdin):
            from bot.transports.terminal import prompt  # noqa: PLC0415 - only at a real terminal

            return prompt.converse(session, leaving, keep_history=asked.url != options.MEMORY)
        return _read(session, leaving)


@contextmanager
def _in_a_while(sweeps: Sweeps, session: Session) -> Iterator[None]:
    """Sweeps that begin soon, in a thread: what is slow to load doesn't hold up an answer."""
    with ExitStack() as begun:
        later = threading.Timer(
            FIRST_SWEEP.total_seconds(), lambda: begun.enter_context(sweeps(session.tick))
        )
        later.daemon = True
        later.start()
        try:
            yield
        finally:
            later.cancel()
            later.join()


def _greet(asked: Options, session: Session, holder: list[Clock], leaving: Leaving) -> None:
    """Finish what an earlier run left undone; play the demo."""
    with leaving.after_this(), session.turns.mine():
        session.house.wake()
        _mention_zone(asked, session)
        if asked.demo:
            from bot.transports.terminal import demo  # noqa: PLC0415 - only when it is shown

            demo.show(session, holder)


def _mention_zone(asked: Options, session: Session) -> None:
    known = session.here()
    if asked.zone_given and known is not None and known.zone.key != asked.zone:
        aside(
            f"--tz is for a new household; this one keeps {known.zone.key}"
            f" (/settings zone {asked.zone} changes it)"
        )


def _read(session: Session, leaving: Leaving) -> int:
    try:
        for line in streams.lines():
            with leaving.after_this():
                session.take(line)
    except QuitError:
        return 0
    except streams.UnreadableError as error:
        aside(f"What you say can't be read: {error}")
        return 1
    return 0


def _clock(asked: Options, store: Store) -> Clock:
    if asked.start is None:
        return RealClock()
    with store.read() as tx:
        last = last_moment(tx)
    if last is None or last <= asked.start:
        return StandingClock(asked.start)
    here = last.astimezone(ZoneInfo(asked.zone)).isoformat(timespec="seconds")
    aside(f"--start is before the last entry; the clock stands there, at {here}")
    return StandingClock(last)


def _is_tty(stream: object) -> bool:
    return bool(stream is not None and stream.isatty())  # type: ignore[attr-defined]


def _likes_colour() -> bool:
    """Colour for a terminal that has it and a person who wants it (no-color.org)."""
    return not os.environ.get("NO_COLOR") and os.environ.get("TERM", "dumb") != "dumb"


def _quiet_logs() -> None:
    """Logs go to stderr, warnings and worse; stdout is the conversation's."""
    logging.getLogger("apscheduler").setLevel(logging.ERROR)  # a sweep left out isn't news
    log_to_stderr(logging.WARNING)
