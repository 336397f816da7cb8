"""Days that are over or under way: `today`, `yesterday`, `monday`, `this week`, `2026-03-01`."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from bot.talk.grammar.dates import take_when
from bot.talk.grammar.refusal import Unclear

_SPAN = re.compile(
    r"(?:the )?(?:(?P<last>(?:last|past) )|this )?(?:week|(?P<month>month))", re.IGNORECASE
)
_ENDS = " .!?,"


def read_days(text: str, now: datetime, zone: ZoneInfo) -> tuple[date, date] | Unclear | None:
    """First and last day that a text names, on the household's wall; None where it names none.

    A week is Monday to Sunday, a month one of the calendar; those under way up to today.
    """
    said, today = text.strip(_ENDS), now.astimezone(zone).date()
    match = _SPAN.fullmatch(said)
    if match is not None:
        first = _begin(today, month=bool(match["month"]))
        before = first - timedelta(days=1)
        last = _begin(before, month=bool(match["month"])), before
        return last if match["last"] else (first, today)
    when = take_when(said, now, zone, counts=True)
    if isinstance(when, Unclear):
        return when
    if when.at is None or when.rest.strip(_ENDS):
        return None
    day = when.at.astimezone(zone).date()
    return day, day


def _begin(day: date, *, month: bool) -> date:
    """The first day of the week or the month that a day is in."""
    return day - timedelta(days=day.day - 1 if month else day.weekday())
