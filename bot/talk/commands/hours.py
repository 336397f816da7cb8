"""The hours in /settings: morning round, evening reminder, quiet hours."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import time

from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.actions.households import change_settings
from core.journal.settings import Settings

WORDS = {
    "morning": "morning",
    "round": "morning",
    "evening": "evening",
    "reminder": "evening",
    "quiet": "quiet",
    "night": "quiet",
}
NEVER = frozenset({"off", "never", "none", "no"})
_CLOCK = r"(?P<hour{n}>[01]?\d|2[0-4])(?:[:.h](?P<minute{n}>[0-5]\d))?\s*(?P<half{n}>am|pm)?"
_ONE = re.compile(r"(?:at\s+)?" + _CLOCK.replace("{n}", ""), re.IGNORECASE)
_TWO = re.compile(
    r"(?:hours\s+)?(?:from\s+)?" + _CLOCK.replace("{n}", "1")
    + r"\s*(?:-|\u2013|to|till|until)\s*" + _CLOCK.replace("{n}", "2"),
    re.IGNORECASE,
)  # fmt: skip


def change(turn: Turn, word: str, said: str) -> Reply:
    """Change one of the hours, or say how."""
    which = WORDS[word]
    ways = _changed(turn.settings, which, said.strip(" .!").casefold())
    return answer(turn.words(f"hours-{which}-how")) if ways is None else _keep(turn, which, ways)


def _changed(ways: Settings, which: str, said: str) -> Settings | None:
    never = said in NEVER
    if which == "quiet":
        span = _span(said)
        return replace(ways, quiet=span) if never or span is not None else None
    hour = _time(_ONE.fullmatch(said), "")
    if not never and hour is None:
        return None
    return replace(ways, morning=hour) if which == "morning" else replace(ways, evening=hour)


def shown(turn: Turn) -> str:
    """The hours in one line."""
    return turn.words("hours-shown", **_told(turn.settings))


def _told(ways: Settings) -> dict[str, str]:
    quiet = ways.quiet
    return {
        "morning": f"{ways.morning:%H:%M}" if ways.morning else "none",
        "evening": f"{ways.evening:%H:%M}" if ways.evening else "none",
        "quiet": f"{quiet[0]:%H:%M}-{quiet[1]:%H:%M}" if quiet else "none",
    }


def _keep(turn: Turn, which: str, ways: Settings) -> Reply:
    change_settings(turn.tx, turn.who.household_id, ways)
    told = _told(ways)
    return answer(turn.words(f"hours-{which}-now", time=told[which]), _clash(turn, ways))


def _clash(turn: Turn, ways: Settings) -> str:
    """An hour within the quiet ones is never heard."""
    if ways.quiet is None:
        return ""
    begin, end = ways.quiet
    for which, hour in (("morning", ways.morning), ("evening", ways.evening)):
        if hour is None or begin == end:
            continue
        inside = begin <= hour < end if begin < end else hour >= begin or hour < end
        if inside:
            return turn.words(f"hours-clash-{which}", quiet=_told(ways)["quiet"])
    return ""


def _time(match: re.Match[str] | None, n: str) -> time | None:
    if match is None:
        return None
    hour, half = int(match[f"hour{n}"]), (match[f"half{n}"] or "").casefold()
    if half and not 1 <= hour <= 12:
        return None
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    return time(hour % 24, int(match[f"minute{n}"] or 0))


def _span(text: str) -> tuple[time, time] | None:
    match = _TWO.fullmatch(text)
    if match is None:
        return None
    begin, end = _time(match, "1"), _time(match, "2")
    return (begin, end) if begin is not None and end is not None and begin != end else None
