"""/plants: the list, room by room. /plant: one plant's page, and what can be changed there."""

from __future__ import annotations

from collections.abc import Callable
from itertools import groupby
from typing import TypeVar

from bot.talk import portrayal, running, say
from bot.talk.commands import retell, retellkind, retellpot
from bot.talk.message import Option, Reply
from bot.talk.naming import split_plant
from bot.talk.turn import Turn, answer
from bot.talk.verdictwords import is_open, standing
from core.journal import plants
from core.journal.plants import Named, Plant, name_key
from core.journal.portrait import portrait

# More names than this drown a phone; the rest is counted.
MOST_NAMES = 24
MOST_PER_ROOM = 8
MOST_ROOMS = 10
MOST_LINES = 8

DUE = frozenset("due|today|now|thirsty|water|dry|to do|todo".split("|"))
GONE = frozenset({"gone", "left", "retired", "dead"})
ALL = frozenset({"all", "everything", "every"})

One = TypeVar("One", Plant, Named)


def listing(turn: Turn, rest: str) -> Reply:
    """All plants by room; one room, or those that are due, with how each stands."""
    said = rest.casefold().strip(" .!?")
    if said in GONE:
        return _gone(turn)
    if not said or said in ALL:
        return _rooms(turn, plants.names(turn.tx, turn.who.household_id))
    known = plants.living(turn.tx, turn.who.household_id)
    if not known:
        return answer(turn.words("name-no-plants"))
    rooms = _by_room(known)
    if _is_room(said, rooms):
        return _room(turn, said, rooms)
    return _due(turn, known) if said in DUE else _no_room(turn, rest, rooms)


def _by_room(known: list[One]) -> list[tuple[str, list[One]]]:
    """Rooms as they were first written, those without one last."""
    ordered = sorted(known, key=lambda one: (not one.room, name_key(one.room), one.id))
    grouped = groupby(ordered, key=lambda one: name_key(one.room))
    groups = [list(group) for _, group in grouped]
    return [(group[0].room, group) for group in groups]


def _rooms(turn: Turn, known: list[Named]) -> Reply:
    if not known:
        return answer(turn.words("name-no-plants"))
    rooms = _by_room(known)
    few = len(known) <= MOST_NAMES
    named = [room for room, _ in rooms if room]
    lines = [turn.words("plants-count", n=len(known), rooms=len(named))]
    lines += [_room_line(turn, room, group, few=few) for room, group in rooms[:MOST_ROOMS]]
    if len(rooms) > MOST_ROOMS:
        lines.append(turn.words("plants-more-rooms", n=len(rooms) - MOST_ROOMS))
    if not few and named:
        lines.append(turn.words("plants-more", room=name_key(named[0])))
    return answer(*lines)


def _room_line(turn: Turn, room: str, group: list[Named], *, few: bool) -> str:
    name = _capital(room) if room else turn.words("plants-no-room")
    if not few and len(group) > MOST_PER_ROOM:
        return turn.words("plants-room-count", room=name, n=len(group))
    return turn.words("plants-room", room=name, names=", ".join(one.name for one in group))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _fitting(said: str, rooms: list[tuple[str, list[Plant]]]) -> list[tuple[str, list[Plant]]]:
    key = name_key(said)
    if not key:
        return []
    begins = [one for one in rooms if name_key(one[0]).startswith(key)]
    return begins or [one for one in rooms if key in name_key(one[0])]


def _is_room(said: str, rooms: list[tuple[str, list[Plant]]]) -> bool:
    return bool(_fitting(said, rooms))


def _no_room(turn: Turn, said: str, rooms: list[tuple[str, list[Plant]]]) -> Reply:
    names = turn.words.both([_capital(room) for room, _ in rooms if room][:MOST_PER_ROOM])
    return answer(turn.words("plants-no-such-room", said=said[:30], rooms=names or "none"))


def _room(turn: Turn, said: str, rooms: list[tuple[str, list[Plant]]]) -> Reply:
    room, here = _fitting(said, rooms)[0]
    here = sorted(here, key=_urgency(turn))
    lines = [turn.words("plants-room-head", room=_capital(room), n=len(here))]
    return answer(*lines, *_standings(turn, here, MOST_NAMES))


def _urgency(turn: Turn) -> Callable[[Plant], tuple[bool, bool, float]]:
    """Open verdicts first, then the nearest probe."""

    def key(plant: Plant) -> tuple[bool, bool, float]:
        at = plant.probe_at
        return not is_open(plant), at is None, (at or turn.now).timestamp()

    return key


def _standings(turn: Turn, here: list[Plant], most: int) -> list[str]:
    lines = [
        turn.words("plants-line", name=one.name, state=standing(turn, one)) for one in here[:most]
    ]
    return [*lines, turn.words("plants-cut", n=len(here) - most)] if len(here) > most else lines


def _due(turn: Turn, known: list[Plant]) -> Reply:
    """What wants something now: verdicts that stand open, and probes that are due."""
    today = turn.now.astimezone(turn.who.zone).date()
    due = [
        one
        for one in known
        if is_open(one)
        or (one.probe_at is not None and one.probe_at.astimezone(turn.who.zone).date() <= today)
    ]
    due.sort(key=_urgency(turn))
    if not due:
        return answer(turn.words("plants-none-due"), _soonest(turn, known))
    head = turn.words("plants-due", n=len(due))
    return answer(head, *_standings(turn, due, MOST_LINES))


def _soonest(turn: Turn, known: list[Plant]) -> str:
    first = min(known, key=_urgency(turn))
    return turn.words("plants-soonest", name=first.name, state=standing(turn, first))


def _gone(turn: Turn) -> Reply:
    gone = [
        one for one in plants.departed(turn.tx, turn.who.household_id) if one.state.left_because
    ]
    if not gone:
        return answer(turn.words("plants-none-gone"))
    lines = [
        turn.words(
            f"plants-gone-{one.state.left_because}",
            name=one.name,
            when=say.day(turn.words, one.left_at or turn.now, turn.now, turn.who.zone),
        )
        for one in gone[:MOST_LINES]
    ]
    if len(gone) > MOST_LINES:
        lines.append(turn.words("plants-cut", n=len(gone) - MOST_LINES))
    return answer(turn.words("plants-gone", n=len(gone)), *lines)


# --- one plant ----------------------------------------------------------------------------

_CHANGES: dict[str, Callable[[Turn, Plant, str], Reply]] = {
    "rename": retell.rename,
    "name": retell.rename,
    "copy": retell.copy,
    "retire": retell.retire,
    "species": retellkind.species,
    "kind": retellkind.species,
    "pot": retellpot.pot,
    "mix": retellkind.mix,
    "soil": retellkind.mix,
    "hole": retellpot.hole,
    "outer": retellpot.outer,
    "reservoir": retellpot.reservoir,
    "wet": retellpot.wet,
    "dry": retellpot.dry,
    "resting": retell.resting,
    "awake": retell.awake,
    "terrarium": retell.terrarium,
}


# Commands of their own that are looked for on a plant's page.
_COMMANDS = frozenset(
    "check chart dose drained feed gave later photo pour repot rinse scout skip spot story turn "
    "why wipe".split()
)


def page(turn: Turn, rest: str) -> Reply:
    """One plant's page; or rename, copy, retire, species, pot, mix, hole and the like."""
    found = split_plant(turn, rest, lambda name, more: f"/plant {name} {more}".strip())
    if isinstance(found, Reply):
        return found
    plant = found.plant
    word, _, more = found.rest.partition(" ")
    if not word.strip(" ?.!"):
        return _page(turn, plant)
    change = _CHANGES.get(word.casefold().strip(":"))
    if change is not None:
        return change(turn, plant, more.strip(" ,"))
    if word.casefold() in _COMMANDS:
        return running.run(turn, f"/{word.casefold()} {plant.call} {more}".strip())
    head = turn.words("plant-change-head", name=plant.name)
    if word.casefold() != "change":
        head = turn.words("plant-unknown-change", said=word[:20], name=plant.name)
    return answer(head, turn.words("plant-changes", call=plant.call))


def _page(turn: Turn, plant: Plant) -> Reply:
    seen = portrait(plant.state, turn.home)
    about = portrayal.about(turn, plant.state, seen.species, seen.pot)
    lines = [
        turn.words("plant-stands", name=plant.name, state=standing(turn, plant)),
        _capital(f"{about}."),
        portrayal.wants(turn, seen.species, plant.call),
        _last(turn, plant),
    ]
    buttons = (
        Option(turn.words("add-probe-now"), f"/check {plant.call}"),
        Option(turn.words("plant-button-dose"), f"/dose {plant.call}"),
        Option(turn.words("plant-button-story"), f"/story {plant.call}"),
        Option(turn.words("add-change"), f"/plant {plant.call} change"),
    )
    return answer(*lines, buttons=buttons)


def _last(turn: Turn, plant: Plant) -> str:
    watered = plant.state.watered
    if watered is None:
        return ""
    units = turn.settings.units
    amount = say.short(turn.words, watered.litres, units) if watered.litres else "none"
    return turn.words(
        "plant-last-water",
        who=_capital(turn.name_of(watered.by)),
        when=say.ago(turn.words, watered.at, turn.now, turn.who.zone),
        amount=amount,
    )
