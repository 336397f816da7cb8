"""What many commands share: a plant at the start of the text and a moment somewhere in it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from bot.talk.grammar.dates import When, take_when
from bot.talk.message import Reply
from bot.talk.naming import Spoken, split_plant
from bot.talk.turn import Turn, answer
from core.journal.plants import Plant


@dataclass(frozen=True, slots=True)
class Told:
    """A plant, when it happened (None: now), and what else was said."""

    plant: Plant
    at: datetime | None
    rest: str


def plant_and_time(turn: Turn, text: str, command: str) -> Told | Reply:
    """Take a command's text apart; a Reply asks for what is unclear."""
    moment = take_when(text, turn.now, turn.who.zone)
    if not isinstance(moment, When):
        return answer(turn.words.refusal(moment.key, moment.args))
    when = f" {text_of_moment(text, moment.rest)}".rstrip()
    found = split_plant(
        turn, moment.rest, lambda name, rest: f"/{command} {name} {rest}{when}".strip()
    )
    if not isinstance(found, Spoken):
        return found
    return Told(found.plant, moment.at or turn.happened_at, found.rest)


def text_of_moment(text: str, rest: str) -> str:
    """The words of a text that aren't in its rest: those that named the moment."""
    left = rest.split()
    named = []
    for word in text.split():
        if word.strip(",") in left:
            left.remove(word.strip(","))
        elif word in left:
            left.remove(word)
        else:
            named.append(word)
    return " ".join(named)
