"""Which plant a sentence is about, wherever its name stands; or what to say where none is."""

from __future__ import annotations

import re

from bot.talk import quoted, registry
from bot.talk.commands.told import moment_in
from bot.talk.grammar.dates import When
from bot.talk.grammar.pots import read_pot
from bot.talk.grammar.quantities import Refusal
from bot.talk.grammar.readings import read_found
from bot.talk.message import Option, Reply
from bot.talk.naming import Spoken, anywhere, exact, for_which, split_plant, unknown
from bot.talk.plainabout import is_amount, tells
from bot.talk.plainwords import ABOUT, PUNCTUATION, UNWELL
from bot.talk.turn import Turn, answer
from core.care.reading import Found
from core.journal.plants import Named, name_key

# What is told of a room's air: `kitchen is 18C`, `kitchen 45%`.
_AIR = re.compile(r"\d ?(?:%|\u00b0|percent\b|degrees?\b|[cf]\b)", re.IGNORECASE)
_THE = re.compile(r"^(?:the|my|our)\s+", re.IGNORECASE)
_MUCH_LIKE = 75
_IS = re.compile(r"\s+(?:is|has|now|at)\s+", re.IGNORECASE)


def plant_of(turn: Turn, said: str) -> Spoken | str | Reply:
    """The plant a sentence is about; a command or a Reply where it is about none."""
    found = exact(turn, said)
    if found is not None:
        return found
    known = turn.names()
    moment = moment_in(turn, said)
    bare, when = (moment.rest, moment.said) if isinstance(moment, When) else (said, "")
    inside = anywhere(turn, bare, known) if known else None
    if inside is not None:
        return Spoken(inside.plant, _without_question(f"{inside.rest} {when}".strip()))
    meant = quoted.plant(turn) if bare.split() and quoted.unnamed(bare.split()) else None
    if meant is not None:
        return Spoken(meant, said)
    unnamed = _unnamed(turn, said, bare, known)
    if unnamed is not None:
        return unnamed
    loose = split_plant(turn, bare, lambda name, rest: f"/check {name} {rest}".strip())
    if isinstance(loose, Spoken):
        return Spoken(loose.plant, f"{loose.rest} {when}".strip())
    return loose if loose.buttons or not known else _lost(turn, bare, known)


def _unnamed(turn: Turn, said: str, bare: str, known: list[Named]) -> str | Reply | None:
    """A reading, an amount or a pot without a plant; None for anything else."""
    pot = read_pot(bare, turn.settings.units)
    sized = not isinstance(pot, Refusal) and not pot.unit_assumed
    if sized and not is_amount(turn, bare):
        return f"/dose {bare}"
    return _which_plant(turn, said, known) if _without_name(turn, bare) else None


def _lost(turn: Turn, bare: str, known: list[Named]) -> str | Reply:
    """A name nobody knows, where a reading or an amount follows it; else what works."""
    word, _, rest = bare.partition(" ")
    if tells(turn, rest) or UNWELL & set(rest.casefold().strip(PUNCTUATION).split()):
        return unknown(turn, word, known)
    rooms = {name_key(one.room) for one in known if one.room}
    room = _THE.sub("", bare).strip(PUNCTUATION)
    if name_key(room) in rooms:
        return f"/plants {room}"
    if _AIR.search(bare) and any(name_key(bare).startswith(f"{room} ") for room in rooms):
        return f"/room {_IS.sub(' ', bare)}"
    return _misspelt(turn, name_key(bare)) or answer(turn.words("common-lost"))


def _misspelt(turn: Turn, word: str) -> Reply | None:
    """A single word that looks much like a command is offered as that."""
    like = registry.near(word, _MUCH_LIKE) if word.isalpha() and len(word) > 3 else None
    if like is None:
        return None
    near = turn.words("common-unknown-command-near", said=word[:30], near=like)
    return answer(near, buttons=(Option(f"/{like}", f"/{like}"),))


def _without_question(rest: str) -> str:
    """`is ... ok?` asks for the page."""
    return "" if ABOUT.fullmatch(rest.strip(PUNCTUATION)) else rest


def _without_name(turn: Turn, text: str) -> bool:
    """Whether a line is nothing but a reading or an amount."""
    starts = text[:1].isdigit() or text[:1] in "+-¼½¾"
    return isinstance(read_found(text), Found) or (starts and is_amount(turn, text))


def _which_plant(turn: Turn, said: str, known: list[Named]) -> Reply:
    """A reading or an amount without a name."""
    if not known:
        return answer(turn.words("name-no-plants"))
    command = "gave" if is_amount(turn, said) else "check"
    return for_which(turn, said, known, lambda name, rest: f"/{command} {name} {rest}")
