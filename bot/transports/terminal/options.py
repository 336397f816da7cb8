"""What `potside chat` was asked for, checked before anything is opened."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import NoReturn
from zoneinfo import ZoneInfo

from bot import settings
from bot.transports.terminal.directives import FIRST_YEAR, LAST_YEAR
from bot.transports.terminal.session import NAME_LENGTH
from bot.transports.terminal.streams import clean

MEMORY = "sqlite://"


# Ends the program with status 2 and a line that says what is wrong with its options.
Refuse = Callable[[str], NoReturn]


@dataclass(frozen=True, slots=True)
class Options:
    """The options of one sitting. `start` is None on the real clock."""

    url: str
    speaker: str
    zone: str
    zone_given: bool
    start: datetime | None
    demo: bool
    as_json: bool


def check(given: argparse.Namespace, refuse: Refuse) -> Options:
    """Read the options, or refuse them."""
    zone = _zone(given.tz, refuse)
    return Options(
        _url(given.db, demo=given.demo),
        _speaker(given.speaker, refuse, "Ida" if given.demo else "me"),
        zone,
        given.tz is not None,
        _start(given.start, zone, refuse),
        given.demo,
        given.json,
    )


def _url(given: str | None, *, demo: bool) -> str:
    """A stranger's own file is never seeded: the demo keeps to memory unless told otherwise."""
    if given is not None:
        return given
    return MEMORY if demo else settings.own_database()


def _zone(name: str | None, refuse: Refuse) -> str:
    if name is None:
        return settings.machine_zone()
    if not settings.is_zone(name):
        refuse(f"--tz: I don't know the time zone {name!r}; try Europe/Berlin")
    return name


def _speaker(given: str | None, refuse: Refuse, default: str) -> str:
    if given is None:
        return default
    name = clean(os.fsencode(given).decode("utf-8", errors="replace")).strip()
    if not name or len(name) > NAME_LENGTH:
        refuse(f"--as: a name has 1 to {NAME_LENGTH} letters; try --as Ida")
    return name


def _start(text: str | None, zone: str, refuse: Refuse) -> datetime | None:
    if text is None:
        return None
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError:
        refuse(f"--start: {text!r} is no moment; try 2026-03-02T07:30")
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        refuse(f"--start: years go from {FIRST_YEAR} to {LAST_YEAR}; try 2026-03-02T07:30")
    return moment if moment.tzinfo else moment.replace(tzinfo=ZoneInfo(zone))
