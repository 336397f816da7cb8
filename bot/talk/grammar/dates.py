"""When it happened: `yesterday`, `2 days ago`, `this morning`, `on monday`, `24 feb`, `2026-03-01`.

Everything is worked out on the household's wall clock and given back as aware UTC.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from bot.talk.grammar.months import MONTH, day_number, nearest
from bot.talk.grammar.refusal import Unclear
from bot.talk.grammar.units import Kind, words_of

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
PARTS = {"morning": 8, "noon": 12, "midday": 12, "afternoon": 15, "evening": 19, "night": 22}
NUMBERS = {"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
# A longer look back than this is a slip of the fingers.
FARTHEST = timedelta(days=730)
# A 31st is so many days back at most.
_TWO_MONTHS = 62
# What a probe shows at most: a larger number beside a month is its day.
MOST_READ = 10

_NUMBER = r"(?:\d{1,3}|a|an|one|two|three|four|five|six)"
_PART = rf"(?:\s+(?P<part>{'|'.join(PARTS)}))?"
# Numbers that measure something, or begin the next date, are no days. A bare `in` is no inch.
_MEASURES = {word for kind in Kind for word in words_of(kind, "en")} - {"in", "ins", "m", "s", "d"}
_NO_DAY = rf"(?![.,:/]?\d|\w|\s*(?:{'|'.join(map(re.escape, _MEASURES))}|{MONTH})(?!\w))"
_YEAR = rf"(?:,?\s+(?P<year%s>20\d\d){_NO_DAY})?"
_ORDINAL = r"\d{1,2}(?:st|nd|rd|th)"
_DAY_FIRST = (
    rf"(?:the\s+)?(?<!\d[.,:/])(?P<day>{_ORDINAL}|\d{{1,2}})\.?\s*(?:of\s+)?(?P<month>{MONTH})"
    rf"(?!\w|\s+(?:be|have|not|need|want|well|still|also|only|just)\b){_YEAR % ''}"
)
_MONTH_FIRST = (
    rf"(?P<monthb>{MONTH})\s+(?:the\s+)?(?P<dayb>{_ORDINAL}|\d{{1,2}}){_NO_DAY}{_YEAR % 'b'}"
)
# `on the 2nd` is a day; `the 2nd pot` and `on the 2nd floor` are none.
_NO_DATE = (
    "board|floor|hole|landing|leaf|level|month|of|place|plant|pot|rack|reading|row|rung|shelf|shelves"
    "|side|sill|spot|stairs?|step|storey|story|time|tray|try|week|window|windowsill"
)
_AFTER = rf"$|[\d,;:.!?)]|(?:and|at|by|I|in|we|with|{'|'.join(PARTS)})\b"
_DAY_ALONE = rf"the\s+(?P<alone>{_ORDINAL})(?(on)(?!\s+(?:{_NO_DATE})\b)|(?=\s*(?:{_AFTER})))"
_DAY = (
    rf"(?P<count>{_NUMBER})\s*(?P<unit>minute|min|hour|hr|h|day|week)s?\s+ago"
    r"|(?P<last>last\s+night)"
    r"|(?P<this>(?:this\s+(?:morning|noon|afternoon|evening))|today|just\s+now|tonight)"
    r"|(?:(?P<iso>\d{4}-\d{1,2}-\d{1,2})"
    r"|(?P<yesterday>(?:the\s+)?day\s+before\s+yesterday|yesterday)"
    rf"|(?:last\s+)?(?P<weekday>{'|'.join(WEEKDAYS)})"
    rf"|{_DAY_FIRST}|{_MONTH_FIRST}|{_DAY_ALONE}){_PART}"
)
_CLOCK = (
    r"(?:\s*(?:at|T|,)?\s*(?P<hour>[01]?\d|2[0-3])"
    r"(?:[:.](?P<minute>[0-5]\d)(?:\s*(?P<half>am|pm))?|\s*(?P<bare_half>am|pm))"
    r"|\s+(?P<at>at\s+(?P<bare>[01]?\d|2[0-3])(?:\s*o['\u2019]?clock)?(?![\d.,/:])))"
)
_WHEN = re.compile(rf"(?<![\w-])(?P<on>on\s+)?(?:{_DAY}){_CLOCK}?(?![\w-])", re.IGNORECASE)
_LATE_PARTS = ("afternoon", "evening", "night")
_ONLY_CLOCK = re.compile(
    r"(?<!\w)at\s+(?P<hour>[01]?\d|2[0-3])(?:[:.](?P<minute>[0-5]\d))?(?:\s*(?P<half>am|pm))?(?!\w)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class When:
    """A moment found in a line (aware UTC; None when it names none), what is left, its words."""

    at: datetime | None
    rest: str
    said: str = ""


def take_when(text: str, now: datetime, zone: ZoneInfo, *, counts: bool = False) -> When | Unclear:
    """Find a past moment in a line. A future one, or a date that doesn't exist, is unclear.

    `yesterday at 4` with nothing else beside it is yesterday's reading of 4, unless `counts`: a
    number then is no reading.
    """
    found = _found(text)
    if not isinstance(found, re.Match):
        return found or When(None, text)
    here = now.astimezone(zone)
    parts = {key: value for key, value in found.groupdict().items() if value}
    end = found.end()
    if parts.get("at") and not counts and not f"{text[: found.start()]}{text[end:]}".strip(" ,."):
        del parts["bare"]
        end = found.start("at")
    said = found[0].strip().removeprefix(parts.get("on", ""))
    try:
        moment = _moment(parts, here)
    except ValueError:
        return Unclear("when-no-such-day", {"said": said})
    if moment > here:
        return Unclear("when-future", {"said": said})
    if here - moment > FARTHEST:
        return Unclear("when-far", {"said": said})
    rest = f"{text[: found.start()]} {text[end:]}"
    words = text[found.start() : end].strip(" ,")
    return When(moment.astimezone(UTC), re.sub(r"\s+", " ", rest).strip(" ,"), words)


def _found(text: str) -> re.Match[str] | Unclear | None:
    """The words that name a moment; unclear where a month stands between two numbers.

    Of `3 feb 24` only one can be the reading; `4 may 3` has to be asked about.
    """
    found = _WHEN.search(text) or _ONLY_CLOCK.search(text)
    if found is None or not found.groupdict().get("day"):
        return found
    other = _WHEN.match(text, found.start("month"))
    if other is None or not found["day"].isdigit() or found["on"] or found["year"]:
        return found
    if other["yearb"] or not other["dayb"].isdigit():
        return other
    first, second = (int(one) <= MOST_READ for one in (found["day"], other["dayb"]))
    if first is not second:
        return other if first else found
    days = f"{found['day']} {found['month']}", f"{other['monthb']} {other['dayb']}"
    meanings = tuple(f"{text[:at]}on {text[at:]}" for at in (found.start(), other.start()))
    return Unclear("when-two-days", {"one": days[0], "other": days[1]}, meanings)


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
    hour = PARTS[parts.get("part", "noon").casefold()]
    if parts.get("yesterday"):
        back = 2 if "before" in parts["yesterday"].casefold() else 1
        return today - timedelta(days=back), hour
    if parts.get("last"):
        return today - timedelta(days=1), PARTS["night"]
    if parts.get("weekday"):
        back = (today.weekday() - WEEKDAYS.index(parts["weekday"].casefold())) % 7 or 7
        return today - timedelta(days=back), hour
    named = _date(parts, today)
    return (today, here.hour) if named is None else _not_later(named, here, hour)


def _date(parts: dict[str, str], today: date) -> date | None:
    """A day by its date, the last that isn't to come; ValueError where there is no such day."""
    if parts.get("iso"):
        year, month, day = (int(piece) for piece in parts["iso"].split("-"))
        return date(year, month, day)
    if parts.get("alone"):
        return _last_of_month(today, day_number(parts["alone"]))
    for b in ("", "b"):
        if parts.get(f"month{b}"):
            named = parts[f"month{b}"], parts[f"day{b}"], parts.get(f"year{b}")
            return nearest(today, *named, ahead=False)
    return None


def _last_of_month(today: date, number: int) -> date:
    """The last day of that number: of this month, or of the last that has it."""
    back = (today - timedelta(days=days) for days in range(_TWO_MONTHS))
    found = next((day for day in back if day.day == number), None)
    if found is None:
        raise ValueError(number)
    return found


def _not_later(day: date, here: datetime, hour: int) -> tuple[date, int]:
    """Today's date without a clock time means now, not a noon that may still come."""
    return (day, min(hour, here.hour)) if day == here.date() else (day, hour)


def _clock(parts: dict[str, str]) -> time:
    """A time of day; `yesterday evening at 8` is 20:00."""
    hour = int(parts.get("hour") or parts["bare"])
    half = (parts.get("half") or parts.get("bare_half") or "").casefold()
    named = " ".join(parts.get(key) or "" for key in ("part", "last", "this")).casefold()
    late = not half and named.strip().endswith(_LATE_PARTS) and hour > 3
    if (half == "pm" or late) and hour < 12:
        hour += 12
    if half == "am" and hour == 12:
        hour = 0
    return time(hour, int(parts.get("minute") or 0))
