"""`/story today`: what a household did on a day or in a week, plant by plant and by whom."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from itertools import groupby

from bot.talk import say
from bot.talk.entries import body_words
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.journal import ledger, plants
from core.journal.ledger import Entry

MOST_PLANTS = 5
# Of a plant the last ones; its own story has them all.
MOST_OF_ONE = 3


def of_days(turn: Turn, said: str, days: tuple[date, date], page: int) -> Reply:
    """So many plants at once, in the order in which they were first seen to."""
    first, last = (datetime.combine(one, time(), turn.who.zone) for one in days)
    entries = ledger.told_between(turn.tx, turn.who.household_id, first, last + timedelta(days=1))
    shown, when = _by_plant(entries), _when(turn, days)
    if not shown:
        return answer(turn.words("story-days-none", when=when))
    names = {turn.name_of(one.person_id) for one in entries}
    who = names.pop() if len(names) == 1 else ""
    here = shown[page * MOST_PLANTS :][:MOST_PLANTS]
    lines = [_line(turn, told, named=not who) for told in here]
    more = len(shown) - page * MOST_PLANTS - len(here)
    label = turn.words("story-days-more", n=more)
    buttons = (Option(label, f"/story {said} older {page + 1}"),) if more > 0 else ()
    return answer(turn.words("story-days", when=when, who=who or "none"), *lines, buttons=buttons)


def _by_plant(entries: Sequence[Entry]) -> list[list[Entry]]:
    found: dict[int | None, list[Entry]] = {}
    for entry in entries:
        found.setdefault(entry.plant_id, []).append(entry)
    return list(found.values())


def _when(turn: Turn, days: tuple[date, date]) -> str:
    first, last = (say.day(turn.words, one, turn.now, turn.who.zone) for one in days)
    when = first if first == last else turn.words("story-days-span", first=first, last=last)
    return when[:1].upper() + when[1:]


def _line(turn: Turn, told: list[Entry], *, named: bool) -> str:
    """`Fern: 3 and 4 (Ida); 400 ml given (Tom)`."""
    plant = told[0].plant_id
    name = plants.get(turn.tx, plant).name if plant is not None else turn.words("story-days-house")
    before, shown = len(told[:-MOST_OF_ONE]), told[-MOST_OF_ONE:]
    parts = [turn.words("story-days-before", n=before)] if before else []
    for who, group in groupby(shown, key=lambda one: turn.name_of(one.person_id)):
        what = ", ".join(body_words(turn, one.body) for one in group)
        parts.append(turn.words("story-days-by", what=what, who=who) if named else what)
    return turn.words("story-days-line", plant=name, what="; ".join(parts))
