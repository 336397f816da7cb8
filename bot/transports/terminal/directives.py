"""Lines that begin with a colon are for the terminal itself."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

NAMES = ("wait", "as", "room", "dm", "tap", "reply", "edit", "again", "restart", "photo", "quit")

_UNITS = {"w": "weeks", "d": "days", "h": "hours", "m": "minutes", "s": "seconds"}
_PART = re.compile(
    r"(\d{1,6}(?:[.,]\d{1,3})?)\s*(w|d|h|m|s)(?:eeks?|ays?|ours?|in(?:ute)?s?|ec(?:ond)?s?)?\s*",
    re.IGNORECASE,
)
_SPAN = re.compile(f"(?:{_PART.pattern})+", re.IGNORECASE)
_UNTIL = re.compile(r"until\s+(\d{1,2}):(\d{2})", re.IGNORECASE)

LONGEST_WAIT = timedelta(days=3660)
FIRST_YEAR, LAST_YEAR = 1970, 2399
"""What a standing clock can show, with room on both sides for what is reckoned from it."""


@dataclass(frozen=True, slots=True)
class Wrong:
    """A directive that can't be followed: the words that say what would work."""

    key: str
    args: dict[str, str | float] = field(default_factory=dict)


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
    """The moment that `:wait` names: `8d` (8 x 24 h), `10m`, `until 07:30` (past: tomorrow)."""
    clock = _UNTIL.fullmatch(rest)
    moment = _next_time(int(clock[1]), int(clock[2]), now, zone) if clock else _after(rest, now)
    if isinstance(moment, datetime) and moment.year > LAST_YEAR:
        return Wrong("terminal-wait-too-long")
    return moment


def _after(rest: str, now: datetime) -> datetime | Wrong:
    if not _SPAN.fullmatch(rest):
        return Wrong("terminal-wait-how")
    length = timedelta()
    for number, unit in _PART.findall(rest):
        length += timedelta(**{_UNITS[unit.casefold()]: float(number.replace(",", "."))})
        if length > LONGEST_WAIT:
            return Wrong("terminal-wait-too-long")
    return now + length


def _next_time(hour: int, minute: int, now: datetime, zone: ZoneInfo) -> datetime | Wrong:
    """The next moment when clocks in a zone show a time.

    A time that is skipped in spring is read with the offset from before the gap, as RFC 5545
    does (3.3.5); one that comes twice in autumn is met both times.
    """
    if hour > 23 or minute > 59:
        return Wrong("terminal-wait-clock")
    today = now.astimezone(zone).date()
    moments = (
        datetime.combine(today + timedelta(days=days), time(hour, minute, fold=fold), zone)
        for days in (0, 1, 2)
        for fold in (0, 1)
    )
    return next(then for one in moments if (then := one.astimezone(UTC)) > now)


def numbered(rest: str) -> tuple[int, str] | None:
    """A leading line or button number and what follows it."""
    match = re.fullmatch(r"([0-9]{1,9})(?:\s+([\s\S]*))?", rest)
    return (int(match[1]), (match[2] or "").strip()) if match else None


def picture(rest: str) -> tuple[Path, str] | None:
    """A picture's path and the caption after it; a path with spaces may stand in quotes."""
    for path, caption in ((rest, ""), _quoted(rest), _first_word(rest)):
        found = _readable(path)
        if found is not None:
            return found, caption.strip()
    return None


def _first_word(rest: str) -> tuple[str, str]:
    path, _, caption = rest.partition(" ")
    return path, caption


def _quoted(rest: str) -> tuple[str, str]:
    match = re.fullmatch(r"""(["'])(.+?)\1(?:\s+([\s\S]*))?""", rest)
    return (match[2], match[3] or "") if match else ("", "")


def _readable(name: str) -> Path | None:
    try:
        path = Path(name).expanduser()
        return path if path.is_file() and os.access(path, os.R_OK) else None
    except (OSError, ValueError, RuntimeError):  # too long, a NUL in it, nobody's home
        return None
