"""/handover: a page for whoever looks after the plants next; one room of it plant by plant."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from bot.talk import others, portrayal, roundwords, say
from bot.talk.grammar.ahead import read_span
from bot.talk.grammar.refusal import Unclear
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from bot.talk.verdictwords import is_open, standing
from core.actions import handing
from core.actions.handing import Handing, Sitting
from core.actions.roundplan import SURE_CYCLES
from core.care.wallclock import day_of
from core.journal import plants
from core.journal.plants import Plant, name_key
from core.journal.portrait import portrait
from core.knowledge.library import UNKNOWN_ID
from core.knowledge.types import WaterNeed
from core.store import people

MOST_ROOMS = 6
MOST_IN_ROOM = 4
MOST_PLANTS = 8
MOST_OPEN = 3
MOST_DEEDS = 3
MOST_NAMES = 6
MOST_CHOICES = 4


@dataclass(frozen=True, slots=True)
class Asked:
    """From which day to which, for whom (a sitter's name, or none), in which room (or all)."""

    first: date
    last: date
    whom: str = ""
    room: str = ""


def handover(turn: Turn, rest: str) -> Reply:
    """What is open, due and poisonous, room by room, for some days or a sitter's time."""
    asked = _asked(turn, rest.strip(" .!?"))
    if isinstance(asked, Reply):
        return asked
    who = turn.who
    found = handing.hand_over(turn.tx, who.household_id, asked.last, who.zone, turn.settings.rooms)
    if not found.plants:
        return answer(turn.words("name-no-plants"))
    return _room(turn, found, asked) if asked.room else _whole(turn, found, asked)


# --- what was asked for -------------------------------------------------------------------


def _asked(turn: Turn, said: str) -> Asked | Reply:
    """Dates, a sitter, a room, or nothing, which is the nearest sitter's time or a week."""
    sitting = handing.sittings(turn.tx, turn.who.household_id, turn.now, turn.who.zone)
    if not said:
        return _usual(turn, sitting)
    span = read_span(said, turn.now, turn.who.zone)
    if isinstance(span, Unclear):
        return answer(turn.words.refusal(span.key, span.args))
    if span is not None:
        return Asked(*span)
    bare = said.removeprefix("to ").removeprefix("for ")
    whom = _to_somebody(turn, bare, sitting)
    if whom is not None:
        return whom
    key, rooms = name_key(bare), _rooms(turn)
    fitting = [room for one, room in rooms.items() if key and one.startswith(key)]
    room = rooms.get(key) or (fitting[0] if len(fitting) == 1 else "")
    if not room:
        names = turn.words.both(list(rooms.values())[:MOST_NAMES]) if rooms else "none"
        return answer(turn.words("handover-how", said=said[:30], rooms=names))
    usual = _usual(turn, sitting)
    return Asked(usual.first, usual.last, usual.whom, room)


def _to_somebody(turn: Turn, said: str, sitting: Sequence[Sitting]) -> Asked | None:
    """A sitter by name, for their time; anybody of the household, for a week or for some days."""
    known = people.hands(turn.tx, turn.who.household_id, turn.now).values()
    names = {name_key(name): name for name in (*known, *(one.name for one in sitting))}
    words = said.split()
    for end in range(len(words), 0, -1):
        key = name_key(" ".join(words[:end]))
        if key in names:
            return _for(turn, names[key], " ".join(words[end:]), sitting)
    return None


def _for(turn: Turn, name: str, days: str, sitting: Sequence[Sitting]) -> Asked | None:
    today = day_of(turn.now, turn.who.zone)
    if not days:
        own = [one for one in sitting if one.name == name]
        return _of_sitter(turn, own[0]) if own else Asked(today, today + handing.USUAL, name)
    span = read_span(days, turn.now, turn.who.zone)
    if isinstance(span, tuple):
        return Asked(*span, name)
    begin = read_span(days.removeprefix("from "), turn.now, turn.who.zone)
    return Asked(begin[0], begin[0] + handing.USUAL, name) if isinstance(begin, tuple) else None


def _usual(turn: Turn, sitting: Sequence[Sitting]) -> Asked:
    if sitting:
        return _of_sitter(turn, sitting[0])
    today = day_of(turn.now, turn.who.zone)
    return Asked(today, today + handing.USUAL)


def _of_sitter(turn: Turn, one: Sitting) -> Asked:
    return Asked(max(one.first, day_of(turn.now, turn.who.zone)), one.last, one.name)


def _rooms(turn: Turn) -> dict[str, str]:
    known = plants.names(turn.tx, turn.who.household_id)
    found: dict[str, str] = {}
    for one in known:
        if one.room:
            found.setdefault(name_key(one.room), one.room)
    return found


# --- the whole page -----------------------------------------------------------------------


def _whole(turn: Turn, found: Handing, asked: Asked) -> Reply:
    due = [one for one in found.plants if one.id in found.due]
    rooms = [(room, list(group)) for room, group in groupby(due, key=lambda one: one.room)]
    guessed = [_is_rough(one) for one in due if _is_guessed(turn, one)]
    once = len(guessed) > 1 and all(guessed)
    lines = [
        turn.words("handover-head", whom=asked.whom or "none", **_days(turn, asked),
                   n=len(found.plants), due=len(due)),
        _open(turn, found),
        *(_room_line(turn, room, group, rough=not once) for room, group in rooms[:MOST_ROOMS]),
        _more_rooms(turn, len(rooms) - MOST_ROOMS),
        turn.words("round-all-rough") if once else "",
        _deeds(turn, found),
        *portrayal.dangers(turn, found.plants),
        turn.words("handover-no-promise"),
        turn.words("handover-rule"),
    ]  # fmt: skip
    return answer(*lines, buttons=_choices(found, rooms))


def _days(turn: Turn, asked: Asked) -> dict[str, str]:
    first, last = (say.day(turn.words, one, turn.now, turn.who.zone) for one in
                   (asked.first, asked.last))  # fmt: skip
    return {"first": first, "last": last}


def _open(turn: Turn, found: Handing) -> str:
    """Pours under way, verdicts nobody acted on, what stands elsewhere for the cold."""
    said = [_pour(turn, one.plant_id or 0) for one in found.pours]
    poured = {one.plant_id for one in found.pours}
    wanting = [one.name for one in found.plants if is_open(one) and one.id not in poured]
    if wanting:
        names = say.some(turn.words, wanting, MOST_NAMES)
        said.append(turn.words("handover-wanting", names=names, n=len(wanting)))
    if found.moved:
        names = say.some(turn.words, [one.name for one in found.moved], MOST_NAMES)
        said.append(turn.words("handover-moved", names=names, n=len(found.moved)))
    shown = [one for one in said if one]
    return turn.words("handover-open", what="; ".join(shown)) if shown else ""


def _pour(turn: Turn, plant_id: int) -> str:
    plant = plants.get(turn.tx, plant_id)
    talk = others.open_now(turn, plant)
    if talk is None:
        return turn.words("handover-saucer", plant=plant.name)
    who = turn.name_of(talk.person_id)
    key = "handover-pouring-you" if turn.is_you(talk.person_id) else "handover-pouring"
    return turn.words(key, who=who, plant=plant.name)


def _room_line(turn: Turn, room: str, group: Sequence[Plant], *, rough: bool) -> str:
    """One room's plants; `rough`: it is said of each date that is so."""
    shown = [
        turn.words("handover-stop", name=one.name, when=_when(turn, one, rough=rough))
        for one in group[:MOST_IN_ROOM]
    ]
    name, stops = roundwords.capital(room) or turn.words("round-no-room"), ", ".join(shown)
    if len(group) > MOST_IN_ROOM:
        stops = f"{stops} {turn.words('common-and-more', n=len(group) - MOST_IN_ROOM)}"
    return turn.words("round-room", room=name, stops=stops)


def _is_rough(plant: Plant) -> bool:
    return len(plant.state.drydowns_d) < SURE_CYCLES


def _is_guessed(turn: Turn, plant: Plant) -> bool:
    """Whether its date comes from how the pot dries: it is neither open nor due."""
    window = plant.state.probe
    return not is_open(plant) and window is not None and window.expected > turn.now


def _when(turn: Turn, plant: Plant, *, rough: bool) -> str:
    """When to probe a plant, as a range where it is one; never when to water."""
    window, zone = plant.state.probe, turn.who.zone
    if is_open(plant) or window is None:
        return standing(turn, plant)
    if window.expected <= turn.now:
        return turn.words("handover-due")
    day = say.day(turn.words, window.expected, turn.now, zone)
    if _is_rough(plant):
        return turn.words("handover-rough", day=day) if rough else day
    first = say.day(turn.words, max(window.earliest, turn.now), turn.now, zone)
    last = say.day(turn.words, window.last, turn.now, zone)
    if first == last:
        return day
    return turn.words("handover-between", day=day, first=first, last=last)


def _more_rooms(turn: Turn, more: int) -> str:
    return turn.words("round-more-rooms", n=more) if more > 0 else ""


def _deeds(turn: Turn, found: Handing) -> str:
    said = []
    for deed in handing.last_deeds(found.plants, MOST_DEEDS):
        key = "handover-watered" if deed.watered else "handover-probed"
        when = say.on_day(turn.words, deed.at, turn.now, turn.who.zone)
        said.append(turn.words(key, who=turn.name_of(deed.by), plant=deed.plant.name, when=when))
    return turn.words("handover-last", deeds="; ".join(said)) if said else ""


def _choices(found: Handing, rooms: Sequence[tuple[str, list[Plant]]]) -> tuple[Option, ...]:
    """One room each, those with something due first."""
    names = [room for room, _ in rooms if room]
    names += [one.room for one in found.plants if one.room]
    once = list(dict.fromkeys(names))[:MOST_CHOICES]
    return tuple(
        Option(roundwords.capital(room)[:40], f"/handover {name_key(room)}") for room in once
    )


# --- one room -----------------------------------------------------------------------------


def _room(turn: Turn, found: Handing, asked: Asked) -> Reply:
    key = name_key(asked.room)
    here = [one for one in found.plants if name_key(one.room) == key]
    room = roundwords.capital(asked.room)
    lines = [
        turn.words("handover-room", room=room, n=len(here)),
        *(_one(turn, one) for one in here[:MOST_PLANTS]),
    ]
    if len(here) > MOST_PLANTS:
        lines.append(turn.words("handover-room-more", n=len(here) - MOST_PLANTS, room=key))
    return answer(*lines, turn.words("handover-rule"))


def _one(turn: Turn, plant: Plant) -> str:
    """A plant in a paragraph: how it stands, what it wants, who was there last, cautions."""
    seen = portrait(plant.state, turn.home)
    deeds = handing.last_deeds([plant], 1)
    last = ""
    if deeds:
        key = "handover-watered" if deeds[0].watered else "handover-probed"
        when = say.on_day(turn.words, deeds[0].at, turn.now, turn.who.zone)
        who = turn.name_of(deeds[0].by)
        last = turn.words("handover-sentence", text=roundwords.capital(
            turn.words(key, who=who, plant=plant.name, when=when)))  # fmt: skip
    parts = [
        turn.words("plant-stands", name=plant.name, state=standing(turn, plant)),
        last,
        *(caution(turn) for applies, caution in _CAUTIONS if applies(plant, turn)),
        portrayal.danger(turn, seen.species),
    ]
    wants = portrayal.wants(turn, seen.species, plant.call)
    # What would help to know it ends in a command, and so ends the paragraph.
    parts.insert(len(parts) if seen.species.id == UNKNOWN_ID else 1, wants)
    return " ".join(part for part in parts if part)


_CAUTIONS: tuple[tuple[Callable[[Plant, Turn], bool], Callable[[Turn], str]], ...] = (
    (
        lambda plant, turn: not portrait(plant.state, turn.home).pot.hole,
        lambda turn: turn.words("handover-no-hole"),
    ),
    (
        lambda plant, turn: portrait(plant.state, turn.home).species.water is WaterNeed.RAIN,
        lambda turn: turn.words("handover-rain"),
    ),
)
