"""What other people do or did, in plain words: `Tom does the kitchen`, `Tom watered the fern`."""

from __future__ import annotations

import re

from bot.talk.message import Option, Reply
from bot.talk.naming import exact
from bot.talk.turn import Turn, answer
from core.actions import rounds
from core.journal.plants import name_key
from core.store import dialogues, people

_TAKES = re.compile(
    r"(?:(?P<who>(?!(?:i|it|he|she|they|we|who|what|that|this)\b)[^\W\d]+(?: [^\W\d]+)?)"
    r"(?: (?:does|takes|will do|will take)|['\u2019]ll (?:do|take))"
    r"|(?:i['\u2019]?ll |i will |will )?(?:do|take))"
    r" (?:the )?(?P<what>it|all|round|rest|everything|them|[^\W\d]+(?: room)?)[.!]*",
    re.IGNORECASE,
)
_ALL_OF_IT = frozenset({"it", "all", "round", "rest", "everything", "them"})
_DEED = re.compile(
    r"(?P<who>[^\W\d]+) (?:has |already )*(?:watered|poured|gave) (?P<what>.+)", re.IGNORECASE
)


def taken_over(turn: Turn, said: str) -> str | None:
    """`Tom does the kitchen`, `I do it`: who goes on the round, where such a person is here."""
    match = _TAKES.fullmatch(said)
    if match is None:
        return None
    all_of_it = match["what"].casefold() in _ALL_OF_IT
    if all_of_it and not dialogues.open_about(turn.tx, turn.who.household_id, rounds.SUBJECT):
        return None
    who = "me" if match["who"] is None else _known(turn, match["who"])
    return f"/round {who} {'' if all_of_it else match['what']}".rstrip() if who else None


def by_another(turn: Turn, said: str) -> Reply | None:
    """`Tom watered the fern`: it is kept as told by whoever speaks, if they say so."""
    match = _DEED.fullmatch(said)
    found = exact(turn, match["what"]) if match is not None else None
    who = _known(turn, match["who"]) if match is not None and found is not None else None
    if found is None or who is None:
        return None
    asked = turn.words("common-by-another", plant=found.plant.name, who=who)
    keep = Option(turn.words("common-keep-it"), f"/gave {found.plant.call} {found.rest}".strip())
    return answer(asked, buttons=(keep, Option(turn.words("add-never-mind"), "/cancel")))


def _known(turn: Turn, said: str) -> str | None:
    """The name of somebody who looks after the plants here, as they write it."""
    hands = people.hands(turn.tx, turn.who.household_id, turn.now).values()
    return next((one for one in hands if name_key(one) == name_key(said)), None)
