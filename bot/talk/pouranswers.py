"""What people say back during a pour, understood against what may be answered right now."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from bot.talk.grammar.quantities import Refusal, find_volume
from core.care.pourstate import Answer
from core.care.units import System
from core.journal.plants import name_key

# Words that name one answer, whatever is asked.
WORDS = {
    "poured": Answer.POURED,
    "gave": Answer.POURED,
    "given": Answer.POURED,
    "filled": Answer.POURED,
    "through": Answer.THROUGH,
    "straight": Answer.THROUGH,
    "stopped": Answer.STOPPED,
    "stop": Answer.STOPPED,
    "enough": Answer.STOPPED,
    "none": Answer.NONE,
    "nothing": Answer.NONE,
    "water": Answer.WATER,
    "sank": Answer.SANK,
    "sunk": Answer.SANK,
    "drunk": Answer.DRUNK,
    "heavy": Answer.HEAVY,
    "light": Answer.LIGHT,
    "dark": Answer.HEAVY,
    "emptied": Answer.EMPTIED,
    "tipped": Answer.EMPTIED,
    "drained": Answer.EMPTIED,
}
# Words whose meaning the question gives, best first.
NO = (Answer.NONE, Answer.STANDING, Answer.LIGHT, Answer.STANDS)
YES = (Answer.WATER, Answer.DRUNK, Answer.HEAVY, Answer.SANK, Answer.EMPTIED, Answer.POURED)
DONE = (Answer.POURED, Answer.EMPTIED)
DRY = (Answer.NONE, Answer.DRUNK)
BY_QUESTION = {
    **dict.fromkeys("no nope nah nein".split(), NO),
    **dict.fromkeys("yes yep yeah y sure".split(), YES),
    **dict.fromkeys("done did finished ready".split(), DONE),
    **dict.fromkeys("dry empty".split(), DRY),
    **dict.fromkeys("stands stood".split(), (Answer.STANDS, Answer.STANDING)),
    "standing": (Answer.STANDING, Answer.STANDS),
    "out": (Answer.EMPTIED, Answer.THROUGH),
    "bottom": (Answer.THROUGH, Answer.WATER),
    "full": (Answer.POURED, Answer.WATER),
}
NAYS = frozenset("no nope nah nein none nothing".split())
# `not sunk in` is no `sunk in`: what each answer means when it is denied. Others mean nothing then.
DENIALS = frozenset("not never isnt wasnt hasnt havent didnt doesnt arent dont".split())
DENIED = {
    Answer.WATER: Answer.NONE,
    Answer.SANK: Answer.STANDS,
    Answer.STANDS: Answer.SANK,
    Answer.DRUNK: Answer.STANDING,
    Answer.STANDING: Answer.DRUNK,
    Answer.HEAVY: Answer.LIGHT,
    Answer.LIGHT: Answer.HEAVY,
}
KNOWN = DENIALS | WORDS.keys() | BY_QUESTION.keys()
# Small words that change nothing.
FILLERS = frozenset(
    "a about after all at by early first half i in into is it its just of on once only still "
    "straightaway the then there top up was with ran run sink stopping saucer now yet got "
    "any there im ive away off portion much some taken put stand came down again".split()
)
_READING = re.compile(r"(?:(?:it )?reads? )?(\d{1,2}(?:[.,]\d)?)(?:/10)?")


@dataclass(frozen=True, slots=True)
class Heard:
    """An answer with the litres or the reading that came along; None: nothing is done so far."""

    said: Answer | None
    litres: float | None = None
    reading: float | None = None


def hear(text: str, choices: Iterable[Answer], units: System) -> Heard | Refusal | None:
    """The answer a text gives; None for words that are none, Refusal for an odd amount."""
    allowed = tuple(choices)
    plain = text.casefold().strip(" .!,")
    reading = _READING.fullmatch(plain)
    if reading is not None:
        value = float(reading[1].replace(",", "."))
        return Heard(Answer.READING, reading=value) if Answer.READING in allowed else None
    amount = find_volume(plain, units)
    if isinstance(amount, Refusal):
        return amount
    litres = amount.value.litres if amount else None
    words = name_key(amount.rest if amount else plain).split()
    if not words:
        poured = litres is not None and Answer.POURED in allowed
        return Heard(Answer.POURED, litres) if poured else None
    known = [word for word in words if word not in FILLERS]
    if not known or not KNOWN.issuperset(known):
        return None
    return _denied(known, allowed) or Heard(_meant(known, allowed), litres)


def is_answer(text: str) -> bool:
    """Whether a text is an answer to something, asked or not."""
    words = name_key(text).split()
    known = [word for word in words if word in KNOWN]
    return bool(known) and all(word in known or word in FILLERS for word in words)


def _denied(words: list[str], allowed: tuple[Answer, ...]) -> Heard | None:
    """`not sunk in` is the opposite of what it denies, `not poured` no answer at all.

    While somebody pours, nothing is asked that a bare "no" would answer.
    """
    said = [word for word in words if word not in DENIALS and word not in NAYS]
    if not DENIALS.isdisjoint(words):
        opposite = DENIED.get(_meant(said or ["yes"], allowed))
        return Heard(opposite if opposite in allowed else None)
    pours = Answer.POURED in allowed and (not said or _meant(said, allowed) is Answer.POURED)
    return Heard(None) if pours and not NAYS.isdisjoint(words) else None


def _meant(words: list[str], allowed: tuple[Answer, ...]) -> Answer:
    """The one answer all words agree on."""
    fitting = dict.fromkeys(_of(word, allowed) for word in words)
    meant = [one for one in fitting if one in allowed or one is Answer.STOPPED]
    return meant[0] if meant else next(iter(fitting))


def _of(word: str, allowed: tuple[Answer, ...]) -> Answer:
    if word in WORDS:
        return WORDS[word]
    options = BY_QUESTION[word]
    return next((one for one in options if one in allowed), options[0])
