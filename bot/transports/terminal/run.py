"""`potside chat`: opens the store, sets the clock, and feeds lines to a session."""

from __future__ import annotations

import argparse
import logging
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, nullcontext
from datetime import datetime
from typing import NoReturn
from zoneinfo import ZoneInfo

import structlog

from bot import settings
from bot.clock import Clock, RealClock, StandingClock
from bot.transports.desk import Desk
from bot.transports.terminal.screen import Screen
from bot.transports.terminal.session import QuitError, Session
from core.journal.ledger import last_moment
from core.store.engine import Store, StoreUnavailableError
from core.store.opening import open_store

Refuse = Callable[[str], NoReturn]
Build = Callable[[Store, Clock, Screen, str], Desk]
Sweeps = Callable[[Callable[[], None]], AbstractContextManager[None]]


def chat(options: argparse.Namespace, refuse: Refuse, build: Build, sweeps: Sweeps) -> int:
    """Run the terminal transport; the exit status. `build` wires a house, `sweeps` its duties."""
    _quiet_logs()
    zone = _zone(options.tz or settings.machine_zone(), refuse)
    url = options.db or ("sqlite://" if options.demo else settings.default_database())
    try:
        store = open_store(url)
    except StoreUnavailableError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    try:
        _sit_down(options, store, zone, refuse, build, sweeps)
    finally:
        store.close()
    return 0


def _sit_down(
    options: argparse.Namespace,
    store: Store,
    zone: str,
    refuse: Refuse,
    build: Build,
    sweeps: Sweeps,
) -> None:
    clock = _clock(options.start, store, zone, refuse)
    on_tty = sys.stdin.isatty() and not options.json
    holder: list[Clock] = [clock]
    screen = Screen(
        lambda: holder[0].now(), as_json=options.json, colour=on_tty and sys.stdout.isatty()
    )

    def rebuild() -> Desk:
        return build(store, holder[0], screen, zone)

    speaker = options.speaker or ("Ida" if options.demo else "me")
    session = Session(rebuild(), screen, speaker, zone, rebuild)
    session.house.wake()
    if options.demo:
        from bot.transports.terminal import demo  # noqa: PLC0415 - only when it is shown

        demo.show(session, holder)
    standing = isinstance(session.house.clock, StandingClock)
    with nullcontext() if standing else sweeps(lambda: session.house.tick()):
        if on_tty:
            from bot.transports.terminal import prompt  # noqa: PLC0415 - only at a real terminal

            prompt.converse(session)
        else:
            _read(session, _lines())


def _lines() -> Iterator[str]:
    """Lines of standard input as they come; bytes that are no text become question marks."""
    for raw in sys.stdin.buffer:
        yield raw.decode("utf-8", errors="replace")


def _read(session: Session, lines: Iterator[str]) -> None:
    for line in lines:
        try:
            session.take(line)
        except QuitError:
            return


def _clock(start: str | None, store: Store, zone: str, refuse: Refuse) -> Clock:
    if start is None:
        return RealClock()
    try:
        moment = datetime.fromisoformat(start)
    except ValueError:
        refuse(f"--start: {start!r} is no moment; try 2026-03-02T07:30")
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=ZoneInfo(zone))
    with store.read() as tx:
        last = last_moment(tx)
    if last is not None and last > moment:
        moment = last
        sys.stderr.write(f"--start is before the last entry; the clock stands at {last}\n")
    return StandingClock(moment)


def _zone(name: str, refuse: Refuse) -> str:
    try:
        ZoneInfo(name)
    except (ValueError, OSError, KeyError):
        refuse(f"--tz: I don't know the time zone {name!r}; try Europe/Berlin")
    return name


def _quiet_logs() -> None:
    """Logs go to stderr, warnings and worse; stdout is the conversation's."""
    structlog.configure(
        wrapper_class=structlog.make_filtering_bound_logger(logging.WARNING),
        logger_factory=structlog.PrintLoggerFactory(sys.stderr),
        processors=[
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.processors.add_log_level,
            structlog.dev.ConsoleRenderer(
                colors=False, exception_formatter=structlog.dev.plain_traceback
            ),
        ],
    )
