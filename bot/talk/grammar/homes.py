"""Where somebody lives and how they measure, in their own words: `we live in Berlin, cups`."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.talk.grammar.zones import read_zone
from core.care.units import System

SYSTEMS = {
    "metric": System.METRIC,
    "cm": System.METRIC,
    "ml": System.METRIC,
    "millilitres": System.METRIC,
    "milliliters": System.METRIC,
    "litres": System.METRIC,
    "liters": System.METRIC,
    "centimetres": System.METRIC,
    "centimeters": System.METRIC,
    "celsius": System.METRIC,
    "us": System.US,
    "fahrenheit": System.US,
    "american": System.US,
    "cups": System.US,
    "ounces": System.US,
    "inch": System.US,
    "inches": System.US,
    "imperial": System.IMPERIAL,
    "pints": System.IMPERIAL,
    "uk": System.IMPERIAL,
    "british": System.IMPERIAL,
}
# Words for one measure of several that go together.
ONE_OF_MANY = {
    "inch": (System.US, System.IMPERIAL),
    "inches": (System.US, System.IMPERIAL),
    "fahrenheit": (System.US,),
    "celsius": (System.METRIC, System.IMPERIAL),
}
RIGHT = frozenset({"right", "ok", "okay", "yes", "yep", "fine", "correct"})
"""What was taken for granted is so."""

_SMALL = re.compile(
    r"\b(?:live|lives|am|is|are|i'm|we're|it's|in|at|near|and|with|use|using|uses|measure|please"
    r"|my|our|we|i|time zone|zone|time)\b|[,;.!]"
)
_TALK = frozenset("how what why when who where you your can could do does thanks thank".split())
_MOST_WORDS = 2


@dataclass(frozen=True, slots=True)
class Home:
    """What was said: the words that name a place, the zone if they do, the measures if any."""

    place: str
    zone: str | None
    units: System | None


def read_home(text: str) -> Home:
    """What a text says of a place and of measures."""
    words = _SMALL.sub(" ", text.casefold()).split()
    systems = [SYSTEMS[word] for word in words if word in SYSTEMS]
    place = " ".join(word for word in words if word not in SYSTEMS)
    return Home(place, read_zone(place) if place else None, systems[-1] if systems else None)


def may_be_home(text: str, *, sure: bool) -> bool:
    """Whether a text, said when a home was asked for, is one: known, or a word or two that may be.

    `sure`: only a known one, as where others talk as well.
    """
    home = read_home(text)
    known = home.zone is not None or home.place in RIGHT
    if known or (home.units is not None and not home.place):
        return True
    if sure:
        return False
    words = home.place.split()
    chatter = text.endswith("?") or any(char.isdigit() for char in text) or _TALK & set(words)
    return 0 < len(words) <= _MOST_WORDS and not chatter
