"""When it happened: `yesterday`, `2 days ago`, `this morning`, `on monday`, `2026-03-01 18:30`.

Everything is worked out on the household's wall clock and given back as aware UTC.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from bot.talk.grammar.refusal import Unclear

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
PARTS = {"morning": 8, "noon": 12, "midday": 12, "afternoon": 15, "evening": 19, "night": 22}
NUMBERS = {"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
# A longer look back than this is a slip of the fingers.
FARTHEST = timedelta(days=730)

_NUMBER = r"(?:\d{1,3}|a|an|one|two|three|four|five|six)"
_DAY = (
    r"(?P<iso>\d{4}-\d{1,2}-\d{1,2})"
    rf"|(?P<count>{_NUMBER})\s*(?P<unit>minute|min|hour|hr|h|day|week)s?\s+ago"
    r"|(?P<yesterday>(?:the\s+)?day\s+before\s+yesterday|yesterday)(?:\s+(?P<ypart>morning|noon|midday"
    r"|afternoon|evening|night))?"
    r"|(?P<last>last\s+night)"
    r"|(?P<this>(?:this\s+(?:morning|noon|afternoon|evening))|today|just\s+now|tonight)"
    rf"|(?:(?:on|last)\s+)?(?P<weekday>{'|'.join(WEEKDAYS)})(?:\s+(?P<wpart>morning|noon|midday"
    r"|afternoon|evening|night))?"
)
_CLOCK = (
    r"(?:\s*(?:at|T|,)?\s*(?P<hour>[01]?\d|2[0-3])"
    r"(?:[:.](?P<minute>[0-5]\d)(?:\s*(?P<half>am|pm))?|\s*(?P<bare_half>am|pm))"
    r"|\s+(?P<at>at\s+(?P<bare>[01]?\d|2[0-3])(?:\s*o['\u2019]?clock)?(?![\d.,/:])))"
)
_WHEN = re.compile(rf"(?<![\w-])(?:{_DAY}){_CLOCK}?(?![\w-])", re.IGNORECASE)
_LATE_PARTS = ("afternoon", "evening", "night")
_ONLY_CLOCK = re.compile(
    r"(?<!\w)at\s+(?P<hour>[01]?\d|2[0-3])(?:[:.](?P<minute>[0-5]\d))?(?:\s*(?P<half>am|pm))?(?!\w)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class When:
    """A moment found in a line (aware UTC; None when the line names none) and what is left."""

    at: datetime | None
    rest: str


def take_when(text: str, now: datetime, zone: ZoneInfo, *, counts: bool = False) -> When | Unclear:
    """Find a past moment in a line. A future one, or a date that doesn't exist, is unclear.

    `yesterday at 4` with nothing else beside it is yesterday's reading of 4, unless `counts`: a
    number then is no reading.
    """
    found = _WHEN.search(text) or _ONLY_CLOCK.search(text)
    if found is None:
        return When(None, text)
    here = now.astimezone(zone)
    parts = {key: value for key, value in found.groupdict().items() if value}
    end = found.end()
    if parts.get("at") and not counts and not f"{text[: found.start()]}{text[end:]}".strip(" ,."):
        del parts["bare"]
        end = found.start("at")
    try:
        moment = _moment(parts, here)
    except ValueError:
        return Unclear("when-no-such-day", {"said": found[0].strip()})
    if moment > here:
        return Unclear("when-future", {"said": found[0].strip()})
    if here - moment > FARTHEST:
        return Unclear("when-far", {"said": found[0].strip()})
    rest = f"{text[: found.start()]} {text[end:]}"
    return When(moment.astimezone(UTC), re.sub(r"\s+", " ", rest).strip(" ,"))


def _moment(parts: dict[str, str], here: datetime) -> datetime:
    if parts.get("count"):
        return _ago(parts["count"], parts["unit"], here)
    if parts.get("this"):
        return _today(parts, here)
    day, hour = _day(parts, here)
    if parts.get("hour") or parts.get("bare"):
        return datetime.combine(day, _clock(parts), here.tzinfo)
    return datetime.combine(day, time(hour), here.tzinfo)


def _today(parts: dict[str, str], here: datetime) -> datetime:
    if parts.get("hour") or parts.get("bare"):
        return datetime.combine(here.date(), _clock(parts), here.tzinfo)
    word = parts["this"].split()[-1].casefold()
    named = datetime.combine(here.date(), time(PARTS.get(word, here.hour)), here.tzinfo)
    return min(named, here) if word in PARTS else here


def _ago(count: str, unit: str, here: datetime) -> datetime:
    number = NUMBERS.get(count.casefold()) or int(count)
    unit = unit.casefold()
    if unit.startswith("m"):
        return here - timedelta(minutes=number)
    if unit.startswith("h"):
        return here - timedelta(hours=number)
    days = number * 7 if unit == "week" else number
    return datetime.combine(here.date() - timedelta(days=days), here.time(), here.tzinfo)


def _day(parts: dict[str, str], here: datetime) -> tuple[date, int]:
    """The day named, and an hour that stands for the part of the day (12 when none is named)."""
    today = here.date()
    if parts.get("iso"):
        year, month, day = (int(piece) for piece in parts["iso"].split("-"))
        return _not_later(date(year, month, day), here, 12)
    if parts.get("yesterday"):
        back = 2 if "before" in parts["yesterday"].casefold() else 1
        return today - timedelta(days=back), PARTS.get(
            (parts.get("ypart") or "noon").casefold(), 12
        )
    if parts.get("last"):
        return today - timedelta(days=1), PARTS["night"]
    if parts.get("weekday"):
        back = (today.weekday() - WEEKDAYS.index(parts["weekday"].casefold())) % 7 or 7
        return today - timedelta(days=back), PARTS.get(
            (parts.get("wpart") or "noon").casefold(), 12
        )
    return today, here.hour


def _not_later(day: date, here: datetime, hour: int) -> tuple[date, int]:
    """Today's date without a clock time means now, not a noon that may still come."""
    return (day, min(hour, here.hour)) if day == here.date() else (day, hour)


def _clock(parts: dict[str, str]) -> time:
    """A time of day; `yesterday evening at 8` is 20:00."""
    hour = int(parts.get("hour") or parts["bare"])
    half = (parts.get("half") or parts.get("bare_half") or "").casefold()
    named = " ".join(parts.get(key) or "" for key in ("ypart", "last", "this", "wpart")).casefold()
    late = not half and named.strip().endswith(_LATE_PARTS) and hour > 3
    if (half == "pm" or late) and hour < 12:
        hour += 12
    if half == "am" and hour == 12:
        hour = 0
    return time(hour, int(parts.get("minute") or 0))
