"""Walking the round: the reading of one plant after the other, in walking order."""

from __future__ import annotations

from dataclasses import replace

from bot.talk import roundwords, running, say
from bot.talk.answers import ANY_READING, LEAVE
from bot.talk.commands import check
from bot.talk.message import Option, Reply
from bot.talk.naming import exact
from bot.talk.roundwords import MOST_NAMES, Telling
from bot.talk.turn import Turn, answer
from core.actions import rounds
from core.actions.here import Here
from core.actions.roundplan import Round, Stop, Why
from core.care.wallclock import moment_of
from core.journal import plants
from core.journal.plants import name_key

MOST_BUTTONS = 4


def here_of(turn: Turn) -> Here:
    """Whose round it is, where it is spoken of, and when."""
    who = turn.who
    return Here(who.household_id, who.chat_id, turn.settings, who.zone, turn.now)


def evening_over(turn: Turn) -> str:
    """The evening's hour where it is over for today; empty where none is asked in, or it comes."""
    hour, here = turn.settings.evening, here_of(turn)
    if hour is None or moment_of(here.day, hour, here.zone) > turn.now:
        return ""
    return f"{hour:%H:%M}"


def telling(turn: Turn) -> Telling:
    """The words for a round that somebody asked for."""
    here = here_of(turn)
    taken = rounds.takers(turn.tx, here.household_id, here.day)
    names = {room: turn.name_of(who) for room, who in taken.items()}
    return Telling(turn.words, turn.now, turn.who.zone, names)


def walk(turn: Turn, *before: str, room: str = "") -> Reply:
    """Ask for the reading of the first plant that nobody looked at today, in one room first."""
    laid = rounds.round_of(turn.tx, here_of(turn))
    if not laid.ahead:
        waiting = [stop.name for stop in laid.stops if stop.why is Why.WATER]
        names = say.some(turn.words, waiting, MOST_NAMES)
        return answer(*before, turn.words("round-walked", n=len(waiting), names=names or "none"))
    return _ask(turn, _next(laid, room), len(laid.ahead), *before)


def _next(laid: Round, room: str) -> Stop:
    """Where to go on: nobody leaves a room in the middle."""
    here = (stop for stop in laid.ahead if name_key(stop.room) == name_key(room))
    return next(here, laid.ahead[0])


def _room_of(turn: Turn, text: str) -> str:
    """The room of the plant that a text begins with."""
    found = exact(turn, text)
    return found.plant.room if found is not None else ""


def _ask(turn: Turn, stop: Stop, left: int, *before: str) -> Reply:
    plant = plants.get(turn.tx, stop.plant_id)
    asked = check.ask_reading(turn, plant).text
    room = roundwords.capital(stop.room) or turn.words("round-no-room")
    buttons = (
        Option(turn.words("round-button-skip"), f"/round skip {plant.call}"),
        Option(turn.words("round-button-stop"), LEAVE),
        Option(ANY_READING, f"/round at {plant.call}: {{text}}"),
    )
    text = turn.words("round-walk", n=left, room=room, ask=asked)
    return replace(answer(*before, text, buttons=buttons), about=plant.id)


def at(turn: Turn, rest: str) -> Reply:
    """A reading on the way: keep it, say what follows, go on to the next plant."""
    before = turn.teller.ordinal
    said = running.run(turn, f"/check {rest}")
    if turn.teller.ordinal == before:
        return _still_here(said)
    room = _room_of(turn, rest)
    if not said.buttons:
        return walk(turn, said.text, room=room)
    laid = rounds.round_of(turn.tx, here_of(turn))
    if not laid.ahead:
        return said
    then = _next(laid, room)
    on = Option(
        turn.words("round-button-next", name=then.name)[:40],
        f"/round start {name_key(then.room)}".strip(),
    )
    shown = said.buttons[: MOST_BUTTONS - 1]
    return Reply(said.text, (*shown, on), said.files, said.step)


def _still_here(said: Reply) -> Reply:
    """Nothing was kept: what is chosen instead goes on walking."""
    buttons = tuple(
        Option(one.label, one.send.replace("/check ", "/round at ", 1)) for one in said.buttons
    )
    return Reply(said.text, buttons, said.files, said.step)


def skip(turn: Turn, rest: str) -> Reply:
    """Not this one today; go on to the next."""
    if exact(turn, rest) is None:
        return running.run(turn, f"/skip {rest}")
    said = running.run(turn, f"/skip {rest}")
    return walk(turn, said.text, room=_room_of(turn, rest))
