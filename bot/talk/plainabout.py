"""What a sentence says of a plant, as a command: a probe, water, a place, pests, its end."""

from __future__ import annotations

import re

from bot.talk.grammar.dates import When, take_when
from bot.talk.grammar.quantities import Refusal, find_volume, find_weight
from bot.talk.grammar.readings import read_found
from bot.talk.grammar.spots import read_spot
from bot.talk.naming import Spoken
from bot.talk.plainwords import (
    ABOUT,
    AUXILIARY,
    FIRM,
    GONE,
    NOT_NOW,
    OF,
    PESTS,
    PLACED,
    PUNCTUATION,
    SOFT,
    VERBS,
)
from bot.talk.turn import Turn
from core.care.reading import Found

# Commands about a plant whose name may come first (`fern chart`), and what its page takes.
OF_A_PLANT = frozenset({"chart", "photo", "photos", "why", "looked", "spot", "rinse"})
PAGE = frozenset({"rename", "copy", "retire"})

# A number on its own, and no length.
_NUMBER = re.compile(r"(?<![\d.,])\d{1,2}(?![\d.,]|\s*(?:m|cm|ft|in)\b)(?!\S)")


def command_for(turn: Turn, found: Spoken) -> str | None:
    """The command for what was said of a plant: a probe, water, or something else."""
    call, rest = found.plant.call, found.rest
    colon = ":" if found.sure else ""
    moment = take_when(rest, turn.now, turn.who.zone)
    timeless = moment.rest if isinstance(moment, When) else rest
    if isinstance(read_found(timeless.split(",")[0]), Found):
        return f"/check {call}{colon} {rest}"
    about = ABOUT.fullmatch(rest.strip(PUNCTUATION)) is not None
    if about and rest.rstrip().endswith("?"):
        return f"/plant {call}"
    other = _done_to_it(turn, call, rest) or (f"/plant {call}" if about else None)
    other = other or _told_of_it(call, rest)
    if other is None and re.search(r"\d", rest):
        return f"/check {call}{colon} {rest}"
    return other


def _done_to_it(turn: Turn, call: str, rest: str) -> str | None:
    """`fern was watered`, `fern got 400 ml`, `fern turned`."""
    bare = AUXILIARY.sub("", rest).strip()
    word, _, more = bare.partition(" ")
    key = word.casefold().strip(PUNCTUATION)
    if bare.casefold().strip(PUNCTUATION) in NOT_NOW:
        return f"/later {call}"
    if key in PAGE:
        return f"/plant {call} {bare}"
    verb = VERBS.get(key) or (key if key in OF_A_PLANT else None)
    more = OF.sub("", more + " ").strip()
    if verb and verb != "check" and not (verb == "later" and more.strip(PUNCTUATION)):
        return f"/{verb} {call} {more}".strip()
    return f"/gave {call} {bare}" if is_amount(turn, bare) else None


def _told_of_it(call: str, rest: str) -> str | None:
    """`fern died`, `fern has gnats`, `fern is in the kitchen now`."""
    words = set(rest.casefold().strip(PUNCTUATION).split())
    if _NUMBER.search(rest):
        return None  # a reading, whatever else is odd about it
    if "roots" in words and words & (FIRM | SOFT):
        return f"/looked {call} {'soft' if words & SOFT else 'fine'}"
    if words & GONE:
        return f"/plant {call} retire"
    if words & PESTS:
        return f"/scout {call} {rest}"
    placed = PLACED.match(rest) or read_spot(AUXILIARY.sub("", rest)).lit
    return f"/spot {call} {PLACED.sub('', rest)}" if placed else None


def is_amount(turn: Turn, text: str) -> bool:
    """Whether a text tells water, and no weight: bare ounces are asked about as a weight."""
    volume = find_volume(text, turn.settings.units)
    weight = find_weight(text)
    return volume is not None and not isinstance(volume, Refusal) and weight is None


def tells(turn: Turn, text: str) -> bool:
    """Whether a text tells a reading or water, whatever plant it is about."""
    return isinstance(read_found(text), Found) or is_amount(turn, text)
