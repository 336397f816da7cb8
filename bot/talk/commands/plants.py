"""/plants: the list, room by room. /plant: one plant's page, and what can be changed there."""

from __future__ import annotations

from collections.abc import Callable
from itertools import groupby

from bot.talk import portrayal, say
from bot.talk.commands import retell
from bot.talk.message import Option, Reply
from bot.talk.naming import split_plant
from bot.talk.turn import Turn, answer
from bot.talk.verdictwords import standing
from core.journal import plants
from core.journal.plants import Plant, name_key
from core.journal.portrait import portrait

# More names than this drown a phone; the rest is counted.
MOST_NAMES = 24
MOST_PER_ROOM = 8


def listing(turn: Turn, rest: str) -> Reply:
    """All plants by room, or one room with how each stands."""
    known = plants.living(turn.tx, turn.who.household_id)
    if not known:
        return answer(turn.words("name-no-plants"))
    if rest.casefold() in ("gone", "left", "retired"):
        return _gone(turn)
    if rest:
        return _room(turn, rest, known)
    rooms = [(room, list(group)) for room, group in groupby(known, key=lambda one: one.room)]
    few = len(known) <= MOST_NAMES
    lines = [turn.words("plants-count", n=len(known), rooms=len([r for r, _ in rooms if r]))]
    lines += [_room_line(turn, room, group, few=few) for room, group in rooms]
    if not few:
        lines.append(turn.words("plants-more", room=name_key(rooms[-1][0] or rooms[0][0])))
    return answer(*lines)


def _room_line(turn: Turn, room: str, group: list[Plant], *, few: bool) -> str:
    name = _capital(room) if room else turn.words("plants-no-room")
    if not few and len(group) > MOST_PER_ROOM:
        return turn.words("plants-room-count", room=name, n=len(group))
    return turn.words("plants-room", room=name, names=", ".join(one.name for one in group))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _room(turn: Turn, said: str, known: list[Plant]) -> Reply:
    key = name_key(said)
    rooms = {name_key(one.room): one.room for one in known if one.room}
    fitting = [room for room in rooms if room.startswith(key)] or [r for r in rooms if key in r]
    if not fitting:
        names = turn.words.both(sorted(_capital(room) for room in rooms.values())[:8])
        return answer(turn.words("plants-no-such-room", said=said[:30], rooms=names or "-"))
    here = [one for one in known if name_key(one.room) == fitting[0]]
    here.sort(key=lambda one: (one.probe_at is None, one.probe_at))
    lines = [turn.words("plants-room-head", room=_capital(rooms[fitting[0]]), n=len(here))]
    lines += [
        turn.words("plants-line", name=one.name, state=standing(turn, one))
        for one in here[:MOST_NAMES]
    ]
    if len(here) > MOST_NAMES:
        lines.append(turn.words("plants-cut", n=len(here) - MOST_NAMES))
    return answer(*lines)


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
        for one in gone[:MOST_NAMES]
    ]
    return answer(turn.words("plants-gone", n=len(gone)), *lines)


_CHANGES: dict[str, Callable[[Turn, Plant, str], Reply]] = {
    "rename": retell.rename,
    "name": retell.rename,
    "copy": retell.copy,
    "retire": retell.retire,
    "species": retell.species,
    "kind": retell.species,
    "pot": retell.pot,
    "mix": retell.mix,
    "soil": retell.mix,
    "hole": retell.hole,
    "outer": retell.outer,
    "reservoir": retell.reservoir,
    "wet": retell.wet,
    "dry": retell.dry,
    "resting": retell.resting,
    "awake": retell.awake,
}


def page(turn: Turn, rest: str) -> Reply:
    """One plant's page; or rename, copy, retire, species, pot, mix, hole and the like."""
    found = split_plant(turn, rest, lambda name, more: f"/plant {name} {more}".strip())
    if isinstance(found, Reply):
        return found
    word, _, more = found.rest.partition(" ")
    if not word:
        return _page(turn, found.plant)
    change = _CHANGES.get(word.casefold().strip(":"))
    if change is not None:
        return change(turn, found.plant, more.strip())
    if word.casefold() != "change":
        return answer(
            turn.words("plant-unknown-change", said=word[:20], name=found.plant.name),
            turn.words("plant-changes", call=found.plant.call),
        )
    return answer(
        turn.words("plant-change-head", name=found.plant.name),
        turn.words("plant-changes", call=found.plant.call),
    )


def _page(turn: Turn, plant: Plant) -> Reply:
    seen = portrait(plant.state, turn.home)
    lines = [
        f"{plant.name}: {portrayal.about(turn, plant.state, seen.species, seen.pot)}.",
        portrayal.wants(turn, seen.species),
        f"{_capital(standing(turn, plant))}.",
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
    amount = say.plain_litres(watered.litres) if watered.litres else "none"
    return turn.words(
        "plant-last-water",
        who=_capital(turn.name_of(watered.by)),
        when=say.ago(turn.words, watered.at, turn.now, turn.who.zone),
        amount=amount,
    )
