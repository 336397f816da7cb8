"""Days to come: `friday`, `in 3 days`, `14 June`, `2026-06-14`, `this evening`; spans `1-14 June`.

Worked out on the household's wall; a day of the year without its year is the next one to come.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from bot.talk.grammar.dates import NUMBERS, WEEKDAYS
from bot.talk.grammar.months import DAY_OF_MONTH, MONTH, day_number, nearest
from bot.talk.grammar.refusal import Unclear

# Nobody plans a probe or a journey further ahead than this.
FARTHEST = timedelta(days=400)
# A span that began so long ago at most, and isn't over, is this year's (ours).
_YEAR, _BEGUN = timedelta(days=365), timedelta(days=90)

_WEEKDAY = "|".join(f"{name[:3]}(?:{name[3:]})?" for name in WEEKDAYS)
_NUMBER = r"(?:\d{1,3}|a|an|one|two|three|four|five|six)"
_ONE = (
    r"(?P<iso{n}>\d{{4}}-\d{{1,2}}-\d{{1,2}})"
    r"|(?P<evening{n}>(?:this\s+|in\s+the\s+)?evening|tonight|later\s+today)"
    r"|(?P<today{n}>today|now)|(?P<tomorrow{n}>tomorrow)"
    r"|(?P<week{n}>next\s+week)"
    rf"|(?:in\s+)?(?P<count{{n}}>{_NUMBER})\s*(?P<unit{{n}}>day|week)s?"
    rf"|(?P<day{{n}}>{DAY_OF_MONTH})\.?\s*(?:of\s+)?(?P<month{{n}}>{MONTH})(?:\s+(?P<year{{n}}>\d{{4}}))?"
    rf"|(?P<monthb{{n}}>{MONTH})\s+(?P<dayb{{n}}>{DAY_OF_MONTH})(?:,?\s+(?P<yearb{{n}}>\d{{4}}))?"
    rf"|(?:on\s+|next\s+|this\s+)?(?P<weekday{{n}}>{_WEEKDAY})"
)


def _one(name: str) -> str:
    return _ONE.replace("{n}", name).replace("{{", "{").replace("}}", "}")


_AHEAD = re.compile(
    rf"(?<![\w-])(?:(?:until|till|to|for|on|by)\s+)?(?:{_one('')})(?![\w-])", re.IGNORECASE
)
_TO = r"\s*(?:-|\u2013|to|till|until|through)\s*"
_SPAN = re.compile(rf"(?:from\s+)?(?:{_one('1')}){_TO}(?:{_one('2')})", re.IGNORECASE)
_SHORT_SPAN = re.compile(
    rf"(?:from\s+)?(?P<first>{DAY_OF_MONTH})\.?{_TO}(?:{_one('2')})", re.IGNORECASE
)
_SHORT_SPAN_B = re.compile(
    rf"(?:from\s+)?(?P<month>{MONTH})\s+(?P<first>{DAY_OF_MONTH}){_TO}(?P<last>{DAY_OF_MONTH})",
    re.IGNORECASE,
)
# `the 10th to the 14th`: days of a month, of which the nearest that is still to come is meant.
_DAYS_SPAN = re.compile(
    rf"(?:from\s+)?(?:the\s+)?(?P<first>[0-3]?\d)(?:st|nd|rd|th){_TO}(?:the\s+)?"
    r"(?P<last>[0-3]?\d)(?:st|nd|rd|th)",
    re.IGNORECASE,
)
_WEEK_SPAN = re.compile(
    r"(?:for\s+|over\s+|all\s+)?(?:the\s+)?(?:(?P<whole>(?:(?:whole|all)\s+)?(?:of\s+)?next\s+week)"
    r"|(?P<rest>this\s+week)|(?P<weekend>(?:this\s+|next\s+)?weekend))",
    re.IGNORECASE,
)
_UNTIL = re.compile(rf"(?:until|till|to|for|through)\s+(?:{_one('2')})", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Ahead:
    """A day found in a line (None when it names none), whether its evening is meant, the rest."""

    day: date | None
    rest: str
    evening: bool = False


def take_ahead(text: str, now: datetime, zone: ZoneInfo) -> Ahead | Unclear:
    """Find a day to come in a line; the last one where several could be. Past ones are unclear."""
    matches = list(_AHEAD.finditer(text))
    if not matches:
        return Ahead(None, text)
    match = matches[-1]
    today = now.astimezone(zone).date()
    day = _checked(match, "", today)
    if isinstance(day, Unclear):
        return day
    rest = f"{text[: match.start()]} {text[match.end() :]}"
    return Ahead(day, re.sub(r"\s+", " ", rest).strip(" ,:"), bool(match["evening"]))


def read_span(text: str, now: datetime, zone: ZoneInfo) -> tuple[date, date] | Unclear | None:
    """First and last day of an absence; None where the text is none."""
    said, today = text.strip(" .!"), now.astimezone(zone).date()
    for pattern, read in _SPANS:
        match = pattern.fullmatch(said)
        if match is not None:
            return _ordered(read(match, today), said, today)
    match = _UNTIL.fullmatch(said)
    if match is not None:
        last = _checked(match, "2", today)
        return last if isinstance(last, Unclear) else _ordered((today, last), said, today)
    match = _AHEAD.fullmatch(said)
    if match is not None:
        day = _checked(match, "", today)
        return day if isinstance(day, Unclear) else _ordered((day, day), said, today)
    return None


def _both(match: re.Match[str], today: date) -> tuple[date, date] | Unclear:
    first = _checked(match, "1", today)
    if isinstance(first, Unclear):
        return first
    ends = _checked(match, "2", today)
    begun = first - _YEAR if match["month1"] or match["monthb1"] else first
    if isinstance(ends, date) and today - begun <= _BEGUN and begun <= ends < first:
        return begun, ends  # it has begun already: `1 June - 14 June` on the 3rd
    last = _checked(match, "2", first)
    return last if isinstance(last, Unclear) else (first, last)


def _short(match: re.Match[str], today: date) -> tuple[date, date] | Unclear:
    """`1-14 June`: the month of the last day is that of the first."""
    if match["day2"] is None:
        return Unclear("when-no-such-day", {"said": match[0]})
    last = _checked(match, "2", today)
    if isinstance(last, Unclear):
        return last
    try:
        return last.replace(day=day_number(match["first"])), last
    except ValueError:
        return Unclear("when-no-such-day", {"said": match[0]})


def _short_b(match: re.Match[str], today: date) -> tuple[date, date] | Unclear:
    """`June 1-14`."""
    try:
        last = nearest(today, match["month"], match["last"], ahead=True)
        return last.replace(day=day_number(match["first"])), last
    except ValueError:
        return Unclear("when-no-such-day", {"said": match[0]})


def _days(match: re.Match[str], today: date) -> tuple[date, date] | Unclear:
    """`the 10th to the 14th`, this month or, where that is over, the next that has such days."""
    first, last = int(match["first"]), int(match["last"])
    begin = today.replace(day=1)
    for _ in range(3):
        try:
            span = begin.replace(day=first), begin.replace(day=last)
        except ValueError:
            span = None
        if span is not None and span[1] >= today:
            return span
        begin = (begin + timedelta(days=32)).replace(day=1)
    return Unclear("when-no-such-day", {"said": match[0]})


def _week(match: re.Match[str], today: date) -> tuple[date, date]:
    """`next week` from its Monday to its Sunday; what is left of `this week`; a weekend."""
    monday = today - timedelta(days=today.weekday())
    if match["whole"]:
        return monday + timedelta(days=7), monday + timedelta(days=13)
    if match["rest"]:
        return today, monday + timedelta(days=6)
    ahead = 7 if match["weekend"].casefold().startswith("next") else 0
    saturday = monday + timedelta(days=5 + ahead)
    return max(saturday, today), saturday + timedelta(days=1)


_SPANS = (
    (_WEEK_SPAN, _week),
    (_SPAN, _both),
    (_SHORT_SPAN, _short),
    (_SHORT_SPAN_B, _short_b),
    (_DAYS_SPAN, _days),
)


def _ordered(
    span: tuple[date, date] | Unclear, said: str, today: date
) -> tuple[date, date] | Unclear:
    if isinstance(span, Unclear):
        return span
    if span[0] > span[1] or span[1] < today:
        return Unclear("when-backwards", {"said": said[:40]})
    return span


def _checked(match: re.Match[str], n: str, today: date) -> date | Unclear:
    """The day of a match, unless there is no such day or it is over or too far off."""
    parts = {key.removesuffix(n): value for key, value in match.groupdict().items()
             if value is not None and key.endswith(n)}  # fmt: skip
    try:
        day = _day(parts, today)
    except ValueError:
        return Unclear("when-no-such-day", {"said": match[0].strip()})
    if day < today:
        return Unclear("when-past", {"said": match[0].strip()})
    if day - today > FARTHEST:
        return Unclear("when-too-far-ahead", {"said": match[0].strip()})
    return day


def _day(parts: dict[str, str], today: date) -> date:
    if "iso" in parts:
        year, month, day = (int(piece) for piece in parts["iso"].split("-"))
        return date(year, month, day)
    for word, days in (("tomorrow", 1), ("week", 7)):
        if word in parts:
            return today + timedelta(days=days)
    if "count" in parts:
        number = NUMBERS.get(parts["count"].casefold()) or int(parts["count"])
        return today + timedelta(days=number * (7 if parts["unit"].casefold() == "week" else 1))
    if "weekday" in parts:
        names = [name[:3] for name in WEEKDAYS]
        ahead = (names.index(parts["weekday"].casefold()[:3]) - today.weekday()) % 7 or 7
        return today + timedelta(days=ahead)
    named, of_month = (parts.get(key) or parts.get(f"{key}b") for key in ("day", "month"))
    if named and of_month:
        year_said = parts.get("year") or parts.get("yearb")
        return nearest(today, of_month, named, year_said, ahead=True)
    return today
