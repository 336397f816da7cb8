"""What is told of a room: `18C 45%`, `16C at night`, `one pane`, `two panes, new`."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.talk.grammar.quantities import Found, Refusal, find_temperature
from core.care.glass import Glazing
from core.care.units import System

_HUMIDITY = re.compile(
    r"(-?\d+(?:[.,]\d+)?)\s*(?:%|percent\b)(?:\s*(?:rh|humidity|humid))?", re.IGNORECASE
)
_NIGHT = re.compile(r"\b(?:at|by|in the)\s+night\b|\bnights?\b", re.IGNORECASE)
_PANES = r"(?:-?\s*(?:panes?|glazed|glazing|glass|window)s?)"
_ONE = re.compile(rf"\b(?:(?:one|1){_PANES}|single{_PANES}?)", re.IGNORECASE)
_THREE = re.compile(rf"\b(?:(?:three|3){_PANES}|triple{_PANES}?)", re.IGNORECASE)
_TWO = re.compile(rf"\b(?:(?:two|2){_PANES}|double{_PANES}?)", re.IGNORECASE)
_AGE = re.compile(r"\b(?P<new>new|modern|coated)\b|\b(?:old)\b", re.IGNORECASE)
_CURTAIN = re.compile(
    r"\b(?P<no>no|without|never(?:\s+a)?)?\s*(?:behind\s+(?:the|a)\s+)?(?:curtain|blind|drape)s?"
    r"(?:\s+(?:is|are))?(?:\s+(?:drawn|closed|shut))?\b",
    re.IGNORECASE,
)
_GLUE = re.compile(
    r"\b(?:is|it|has|have|the|a|an|and|now|about|with|of|in)\b|[,;.:]", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class RoomSaid:
    """What a text tells of a room; C and %, None where it tells none. `rest`: not understood."""

    celsius: float | None = None
    humidity: float | None = None
    at_night: bool = False
    glazing: Glazing | None = None
    curtain: bool | None = None
    rest: str = ""

    @property
    def nothing(self) -> bool:
        """Whether it tells nothing at all."""
        return self.celsius is None and self.glazing is None and self.curtain is None


def read_room(text: str, system: System) -> RoomSaid | Refusal:
    """Everything a text tells of a room; a refusal where a temperature can't be one."""
    humid = _HUMIDITY.search(text)
    left = _without(text, humid)
    night = _NIGHT.search(left)
    glazing, left = _glazing(_without(left, night))
    veil = _CURTAIN.search(left)
    left = _without(left, veil)
    warm = find_temperature(left, system.degrees, system=system)
    if isinstance(warm, Refusal):
        return warm
    celsius = None
    if isinstance(warm, Found):
        celsius, left = warm.value.celsius, warm.rest
    return RoomSaid(
        celsius,
        None if humid is None else float(humid[1].replace(",", ".")),
        night is not None,
        glazing,
        None if veil is None else veil["no"] is None,
        re.sub(r"\s+", " ", _GLUE.sub(" ", left)).strip(),
    )


def _without(text: str, match: re.Match[str] | None) -> str:
    return text if match is None else f"{text[: match.start()]} {text[match.end() :]}"


def _glazing(text: str) -> tuple[Glazing | None, str]:
    """The kind of window; two panes of which no age is told are old ones, to be careful."""
    for pattern, kind in ((_ONE, Glazing.ONE_PANE), (_THREE, Glazing.THREE), (_TWO, None)):
        match = pattern.search(text)
        if match is None:
            continue
        left = _without(text, match)
        age = _AGE.search(left)
        left = _without(left, age)
        new = age is not None and age["new"] is not None
        return kind or (Glazing.TWO_NEW if new else Glazing.TWO_OLD), left
    return None, text
