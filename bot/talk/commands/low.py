"""/low: how cold a night gets outside, and which plants that endangers."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bot.talk import coldwords, say
from bot.talk.commands.gavemany import parts
from bot.talk.grammar.ahead import take_ahead
from bot.talk.grammar.quantities import Refusal, read_temperature
from bot.talk.grammar.refusal import Unclear
from bot.talk.message import Reply
from bot.talk.naming import split_plant
from bot.talk.turn import Turn, answer
from core.actions import coldwatch, lows, rounds, watch, weather
from core.actions.here import Here
from core.actions.lows import Endangered, Known
from core.journal.plants import Plant


def low(turn: Turn, rest: str) -> Reply:
    """Keep a night's low and say who is in danger, or say what is known of tonight."""
    tonight = lows.night_of(turn.now, turn.who.zone)
    if not rest.strip():
        return _what_is_known(turn, tonight)
    word, _, names = rest.casefold().strip(" .!").partition(" ")
    if word == "moved" and names:
        return _some_moved(turn, tonight, names)
    if word in ("moved", "fine") and not names:
        return _answered(turn, tonight, moved=word == "moved")
    return _of_a_night(turn, rest, tonight)


def _of_a_night(turn: Turn, rest: str, tonight: date) -> Reply:
    """A night's low, told or asked for."""
    ahead = take_ahead(rest, turn.now, turn.who.zone)
    if isinstance(ahead, Unclear):
        return answer(turn.words.refusal(ahead.key, ahead.args))
    night = tonight if ahead.day is None or ahead.evening else ahead.day
    if not ahead.rest.strip(" ?."):
        return _what_is_known(turn, night)
    system = turn.settings.units
    told = read_temperature(ahead.rest, system.degrees, system=system)
    if isinstance(told, Refusal):
        return answer(turn.words.refusal(told.key, told.args), turn.words("low-how"))
    lows.tell(turn.tx, turn.teller, night, told.celsius)
    watch.low_told(turn.tx, turn.who, night, turn.now)
    return _told(turn, Known(night, told.celsius, turn.who.person_id, turn.now))


def _what_is_known(turn: Turn, night: date) -> Reply:
    found = lows.known(turn.tx, turn.who.household_id, night, turn.who.zone, turn.now)
    if found is None:
        return answer(_nothing_known(turn, night), turn.words("low-how"))
    return _told(turn, found, _source(turn, found))


def _source(turn: Turn, found: Known) -> str:
    when = say.ago(turn.words, found.told_at, turn.now, turn.who.zone)
    if found.credit:
        scale = turn.settings.units.value
        return turn.words("low-forecast", service=found.credit, when=when, scale=scale)
    return turn.words("low-source", who=turn.name_of(found.person_id), when=when)


def _nothing_known(turn: Turn, night: date) -> str:
    """Nobody told, and no forecast is good enough: since when, if there was one."""
    if night != lows.night_of(turn.now, turn.who.zone):
        when = say.on_day(turn.words, night, turn.now, turn.who.zone)
        return turn.words("low-unknown-night", when=when)
    last = weather.last_outlook(turn.tx, turn.who.household_id)
    if last is None:
        return turn.words("low-unknown")
    when = say.ago(turn.words, last.fetched_at, turn.now, turn.who.zone)
    return turn.words("low-no-forecast", when=when)


def _told(turn: Turn, known: Known, source: str = "") -> Reply:
    """The low and who is in danger; tonight, what is to be moved can be said to be."""
    head = f"{_head(turn, known.night, known.celsius)} {source}".strip()
    household, units = turn.who.household_id, turn.settings.units
    found = lows.endangered(turn.tx, household, known.reckoned_c)
    if known.night != lows.night_of(turn.now, turn.who.zone):
        return answer(*coldwords.dangers(turn.words, units, head, found))
    gone = coldwatch.elsewhere(turn.tx, household, found)
    return coldwords.tonight(turn.words, units, head, found, gone)


def _answered(turn: Turn, night: date, *, moved: bool) -> Reply:
    """They were moved, or may stand where they are."""
    who = turn.who
    found = lows.known(turn.tx, who.household_id, night, who.zone, turn.now)
    plants = coldwatch.to_move(turn.tx, who.household_id, found.reckoned_c) if found else []
    if not plants:
        return answer(turn.words("low-none-to-move"), turn.words("low-how"))
    here = _here(turn)
    if not moved:
        coldwatch.stay(turn.tx, here, night)
        return answer(turn.words("low-fine"))
    return _moved(turn, here, night, plants)


def _some_moved(turn: Turn, night: date, names: str) -> Reply:
    """Only these were moved; what needn't be is told where it stands."""
    who = turn.who
    named = []
    for piece in parts(turn, names):
        found = split_plant(turn, piece, lambda name, _rest: f"/low moved {name}")
        if isinstance(found, Reply):
            return found
        named.append(found.plant)
    known = lows.known(turn.tx, who.household_id, night, who.zone, turn.now)
    cold = coldwatch.to_move(turn.tx, who.household_id, known.reckoned_c) if known else []
    ids = {one.id for one in cold}
    moved = coldwatch.elsewhere(turn.tx, who.household_id, _endangered(turn, known))
    named += [one.plant for one in moved if one.plant.id not in {two.id for two in named}]
    plants = [one for one in named if one.id in ids]
    if not plants:
        elsewhere = turn.words("low-moved-where", plant=named[0].name, call=named[0].call)
        return answer(turn.words("low-none-to-move"), elsewhere)
    return _moved(turn, _here(turn), night, plants)


def _endangered(turn: Turn, known: Known | None) -> list[Endangered]:
    if known is None:
        return []
    return lows.endangered(turn.tx, turn.who.household_id, known.reckoned_c)


def _here(turn: Turn) -> Here:
    """Where it is spoken of unasked; else here."""
    who = turn.who
    here = rounds.here(turn.tx, who.household_id, turn.now)
    return here or Here(who.household_id, who.chat_id, turn.settings, who.zone, turn.now)


def _moved(turn: Turn, here: Here, night: date, plants: Sequence[Plant]) -> Reply:
    coldwatch.moved(turn.tx, here, night, [one.id for one in plants])
    names = coldwords.moved(turn.words, [one.name for one in plants])
    return answer(turn.words("low-moved", plants=names, n=len(plants)))


def _head(turn: Turn, night: date, celsius: float) -> str:
    shown = say.temperature(celsius, turn.settings.units)
    if night == lows.night_of(turn.now, turn.who.zone):
        return turn.words("low-tonight", low=shown)
    when = say.day(turn.words, night, turn.now, turn.who.zone)
    return turn.words("low-night", when=when[:1].upper() + when[1:], low=shown)
