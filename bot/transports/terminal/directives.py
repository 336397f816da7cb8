"""Lines that begin with a colon are for the terminal itself."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

_WAIT = re.compile(r"(\d+(?:\.\d+)?)\s*(d|h|m|min|s|w)", re.IGNORECASE)
_UNTIL = re.compile(r"until\s+(\d{1,2}):(\d{2})", re.IGNORECASE)
_SECONDS = {"w": 604800, "d": 86400, "h": 3600, "m": 60, "min": 60, "s": 1}
LONGEST_WAIT = timedelta(days=3660)


@dataclass(frozen=True, slots=True)
class Wrong:
    """A directive that can't be followed, and what would work."""

    text: str


@dataclass(frozen=True, slots=True)
class Directive:
    """A directive's name and what follows it."""

    name: str
    rest: str


def read(line: str) -> Directive:
    """Split `:wait 8d` into its name and the rest."""
    name, _, rest = line[1:].strip().partition(" ")
    return Directive(name.casefold(), rest.strip())


def wait_until(rest: str, now: datetime, zone: ZoneInfo) -> datetime | Wrong:
    """The moment that `:wait` names: `8d`, `10m`, `until 07:30` (past means tomorrow)."""
    clock = _UNTIL.fullmatch(rest)
    if clock:
        return _next_time(int(clock[1]), int(clock[2]), now, zone)
    span = _WAIT.fullmatch(rest)
    if not span:
        return Wrong("Try :wait 8d, :wait 10m or :wait until 07:30.")
    length = timedelta(seconds=float(span[1]) * _SECONDS[span[2].casefold()])
    if length > LONGEST_WAIT:
        return Wrong("That is longer than ten years; try :wait 365d.")
    return now + length


def _next_time(hour: int, minute: int, now: datetime, zone: ZoneInfo) -> datetime | Wrong:
    if hour > 23 or minute > 59:
        return Wrong("The day has 24 hours; try :wait until 07:30.")
    here = now.astimezone(zone)
    then = datetime.combine(here.date(), time(hour, minute), zone)
    if then <= here:
        then = datetime.combine(here.date() + timedelta(days=1), time(hour, minute), zone)
    return then


def numbered(rest: str) -> tuple[int, str] | None:
    """A leading line or button number and what follows it."""
    match = re.fullmatch(r"(\d{1,9})(?:\s+([\s\S]*))?", rest)
    return (int(match[1]), (match[2] or "").strip()) if match else None
