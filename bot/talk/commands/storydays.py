"""`/story today`, `/story this week by tom`: what was done in some days, plant by plant."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from itertools import groupby

from bot.talk import say
from bot.talk.entries import body_words
from bot.talk.grammar.pastdays import read_days
from bot.talk.grammar.refusal import Unclear
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.journal import ledger, plants
from core.journal.ledger import Entry
from core.journal.plants import name_key
from core.store import people

MOST_PLANTS = 5
# Of a plant the last ones; its own story has them all.
MOST_OF_ONE = 3
MOST_NAMES = 4
_BY = re.compile(r"(?:(?P<days>.+?) )?by (?P<who>.+)", re.IGNORECASE)
LATELY = "this week"


def days_of(turn: Turn, said: str, page: int) -> Reply | None:
    """What was done in the days that a text names, and by whom if it says so; None: no days."""
    told = _BY.fullmatch(said)
    named = (told["days"] or LATELY) if told else said
    days = read_days(named, turn.now, turn.who.zone)
    if days is None:
        return None
    if isinstance(days, Unclear):
        return answer(turn.words.refusal(days.key, days.args))
    person = _person(turn, named, told["who"]) if told else None
    return person if isinstance(person, Reply) else _of_days(turn, said, days, page, person)


def _person(turn: Turn, days: str, said: str) -> int | Reply:
    """Somebody who belongs to the household or once did; not who had themselves forgotten."""
    everybody = people.names(turn.tx, turn.who.household_id)
    known = {one: name for one, name in everybody.items() if name}
    key = name_key(said)
    if key in {"me", "i"}:
        return turn.who.person_id
    found = [one for one, name in known.items() if name_key(name) == key]
    found = found or [one for one, name in known.items() if name_key(name).startswith(key)]
    if len(found) == 1:
        return found[0]
    names = [known[one] for one in found or known]
    buttons = tuple(Option(one, f"/story {days} by {one}") for one in names[:MOST_NAMES])
    return answer(turn.words("story-days-whose", names=turn.words.both(names)), buttons=buttons)


def _of_days(
    turn: Turn, said: str, days: tuple[date, date], page: int, person: int | None
) -> Reply:
    """So many plants at once, in the order in which they were first seen to."""
    first, last = (datetime.combine(one, time(), turn.who.zone) for one in days)
    entries = ledger.told_between(turn.tx, turn.who.household_id, first, last + timedelta(days=1))
    entries = [one for one in entries if person in {None, one.person_id}]
    shown, when = _by_plant(entries), _when(turn, days)
    if not shown:
        by = "none" if person is None else turn.name_of(person)
        return answer(turn.words("story-days-none", when=when, by=by))
    page = min(page, (len(shown) - 1) // MOST_PLANTS)
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
