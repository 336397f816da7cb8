"""How cold or hot it gets, in plain words: `-3 tonight`, `36C tomorrow`, `frost tonight?`."""

from __future__ import annotations

import re

from bot.talk.grammar.quantities import Refusal, read_temperature
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer

# A day's high is told from here on, a night's low below freezing; between, it may be either (ours).
_WARM_C, _FREEZING_C = 20.0, 0.0

# A bare number only under nought, for else it may be a reading.
_DEGREES = (
    r"(?:-|\u2212|minus )?\d+(?:[.,]\d+)? ?(?:\u00b0 ?)?(?:c|f|degrees?(?: [cf])?)\b"
    r"|(?:-|\u2212|minus )\d+"
)
_WEEKDAY = r"(?:mon|tues|wednes|thurs|fri|satur|sun)day"
_DAY = rf"(?P<day>tomorrow|today|(?:on |this |next )?{_WEEKDAY})(?P<night> (?:at )?night)?"
_IT = (
    r"(?:(?:it|there)(?:['\u2019]?s|['\u2019]?ll be| is| will be| gets| may be| might be)? )?"
    r"(?:going to be )?(?:be )?"
)
_END = r"\s*[?.!]*"
_TONIGHT = (
    re.compile(rf"{_IT}(?P<degrees>{_DEGREES})(?: outside)? tonight{_END}", re.IGNORECASE),
    re.compile(
        rf"(?:{_IT}cold )?tonight,?(?: it| it will be| it['\u2019]?s|:)?"
        rf" (?P<degrees>{_DEGREES}){_END}",
        re.IGNORECASE,
    ),
)
_ON_A_DAY = (
    re.compile(rf"{_IT}(?P<degrees>{_DEGREES})(?: outside)?,? {_DAY}{_END}", re.IGNORECASE),
    re.compile(rf"{_DAY},? {_IT}(?P<degrees>{_DEGREES}){_END}", re.IGNORECASE),
)
_OUT = r"(?:outside|outdoors|out(?: (?:there|here))?)"
_COMING = re.compile(
    r"(?:it|there)(?:['\u2019]?ll| will| may| might| is going to|['\u2019]?s going to)"
    rf" (?:be|get|reach|hit)(?: up to)? (?P<degrees>{_DEGREES})(?: {_OUT})?{_END}",
    re.IGNORECASE,
)
_NUMBER = rf"(?P<degrees>{_DEGREES}|\d+)"
_OUTSIDE = (
    re.compile(rf"{_IT}{_NUMBER} {_OUT}(?: (?:right )?now)?{_END}", re.IGNORECASE),
    re.compile(rf"{_OUT},? {_IT}{_NUMBER}(?: (?:right )?now)?{_END}", re.IGNORECASE),
)
_COLD = (
    r"(?:(?:will|is|may|might|it|it['\u2019]?s|it['\u2019]?ll|there|going|to|be|get|how|a) )*"
    r"(?:freezes?|freezing|frost|cold|frosty)(?: is it| will it (?:be|get))?"
)
_HOT = (
    r"(?:(?:will|is|may|might|it|it['\u2019]?s|it['\u2019]?ll|there|going|to|be|get|how|a) )*"
    r"(?:hot|heat|heat ?wave|very hot)(?: (?:is )?coming| is it| will it (?:be|get))?"
)
_ASKED_LOW = re.compile(rf"{_COLD}(?: {_OUT})?(?: (?:tonight|{_DAY}))?{_END}", re.IGNORECASE)
_ASKED_HIGH = re.compile(rf"{_HOT}(?: {_OUT})?(?: {_DAY})?{_END}", re.IGNORECASE)


def weather(turn: Turn, said: str) -> str | Reply | None:
    """The command of a sentence about the weather; asked back where day or night is unclear."""
    for pattern in _TONIGHT:
        match = pattern.fullmatch(said)
        if match is not None:
            return f"/low {match['degrees']}"
    for pattern in _ON_A_DAY:
        match = pattern.fullmatch(said)
        if match is not None:
            return _of_a_day(turn, match["degrees"], match["day"], by_night=bool(match["night"]))
    return _undated(turn, said) or _asked(said)


def _undated(turn: Turn, said: str) -> str | Reply | None:
    """What is to come is the next day's or night's, what is outside is today's."""
    match = _COMING.fullmatch(said)
    if match is not None:
        return _of_a_day(turn, match["degrees"])
    for pattern in _OUTSIDE:
        match = pattern.fullmatch(said)
        if match is not None:
            return _of_a_day(turn, match["degrees"], "today")
    return None


def _asked(said: str) -> str | None:
    match = _ASKED_LOW.fullmatch(said)
    if match is not None:
        return f"/low {match['day'] or ''}".rstrip()
    match = _ASKED_HIGH.fullmatch(said)
    return f"/high {match['day'] or ''}".rstrip() if match is not None else None


def _of_a_day(
    turn: Turn, degrees: str, day: str = "", *, by_night: bool = False
) -> str | Reply | None:
    units = turn.settings.units
    told = read_temperature(degrees, units.degrees, system=units)
    if isinstance(told, Refusal):
        return None
    when = f"{degrees} {day}".strip()
    low, high = f"/low {when}", f"/high {when}"
    if by_night or told.celsius < _FREEZING_C:
        return low
    if told.celsius >= _WARM_C:
        return high
    buttons = (Option(turn.words("low-by-night"), low), Option(turn.words("low-by-day"), high))
    return answer(turn.words("low-or-high", said=when), buttons=buttons)
