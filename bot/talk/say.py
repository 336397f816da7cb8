"""Amounts, days and spans as a tired person reads them at the sink."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

from bot.talk.catalogue import Catalogue, locale
from core.care.units import System, Unit, convert, kitchen_measure, round_dose

_QUARTERS = {Fraction(1, 4): "¼", Fraction(1, 2): "½", Fraction(3, 4): "¾"}
# So far off a measure is still the amount that was told (ours).
_NEARLY = 0.03
# A week from today on, the day of the month is said too.
NEARBY_DAYS = 7
# In another month than this one the weekday helps only so far, and in no month further than that.
SOON_DAYS, FAR_DAYS = 14, 45


def litres(words: Catalogue, amount: float, system: System) -> str:
    """A volume in the household's habit with its kitchen measure: `400 ml (about 1½ cups)`."""
    rounded = round_dose(amount)
    metric = millilitres(rounded)
    if rounded <= 0:
        return metric
    kitchen = _kitchen(words, rounded, system)
    if system is not System.METRIC:
        return words("amount-both", one=kitchen, other=metric)
    if kitchen_measure(rounded, system).unit is Unit.LITRE:
        return metric
    return words("amount-about", one=metric, other=kitchen)


def plain_litres(amount: float) -> str:
    """A volume rounded to what can be measured out, without the kitchen."""
    return millilitres(round_dose(amount))


def short(words: Catalogue, amount: float, system: System) -> str:
    """The same in the household's one measure: `400 ml`, `1¾ US cups`."""
    return plain_litres(amount) if system is System.METRIC else _kitchen(words, amount, system)


def exact(words: Catalogue, amount: float, system: System) -> str:
    """A volume as it was told, not rounded to a jug: `473 ml`, `2 US cups (473 ml)`.

    A kitchen measure that comes near it only is said to be about it: `341 ml (about ½ ...)`.
    """
    metric = millilitres(round(amount, 3))
    if system is System.METRIC or amount <= 0:
        return metric
    kitchen, holds = _kitchen(words, amount, system), kitchen_measure(amount, system).litres
    if abs(holds - amount) > _NEARLY * amount:
        return words("amount-about", one=metric, other=kitchen)
    return words("amount-both", one=kitchen, other=metric)


def volume(words: Catalogue, amount: float, system: System) -> str:
    """The volume of a pot, no finer than it is known: `1.1 L`, `850 ml`, `5 US cups`."""
    if system is not System.METRIC:
        return _kitchen(words, amount, system)
    return millilitres(round(amount, 1 if amount >= 1 else 2))


def _kitchen(words: Catalogue, amount: float, system: System) -> str:
    measure = kitchen_measure(amount, system)
    count, plural = _count(measure.count), "one" if measure.count <= 1 else "other"
    return words(f"amount-{measure.unit.value.replace('_', '-')}", count=count, plural=plural)


def millilitres(amount: float) -> str:
    """`400 ml` below a litre, `1.2 L` above."""
    if amount < 1:
        return f"{amount * 1000:.0f} ml"
    return f"{amount:.2f}".rstrip("0").rstrip(".") + " L"


def _count(count: Fraction) -> str:
    whole, part = divmod(count, 1)
    quarter = _QUARTERS.get(Fraction(part), "")
    return f"{whole or ''}{quarter}" or "0"


def length(metres: float, system: System) -> str:
    """A length as the household measures pots: `15 cm` or `6 in`."""
    if system is System.METRIC:
        return f"{metres * 100:.0f} cm"
    inches = convert(metres, Unit.METRE, Unit.INCH)
    return f"{_count(Fraction(round(inches * 2), 2))} in"


def temperature(celsius: float, system: System) -> str:
    """A temperature as the household reads it."""
    if system is System.US:
        return f"{round(convert(celsius, Unit.CELSIUS, Unit.FAHRENHEIT))} °F"
    return f"{round(celsius)} °C"


def weight(kg: float, system: System) -> str:
    """The weight of a pot."""
    if system is System.US:
        pounds, ounces = divmod(round(convert(kg, Unit.KILOGRAM, Unit.OUNCE)), 16)
        return f"{pounds} lb {ounces} oz"
    return f"{kg:.2f} kg"


def day(words: Catalogue, moment: datetime | date, now: datetime, zone: ZoneInfo) -> str:
    """A day as people say it: today, Thursday, Thursday the 12th, 3 March."""
    wanted, today = _date(moment, zone), _date(now, zone)
    ahead = (wanted - today).days
    if ahead in (-1, 0, 1):
        return words(("common-yesterday", "common-today", "common-tomorrow")[ahead + 1])
    from babel.dates import format_date  # noqa: PLC0415 - only when a day is named

    named = weekday(words, wanted)
    if abs(ahead) < NEARBY_DAYS:
        return named if ahead > 0 else words("day-last", weekday=named)
    if abs(ahead) <= SOON_DAYS or (abs(ahead) <= FAR_DAYS and wanted.month == today.month):
        return words("day-of-month", weekday=named, day=ordinal(wanted.day))
    pattern = "d MMMM" if wanted.year == now.astimezone(zone).year else "d MMMM yyyy"
    return format_date(wanted, pattern, locale=locale(words.language))


def weekday(words: Catalogue, wanted: date) -> str:
    """The name of a day's weekday."""
    from babel.dates import get_day_names  # noqa: PLC0415 - only when a day is named

    name: str = get_day_names("wide", locale=locale(words.language))[wanted.weekday()]
    return name


def on_day(words: Catalogue, moment: datetime | date, now: datetime, zone: ZoneInfo) -> str:
    """The same with its preposition: `on Thursday`, but `tomorrow`, `last Thursday`."""
    said = day(words, moment, now, zone)
    ahead = (_date(moment, zone) - _date(now, zone)).days
    return said if -NEARBY_DAYS < ahead <= 1 else words("day-on", day=said)


def has_gone_by(moment: datetime | date, now: datetime, zone: ZoneInfo) -> bool:
    """Whether its day is over."""
    return _date(moment, zone) < _date(now, zone)


def _date(moment: datetime | date, zone: ZoneInfo) -> date:
    return moment.astimezone(zone).date() if isinstance(moment, datetime) else moment


def ordinal(number: int) -> str:
    """A day of the month as it is said: 1st, 2nd, 11th."""
    suffix = (
        "th" if 10 <= number % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    )
    return f"{number}{suffix}"


def ago(words: Catalogue, moment: datetime, now: datetime, zone: ZoneInfo) -> str:
    """How long ago something was: minutes and hours today, then days."""
    passed = now - moment
    if passed < timedelta(minutes=1):
        return words("common-just-now")
    if passed < timedelta(hours=1):
        return words("common-minutes-ago", n=int(passed.total_seconds() // 60))
    days = (now.astimezone(zone).date() - moment.astimezone(zone).date()).days
    if days == 0 or passed < timedelta(hours=6):
        return words("common-hours-ago", n=int(passed.total_seconds() // 3600))
    return words("common-days-ago", n=days)


def reading(value: float) -> str:
    """A reading as it was on the dial: `3`, `3.5`."""
    return f"{value:.1f}".removesuffix(".0")


def distance(metres: float, system: System) -> str:
    """How far from something: `30 cm`, `2 m`, `3 ft`."""
    if system is System.METRIC:
        return f"{metres * 100:.0f} cm" if metres < 1 else f"{metres:.1f}".removesuffix(".0") + " m"
    feet = convert(metres, Unit.METRE, Unit.FOOT)
    return length(metres, system) if feet < 1 else f"{feet:.0f} ft"


def some(words: Catalogue, names: Sequence[str], most: int) -> str:
    """Some names as a list; of more than one beyond `most` only the number is said."""
    if len(names) <= most + 1:
        return words.both(names)
    return f"{', '.join(names[:most])} {words('common-and-more', n=len(names) - most)}"


def days(words: Catalogue, number: float) -> str:
    """A span of days as people count: `3 days`, `a week`, `two weeks`."""
    whole = max(1, round(number))
    weeks, over = divmod(whole, 7)
    if over == 0 and weeks <= 6:
        return words("day-weeks", n=weeks)
    return words("day-days", n=whole)
