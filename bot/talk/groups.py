"""Several plants in a word: everything, or all in a room."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.talk.naming import ARTICLES, exact
from bot.talk.turn import Turn
from core.journal.plants import Named, name_key

_EVERYTHING = re.compile(
    r"(?:everything|everyone|everybody|them all|every plant|the lot"
    r"|all(?: of)?(?: them| the plants| plants| my plants)?)\b[\s,.!]*(?P<rest>.*)",
    re.IGNORECASE,
)
_IN_IT = re.compile(r"^[:,]?\s*(?:plants\b)?[\s,:]*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Group:
    """Plants that were named in a word, the word (a room's name, or `everything`), the rest."""

    plants: list[Named]
    called: str
    rest: str
    room: str = "none"


def read_group(turn: Turn, text: str) -> Group | None:
    """The plants a text begins with where it names a room or all, and no plant is called so."""
    words = text.split()
    if len(words) > 1 and words[0].casefold() in ARTICLES:
        words = words[1:]
    bare = " ".join(words)
    if not bare or exact(turn, text) is not None:
        return None
    match = _EVERYTHING.fullmatch(bare)
    if match is not None:
        return Group(turn.names(), "everything", match["rest"].strip())
    return _room(turn, words)


def _room(turn: Turn, words: list[str]) -> Group | None:
    """`kitchen`, `living room plants yesterday`."""
    rooms: dict[str, list[Named]] = {}
    for one in turn.names():
        rooms.setdefault(name_key(one.room), []).append(one)
    rooms.pop("", None)
    for end in range(len(words), 0, -1):
        key = name_key(" ".join(words[:end]).rstrip(":,.!"))
        if key in rooms:
            rest = _IN_IT.sub("", " ".join(words[end:]))
            return Group(rooms[key], key, rest, rooms[key][0].room)
    return None
