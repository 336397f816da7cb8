"""/story: what happened to a plant, and who did it; on a day, to all of them."""

from __future__ import annotations

import re
from itertools import groupby

from bot.talk import say
from bot.talk.commands.storydays import days_of
from bot.talk.entries import body_words
from bot.talk.message import Option, Reply
from bot.talk.naming import exact, whole_plant
from bot.talk.turn import Turn, answer
from core.journal import ledger, plants
from core.journal.ledger import Entry
from core.journal.plants import Plant, name_key

MOST_ENTRIES = 12
_OLDER = re.compile(r"^(?P<name>.*?)\s*\b(?:older|before|more)(?:\s+(?P<page>\d{1,3}))?$")


def story(turn: Turn, rest: str) -> Reply:
    """The entries of a plant, newest first, with who told them; of one that left, too."""
    name, page = _page(turn, rest)
    days = days_of(turn, name, page) if exact(turn, name) is None else None
    if days is not None:
        return days
    plant = _departed(turn, name) or whole_plant(turn, name, lambda call: f"/story {call}")
    if isinstance(plant, Reply):
        return plant
    skipped = page * MOST_ENTRIES
    entries = ledger.latest_of_plant(turn.tx, plant.id, skipped + MOST_ENTRIES + 1)[skipped:]
    if not entries:
        return answer(turn.words("story-no-older", plant=plant.name))
    shown = entries[:MOST_ENTRIES]
    lines = [
        _line(turn, when, who, list(group))
        for (when, who), group in groupby(shown, key=lambda one: _when_and_who(turn, one))
    ]
    older: tuple[Option, ...] = ()
    if len(entries) > MOST_ENTRIES:
        label = turn.words("story-older")
        older = (Option(label, f"/story {plant.call} older {page + 1}"),)
    return answer(turn.words("story-head", plant=plant.name), *lines, buttons=older)


def _page(turn: Turn, rest: str) -> tuple[str, int]:
    """The name and how many pages back; a plant may be called Older."""
    match = _OLDER.match(rest.strip())
    if match is None or not match["name"] or not _whole(turn, rest):
        return rest, 0
    return match["name"], int(match["page"] or 1)


def _whole(turn: Turn, rest: str) -> bool:
    spoken = exact(turn, rest)
    return spoken is None or bool(spoken.rest)


def _departed(turn: Turn, name: str) -> Plant | None:
    """A plant that left, by its whole name, where no living one answers to it."""
    if exact(turn, name) is not None:
        return None
    key = name_key(name)
    gone = plants.departed(turn.tx, turn.who.household_id)
    return next((one for one in gone if one.call == key and one.state.left_because), None)


def _when_and_who(turn: Turn, entry: Entry) -> tuple[str, str]:
    when = say.day(turn.words, entry.happened_at, turn.now, turn.who.zone)
    return when, turn.name_of(entry.person_id)


def _line(turn: Turn, when: str, who: str, entries: list[Entry]) -> str:
    what = "; ".join(body_words(turn, entry.body) for entry in entries)
    return turn.words("story-line", when=when[:1].upper() + when[1:], who=who, what=what)
