"""What a sentence says of a plant, as a command: a probe, water, a place, pests, its end."""

from __future__ import annotations

import re

from bot.talk.grammar.dates import When, take_when
from bot.talk.grammar.pots import read_pot
from bot.talk.grammar.quantities import Refusal, find_volume, find_weight
from bot.talk.grammar.readings import read_found
from bot.talk.grammar.spots import read_spot
from bot.talk.naming import Spoken
from bot.talk.plainwords import (
    ABOUT,
    AUXILIARY,
    COMING_OUT,
    FIRM,
    FULL,
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
from core.knowledge.library import library
from core.knowledge.matching import Unknown

# Commands about a plant whose name may come first (`fern chart`), and what its page takes.
OF_A_PLANT = frozenset({"chart", "photo", "photos", "why", "looked", "spot", "rinse", "poison"})
# Words after a name that mean a command about it, beside the verbs.
ASKED = {
    "picture": "photo",
    "pictures": "photo",
    "info": "plant",
    "help": "plant",
    "details": "plant",
    "page": "plant",
    "history": "story",
}
PAGE = frozenset({"rename", "copy", "retire"})

_POT = re.compile(
    r"(?:(?:is|stands|sits|lives|grows|it|now|has|in|a|an|the) )*(?P<pot>.*\d.*\bpot)"
    r"|(?:the )?pot (?:is |has |measures )?(?:a |now )*(?P<size>.*\d.*)",
    re.IGNORECASE,
)
_HOLE = re.compile(
    r"(?:pot )?(?:(?:has|with) )?(?:(?P<no>no)|an?|some)(?: drainage| drain)? holes?",
    re.IGNORECASE,
)
_CALLED = re.compile(
    r"(?:(?:is|['\u2019]s|should be|shall be|will be|now) )*(?:called|named) (?:now )?(?P<name>.+?)"
    r"(?: (?:now|from now on))?",
    re.IGNORECASE,
)
_KIND = re.compile(
    r"(?:is|['\u2019]s)(?: (?:actually|really|probably|in fact))? (?:a|an) (?P<kind>.+)",
    re.IGNORECASE,
)
# Whole phrases after a name, and the command that each stands for.
_PHRASES = tuple(
    (re.compile(pattern, re.IGNORECASE), command)
    for pattern, command in (
        (r"(?:has|got|in|is in|with) a new pot(?:[,:]? (?P<more>.*\d.*))?", "repot"),
        (r"(?:has |just )*(?:got|had|drank) (?P<more>.*\b(?:water|drink|sip|splash)\b.*)", "gave"),
        (r"(?:is |was |went |stands )?(?P<more>back(?: again| home| in (?:its )?place)?)", "spot"),
        (r"(?:i|we)(?:['\u2019]ll| will) (?:do|check|probe)(?: it)? (?P<more>.+)", "later"),
    )
)
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
    other = (
        _potted(turn, call, rest)
        or _done_to_it(turn, call, rest)
        or (f"/plant {call}" if about else None)
    )
    other = other or _told_of_it(call, rest)
    if other is None and re.search(r"\d", rest):
        return f"/check {call}{colon} {rest}"
    return other


def _potted(turn: Turn, call: str, rest: str) -> str | None:
    """`fern pot 20 cm`, `fern is in a 20 cm pot`: which pot it has, not a reading nor a place."""
    pot = _POT.fullmatch(rest.strip(PUNCTUATION))
    said = read_pot(pot["pot"] or pot["size"], turn.settings.units) if pot is not None else None
    if pot is None or said is None or isinstance(said, Refusal):
        return None
    return f"/plant {call} pot {pot['pot'] or pot['size']}"


def _done_to_it(turn: Turn, call: str, rest: str) -> str | None:
    """`fern was watered`, `fern got 400 ml`, `fern turned`."""
    bare = AUXILIARY.sub("", rest).strip()
    for pattern, command in _PHRASES:
        phrase = pattern.fullmatch(rest.strip(PUNCTUATION))
        if phrase is not None:
            return f"/{command} {call} {phrase['more'] or ''}".rstrip()
    word, _, more = bare.partition(" ")
    key = word.casefold().strip(PUNCTUATION)
    if bare.casefold().strip(PUNCTUATION) in NOT_NOW:
        return f"/later {call}"
    if key in PAGE:
        return f"/plant {call} {bare}"
    verb = VERBS.get(key) or ASKED.get(key) or (key if key in OF_A_PLANT else None)
    more = OF.sub("", more + " ").strip()
    if verb and verb != "check" and not (verb == "later" and more.strip(PUNCTUATION)):
        return f"/{verb} {call} {more}".strip()
    return f"/gave {call} {bare}" if is_amount(turn, bare) else None


def _told_of_it(call: str, rest: str) -> str | None:
    """`fern died`, `fern has gnats`, `fern is in the kitchen now`."""
    said = rest.strip(PUNCTUATION)
    words = set(said.casefold().split())
    if _NUMBER.search(rest):
        return None  # a reading, whatever else is odd about it
    roots = _roots(words)
    if roots:
        return f"/looked {call} {roots}"
    if words & GONE and not words & {"leaf", "leaves"}:
        return f"/plant {call} retire"
    if words & PESTS:
        return f"/scout {call} {rest}"
    placed = PLACED.match(rest) or read_spot(AUXILIARY.sub("", rest)).lit
    return _what_it_is(call, said) or (f"/spot {call} {PLACED.sub('', rest)}" if placed else None)


def _roots(words: set[str]) -> str:
    """What was found of its roots; empty where nothing is said of them."""
    if words & FULL or ("roots" in words and words & COMING_OUT):
        return "full"
    found = words & (FIRM | SOFT) if "roots" in words else set()
    return ("soft" if words & SOFT else "fine") if found else ""


def _what_it_is(call: str, said: str) -> str | None:
    """`is called Bob now`, `is a maidenhair fern`."""
    called = _CALLED.fullmatch(said)
    if called is not None:
        return f"/plant {call} rename {called['name']}"
    hole = _HOLE.fullmatch(said)
    if hole is not None:
        return f"/plant {call} hole {'no' if hole['no'] else 'yes'}"
    kind = _KIND.fullmatch(said)
    if kind is not None and not isinstance(library().find(kind["kind"]), Unknown):
        return f"/plant {call} species {kind['kind']}"
    return None


def is_amount(turn: Turn, text: str) -> bool:
    """Whether a text tells water, and no weight: bare ounces are asked about as a weight."""
    volume = find_volume(text, turn.settings.units)
    weight = find_weight(text)
    return volume is not None and not isinstance(volume, Refusal) and weight is None


def tells(turn: Turn, text: str) -> bool:
    """Whether a text tells a reading or water, whatever plant it is about."""
    return isinstance(read_found(text), Found) or is_amount(turn, text)
