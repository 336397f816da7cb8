"""A round in words: short for a small household, counted and cut for a large one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import groupby
from zoneinfo import ZoneInfo

from bot.talk import say
from bot.talk.catalogue import Catalogue
from bot.talk.message import Option, Reply, Step
from bot.talk.turn import answer
from core.actions.roundplan import Chore, Round, Stop, Why
from core.journal.plants import name_key

# So many stops are told with their reasons; more are counted by room.
MOST_STOPS = 6
MOST_ROOMS = 6
MOST_NAMES = 3
MOST_IN_ROOM = 12
# A week back a weekday is no longer plain; from here on a day of the month isn't either.
_WEEK, _MONTH = 7, 30
WHOLE = ""


@dataclass(frozen=True, slots=True)
class Telling:
    """In which words and for which day; `takers`: room (as compared, empty for all) -> name."""

    words: Catalogue
    now: datetime
    zone: ZoneInfo
    takers: Mapping[str, str]

    @property
    def today(self) -> date:
        """The household's day."""
        return self.now.astimezone(self.zone).date()


def whole(tell: Telling, laid: Round, *, most: int = MOST_STOPS) -> list[str]:
    """A household's round, room by room; above `most` stops the rooms are counted."""
    if not laid.stops:
        return [_chores(tell, laid, "round-also-only")] if laid.chores else []
    few = len(laid.stops) <= most
    rooms = [(room, list(stops)) for room, stops in groupby(laid.stops, key=_room)]
    lines = [tell.words("round-head", n=len(laid.stops))]
    if WHOLE in tell.takers:
        lines.append(tell.words("round-all-taken", who=tell.takers[WHOLE]))
    lines += [_room_line(tell, laid, stops, few=few) for _, stops in rooms[:MOST_ROOMS]]
    if len(rooms) > MOST_ROOMS:
        lines.append(tell.words("round-more-rooms", n=len(rooms) - MOST_ROOMS))
    oldest = min(laid.stops, key=lambda stop: stop.since or tell.today)
    if not few and oldest.since is not None and oldest.since < tell.today:
        since = _past(tell, oldest.since)
        lines.append(tell.words("round-longest", name=oldest.name, since=since))
    if not few and rooms[0][0]:
        lines.append(tell.words("round-shows", room=rooms[0][0]))
    rough = tell.words("round-all-rough") if few and laid.rough else ""
    return [*lines, rough, _chores(tell, laid, "round-also")]


def of_room(tell: Telling, room: str, laid: Round) -> list[str]:
    """One room's part, a line for each plant."""
    lines = [tell.words("round-head-room", room=capital(room), n=len(laid.stops))]
    lines += [_stop(tell, laid, stop) for stop in laid.stops[:MOST_IN_ROOM]]
    if len(laid.stops) > MOST_IN_ROOM:
        lines.append(tell.words("round-more-stops", n=len(laid.stops) - MOST_IN_ROOM))
    rough = tell.words("round-all-rough") if laid.rough else ""
    return [*lines, rough, _chores(tell, laid, "round-also")]


def evening(tell: Telling, laid: Round) -> list[str]:
    """What is left of the day, in one line."""
    names = say.some(tell.words, [stop.name for stop in laid.stops], MOST_STOPS)
    line = tell.words("round-evening", n=len(laid.stops), names=names or "none")
    who = _only_taker(tell, laid)
    first = tell.words("round-evening-to", who=who, rest=line) if who else line
    return [first, _chores(tell, laid, "round-also"), tell.words("round-evening-late")]


def _only_taker(tell: Telling, laid: Round) -> str:
    """Whoever said that they do all that is left, if that is one person."""
    rooms = {_room(stop) for stop in laid.stops}
    who = {tell.takers.get(room, tell.takers.get(WHOLE, "")) for room in rooms}
    return who.pop() if len(who) == 1 else tell.takers.get(WHOLE, "")


def _room(stop: Stop) -> str:
    return name_key(stop.room)


def _room_line(tell: Telling, laid: Round, stops: list[Stop], *, few: bool) -> str:
    words = tell.words
    room = capital(stops[0].room) or words("round-no-room")
    if few:
        said = ", ".join(_stop(tell, laid, stop) for stop in stops)
    else:
        said = say.some(words, [stop.name for stop in stops], MOST_NAMES)
    who = tell.takers.get(_room(stops[0]))
    if who:
        return words("round-room-taken", room=room, who=who, stops=said)
    return words("round-room", room=room, stops=said)


def capital(text: str) -> str:
    """With a large first letter."""
    return text[:1].upper() + text[1:]


def _stop(tell: Telling, laid: Round, stop: Stop) -> str:
    return tell.words("round-stop", name=stop.name, why=_why(tell, stop, rough=not laid.rough))


def _why(tell: Telling, stop: Stop, *, rough: bool) -> str:
    """Why a plant is on the round, in a few words; `rough`: it is said here where it is so."""
    since = "none" if stop.since is None else _past(tell, stop.since)
    args: dict[str, str | int] = {"since": since}
    if stop.since is not None:
        args["days"] = (tell.today - stop.since).days
    if stop.until is not None:
        args["until"] = say.day(tell.words, stop.until, tell.now, tell.zone)
    said = tell.words(f"round-why-{stop.why.value}", **args)
    if stop.rough and rough:
        said = tell.words("round-rough", why=said)
    return tell.words("round-done", why=said) if stop.done and stop.why is not Why.WATER else said


def _past(tell: Telling, day: date) -> str:
    """A day gone by as it follows "since": yesterday, Monday, the 2nd, 2 January."""
    back = (tell.today - day).days
    if back < 2:
        return say.day(tell.words, day, tell.now, tell.zone)
    if back < _WEEK:
        return say.weekday(tell.words, day)
    if back <= _MONTH:
        return tell.words("round-day-of", day=say.ordinal(day.day))
    return say.day(tell.words, day, tell.now, tell.zone)


def _chores(tell: Telling, laid: Round, key: str) -> str:
    if not laid.chores:
        return ""
    said = [_chore(tell.words, chore) for chore in laid.chores]
    return tell.words(key, chores="; ".join(said))


def _chore(words: Catalogue, chore: Chore) -> str:
    names = say.some(words, chore.names, MOST_NAMES)
    return words(f"round-chore-{chore.errand.value}", names=names)


# --- buttons ------------------------------------------------------------------------------


def choices(words: Catalogue, laid: Round, *, others: bool, evening: bool) -> tuple[Option, ...]:
    """What can be answered to a round in place. `others`: there is somebody else to ask."""
    found = []
    if laid.ahead:
        found.append(Option(words("round-button-start"), "/round start"))
    if evening:
        found.append(Option(words("round-button-evening"), "/round evening"))
    if others:
        found.append(Option(words("round-button-someone"), "/round who"))
    return tuple(found)


def morning_reply(
    tell: Telling, laid: Round, step: Step, *, others: bool, silent: date | None = None
) -> Reply:
    """What is said in the morning; since a day of silence, how to have less of it."""
    first, *rest = whole(tell, laid)
    if silent is not None:
        rest.append(tell.words("round-silent", since=_past(tell, silent)))
    head = tell.words("round-good-morning", rest=first)
    buttons = choices(tell.words, laid, others=others, evening=True)
    return replace(answer(head, *rest, buttons=buttons, step=step), about=_only(laid))


def evening_reply(tell: Telling, laid: Round, step: Step) -> Reply:
    """What is said in the evening."""
    buttons = [Option(tell.words("round-button-tomorrow"), "/round tomorrow")]
    if laid.ahead:
        buttons.insert(0, Option(tell.words("round-button-start"), "/round start"))
    reply = answer(*evening(tell, laid), buttons=tuple(buttons), step=step)
    return replace(reply, about=_only(laid))


def _only(laid: Round) -> int | None:
    """The plant of a round of one."""
    return laid.stops[0].plant_id if len(laid.stops) == 1 else None
