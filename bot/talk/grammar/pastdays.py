"""Days that are over or under way: `today`, `yesterday`, `monday`, `this week`, `2026-03-01`."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from bot.talk.grammar.dates import take_when
from bot.talk.grammar.refusal import Unclear

_WEEK = re.compile(r"(?:the )?(?:(?P<last>(?:last|past) )|this )?week", re.IGNORECASE)
_ENDS = " .!?,"


def read_days(text: str, now: datetime, zone: ZoneInfo) -> tuple[date, date] | Unclear | None:
    """First and last day that a text names, on the household's wall; None where it names none.

    A week is Monday to Sunday, this one up to today.
    """
    said, today = text.strip(_ENDS), now.astimezone(zone).date()
    match = _WEEK.fullmatch(said)
    if match is not None:
        monday = today - timedelta(days=today.weekday())
        before = monday - timedelta(days=7)
        return (before, monday - timedelta(days=1)) if match["last"] else (monday, today)
    when = take_when(said, now, zone, counts=True)
    if isinstance(when, Unclear):
        return when
    if when.at is None or when.rest.strip(_ENDS):
        return None
    day = when.at.astimezone(zone).date()
    return day, day
