"""Several waterings in one message: `watered fern and fig`, `fern 400 ml, fig 1 l`, everything."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

from bot.talk import others, say
from bot.talk.commands.gaveamount import Given, read_given
from bot.talk.commands.told import Told as OneTold
from bot.talk.commands.told import plant_and_time
from bot.talk.grammar.dates import When, take_when
from bot.talk.grammar.quantities import Refusal
from bot.talk.groups import Group
from bot.talk.message import Option, Reply
from bot.talk.naming import exact
from bot.talk.turn import Turn, answer
from core.actions import pouring, upkeep
from core.journal.plants import Plant
from core.journal.state import Watered

MOST_NAMES = 8
MOST_NOT_KEPT = 3
MOST_AT_ONCE = 250

_PARTS = re.compile(r"\s*[;\n]\s*|,\s+|,(?=\s*[^\d\s])|\s+(?:and|&)\s+", re.IGNORECASE)
YES = "yes"


@dataclass(frozen=True, slots=True)
class Told:
    """One piece: the plant and how much, or why it wasn't kept.

    `again`: a name and what would keep it all the same.
    """

    part: str
    plant: Plant | None = None
    litres: float | None = None
    why: str = ""
    again: tuple[str, str] | None = None


def parts(turn: Turn, rest: str) -> list[str]:
    """The pieces that each begin with a plant; anything else belongs to the one before.

    A moment at the end of a list without amounts (`fern and fig yesterday`) is for all of them.
    """
    if exact(turn, rest) is None and len(rest.split()) < 2:
        return [rest]
    pieces = [piece.strip() for piece in _PARTS.split(rest) if piece.strip()]
    found: list[str] = []
    for piece in pieces:
        if found and exact(turn, piece) is None:
            found[-1] = f"{found[-1]}, {piece}"
        else:
            found.append(piece)
    if len(found) < 2 or exact(turn, found[0]) is None:
        return [rest]
    return _dated(turn, found)


def _dated(turn: Turn, pieces: list[str]) -> list[str]:
    moments = [take_when(piece, turn.now, turn.who.zone) for piece in pieces]
    last = moments[-1]
    dated = [one for one in moments if isinstance(one, When) and one.at is not None]
    if not isinstance(last, When) or len(dated) != 1 or last.at is None:
        return pieces
    return [*(f"{piece} {last.said}" for piece in pieces[:-1]), pieces[-1]]


def keep_all(turn: Turn, pieces: list[str]) -> Reply:
    """Each piece on its own; what can't be taken is said and the rest is kept."""
    told = [_one(turn, piece) for piece in pieces[:MOST_AT_ONCE]]
    return _summary(turn, told)


def _one(turn: Turn, piece: str) -> Told:
    told = plant_and_time(turn, piece, "gave")
    if isinstance(told, Reply):
        return Told(piece, why=told.text.split("\n")[0])
    given = read_given(told.rest, turn.settings.units)
    if isinstance(given, Refusal):
        return Told(piece, why=turn.words.refusal(given.key, given.args))
    if given.strange:
        call = told.plant.call
        return Told(piece, why=turn.words("gave-strange-short", what=given.strange[:30], call=call))
    if told.at is None and _is_poured_now(turn, told.plant):
        return Told(piece, why=turn.words("gave-under-way-short", call=told.plant.call))
    watered = others.watered_too(turn, told.plant, told.at)
    if watered is not None and not given.again:
        return Told(piece, why=_too(turn, told.plant, watered), again=_again(told))
    return _keep(turn, piece, told.plant, given, told.at)


def _too(turn: Turn, plant: Plant, watered: Watered) -> str:
    """Somebody else has just told of it; how to keep this one beside it."""
    said = others.watered_words(turn, plant, watered)
    return turn.words("others-too", watered=said, call=plant.call)


def _again(told: OneTold) -> tuple[str, str]:
    said = f"/gave {told.plant.call}: {told.rest} again {told.moment}"
    return told.plant.name, " ".join(said.split())


def _keep(turn: Turn, piece: str, plant: Plant, given: Given, at: datetime | None) -> Told:
    after = upkeep.gave(turn.tx, turn.teller, turn.home, plant, given.body, at)
    return Told(piece, after, given.body.litres)


def _is_poured_now(turn: Turn, plant: Plant) -> bool:
    talk = pouring.open_pour(turn.tx, turn.who.household_id, plant.id)
    return talk is not None and pouring.pour_of(talk).stage in others.UNDER_WAY


def _summary(turn: Turn, told: list[Told]) -> Reply:
    kept = [one for one in told if one.plant is not None]
    odd = [one for one in told if one.plant is None]
    shown = [_shown(turn, one) for one in kept[:MOST_NAMES]]
    more = len(kept) - len(shown)
    lines = [
        turn.words("gave-many-kept", n=len(kept), names=", ".join(shown), more=more)
        if kept
        else turn.words("gave-many-none"),
        *(
            turn.words("check-not-kept", part=one.part[:30], why=one.why)
            for one in odd[:MOST_NOT_KEPT]
        ),
        turn.words("common-and-more", n=len(odd) - MOST_NOT_KEPT)
        if len(odd) > MOST_NOT_KEPT
        else "",
        turn.words("gave-many-saucers") if kept else "",
    ]
    again = [one.again for one in odd if one.again is not None][:MOST_NOT_KEPT]
    buttons = tuple(
        Option(turn.words("others-yes-too", plant=name)[:40], send) for name, send in again
    )
    return answer(*lines, buttons=buttons)


def _shown(turn: Turn, one: Told) -> str:
    name = one.plant.name if one.plant is not None else one.part
    if one.litres is None:
        return name
    return f"{name} {say.exact(turn.words, one.litres, turn.settings.units)}"


# --- everything ---------------------------------------------------------------------------


def all_of(turn: Turn, group: Group) -> Reply:
    """All plants, or all of a room, were watered: asked once, for a slip would touch them all."""
    if not group.plants:
        return answer(turn.words("name-no-plants"))
    if group.rest.casefold().split()[:1] == [YES]:
        moment = group.rest.partition(" ")[2]
        return keep_all(turn, [f"{one.key}: {moment}".strip(" :") for one in group.plants])
    n, call = len(group.plants), f"/gave {group.called} yes {group.rest}".strip()
    buttons = (
        Option(turn.words("gave-all-yes", n=n), call),
        Option(turn.words("add-never-mind"), "/cancel"),
    )
    return answer(
        turn.words("gave-all-sure", n=n, room=group.room, only=group.plants[0].name),
        buttons=buttons,
    )
