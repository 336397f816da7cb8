"""Plain sentences: `fern 3`, `fern is dry`, `gave the fern 400 ml`, `turned fig`, `help`."""

from __future__ import annotations

import re

from bot.talk import registry
from bot.talk.grammar.dates import When, take_when
from bot.talk.grammar.readings import read_found
from bot.talk.message import Reply
from bot.talk.naming import Spoken, split_plant
from bot.talk.turn import Turn, answer
from core.care.reading import Found

VERBS = {
    "gave": "gave",
    "give": "gave",
    "given": "gave",
    "watered": "gave",
    "poured": "gave",
    "water": "pour",
    "pour": "pour",
    "checked": "check",
    "check": "check",
    "probed": "check",
    "probe": "check",
    "turned": "turn",
    "turn": "turn",
    "wiped": "wipe",
    "wipe": "wipe",
    "dusted": "wipe",
    "fed": "feed",
    "feed": "feed",
    "scouted": "scout",
    "scout": "scout",
    "inspected": "scout",
    "repotted": "repot",
    "repot": "repot",
    "moved": "spot",
    "move": "spot",
    "emptied": "drained",
    "drained": "drained",
    "add": "add",
}
ALONE = {
    "help": "help",
    "hello": "start",
    "hi": "start",
    "undo": "undo",
    "plants": "plants",
    "list": "plants",
    "cancel": "cancel",
    "settings": "settings",
}
_POLITE = re.compile(r"^(?:i|we|i've|i have|we've|we have|please|just|have)\s+", re.IGNORECASE)
_HOW_MUCH = re.compile(
    r"^how much (?:water )?(?:does|for|to)?\s*(.+?)(?:\s+(?:need|want|get))?\??$", re.IGNORECASE
)
_WHY = re.compile(r"^why\s+(.+?)\??$", re.IGNORECASE)


def sentence(turn: Turn, text: str) -> Reply:
    """Do what a sentence says, or tell what would be understood."""
    said = text.strip()
    while _POLITE.match(said):
        said = _POLITE.sub("", said, count=1)
    alone = ALONE.get(said.casefold().strip(" .!?"))
    if alone:
        return registry.run(turn, f"/{alone}")
    for pattern, command in ((_HOW_MUCH, "dose"), (_WHY, "why")):
        asked = pattern.match(said)
        if asked:
            return registry.run(turn, f"/{command} {asked[1]}")
    first, _, rest = said.partition(" ")
    verb = VERBS.get(first.casefold().strip(":,"))
    if verb and rest:
        return registry.run(turn, f"/{verb} {rest}")
    return _about_a_plant(turn, said)


def _about_a_plant(turn: Turn, said: str) -> Reply:
    """A line that starts with a plant's name is a probe of it, or a question for its page."""
    moment = take_when(said.split("\n", maxsplit=1)[0], turn.now, turn.who.zone)
    bare = moment.rest if isinstance(moment, When) else said
    found = split_plant(turn, bare, lambda name, rest: f"/check {name} {rest}".strip())
    if isinstance(found, Reply):
        return found if found.buttons else _lost(turn)
    if not found.rest.strip(" ?.!"):
        return registry.run(turn, f"/plant {found.plant.call}")
    return _after_name(turn, said, found)


def _after_name(turn: Turn, said: str, found: Spoken) -> Reply:
    verb = found.rest.split()[0].casefold()
    if verb in VERBS and VERBS[verb] != "check":
        rest = " ".join(found.rest.split()[1:])
        return registry.run(turn, f"/{VERBS[verb]} {found.plant.call} {rest}".strip())
    readings = read_found(found.rest.split(",")[0])
    if isinstance(readings, Found) or _mentions_reading(found.rest):
        return registry.run(turn, f"/check {said}")
    return answer(turn.words("common-after-name", plant=found.plant.name, call=found.plant.call))


def _mentions_reading(rest: str) -> bool:
    return bool(re.search(r"\d", rest))


def _lost(turn: Turn) -> Reply:
    return answer(turn.words("common-lost"))
