"""/looked: what was found at a pot that dries unlike itself."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType

from bot.talk.answers import ANY
from bot.talk.commands.told import Told, plant_and_time
from bot.talk.message import Option, Reply
from bot.talk.naming import anywhere, exact, for_which
from bot.talk.quoted import plant
from bot.talk.turn import Turn, answer
from core.actions import upkeep
from core.journal.plants import Plant

# Told of no plant: `roots fine`.
_ROOTS = re.compile(r"(?:at )?(?:the |its )?(?:roots?|soft|mushy|rotten|fine)\b", re.IGNORECASE)
# The first that fits counts; worse news before better.
_FOUND = (
    ("soft", re.compile(r"\b(soft|rot\w*|mush\w*|smell\w*|sour|brown)\b")),
    ("full", re.compile(r"\b(full|pot[- ]?bound|root[- ]?bound|crowded|tight)\b")),
    ("moved", re.compile(r"\b(moved?|moving|elsewhere|darker|brighter)\b")),
    ("fine", re.compile(r"\b(fine|ok|okay|good|well|nothing|healthy|clean|firm)\b")),
)


def looked(turn: Turn, rest: str) -> Reply:
    """Keep what was found and say what follows."""
    if _ROOTS.match(rest) and _is_of_none(turn, rest):
        return _of_which(turn, rest)
    told = plant_and_time(turn, rest, "looked")
    if isinstance(told, Reply):
        return told
    found = _finding(told.rest)
    return _how(turn, told.plant) if found is None else _kept(turn, told, found)


def _finding(said: str) -> str | None:
    return next((one for one, words in _FOUND if words.search(said.casefold())), None)


def _is_of_none(turn: Turn, said: str) -> bool:
    """Whether a text names no plant and replies to none."""
    return all(found is None for found in (exact(turn, said), anywhere(turn, said), plant(turn)))


def _of_which(turn: Turn, said: str) -> Reply:
    """What was found is told, but of no plant: which is it?"""
    known = turn.names()
    if not known:
        return answer(turn.words("name-no-plants"))
    found = _finding(said) or ""
    return for_which(turn, said, known, lambda name, _rest: f"/looked {name} {found}".strip())


def _how(turn: Turn, plant: Plant) -> Reply:
    buttons = tuple(
        Option(turn.words(f"notice-{found}"), f"/looked {plant.call}: {found}")
        for found in ("moved", "fine", "soft", "full")
    )
    return answer(turn.words("looked-how", plant=plant.name, call=plant.call), buttons=buttons)


def _kept(turn: Turn, told: Told, found: str) -> Reply:
    plant = upkeep.looked(turn.tx, turn.teller, turn.home, told.plant, found, told.at)
    head = turn.words(f"looked-{found}", plant=plant.name)
    after = _AFTER.get(found)
    return answer(head) if after is None else after(turn, plant, head)


def _moved(turn: Turn, plant: Plant, head: str) -> Reply:
    where = Option(ANY, f"/spot {plant.call} {{text}}")
    never = Option(turn.words("add-never-mind"), "/cancel")
    return answer(head, turn.words("looked-where"), buttons=(never, where))


def _soft(turn: Turn, plant: Plant, head: str) -> Reply:
    how = turn.words("looked-soft-how")
    return answer(head, how, turn.words("looked-soft-then", call=plant.call))


def _full(turn: Turn, plant: Plant, head: str) -> Reply:
    return answer(head, turn.words("looked-full-how", call=plant.call))


_AFTER: Mapping[str, Callable[[Turn, Plant, str], Reply]] = MappingProxyType(
    {"moved": _moved, "soft": _soft, "full": _full}
)
