"""/high: how hot a day gets outside, and which plants sun and heat then endanger."""

from __future__ import annotations

from datetime import date, timedelta

from bot.talk import heatwords, say
from bot.talk.grammar.ahead import take_ahead
from bot.talk.grammar.quantities import Refusal, read_temperature
from bot.talk.grammar.refusal import Unclear
from bot.talk.heatwords import Shown
from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.actions import highs, watch
from core.actions.highs import Hot

NOON = 12


def high(turn: Turn, rest: str) -> Reply:
    """Keep a day's high and say who is in danger, or say what is known of the next."""
    if not rest.strip():
        return _what_is_known(turn, _next_day(turn))
    ahead = take_ahead(rest, turn.now, turn.who.zone)
    if isinstance(ahead, Unclear):
        return answer(turn.words.refusal(ahead.key, ahead.args))
    day = ahead.day or _next_day(turn)
    if not ahead.rest.strip(" ?."):
        return _what_is_known(turn, day)
    system = turn.settings.units
    told = read_temperature(ahead.rest, system.degrees, system=system)
    if isinstance(told, Refusal):
        return answer(turn.words.refusal(told.key, told.args), turn.words("heat-how"))
    highs.tell(turn.tx, turn.teller, day, told.celsius)
    watch.high_told(turn.tx, turn.who, day, turn.now)
    return _told(turn, Hot(day, told.celsius, turn.who.person_id, turn.now))


def _next_day(turn: Turn) -> date:
    """The day that is hot next: today until noon, then tomorrow."""
    here = turn.now.astimezone(turn.who.zone)
    return here.date() if here.hour < NOON else here.date() + timedelta(days=1)


def _what_is_known(turn: Turn, day: date) -> Reply:
    found = highs.known(turn.tx, turn.who.household_id, day, turn.who.zone, turn.now)
    if found is None:
        when = say.day(turn.words, day, turn.now, turn.who.zone)
        return answer(turn.words("heat-unknown", when=when), turn.words("heat-how"))
    when = say.ago(turn.words, found.told_at, turn.now, turn.who.zone)
    if found.credit:
        return _told(turn, found, turn.words("heat-forecast", service=found.credit, when=when))
    who = turn.name_of(found.person_id)
    return _told(turn, found, turn.words("heat-source", who=who, when=when))


def _told(turn: Turn, hot: Hot, source: str = "") -> Reply:
    when = say.day(turn.words, hot.day, turn.now, turn.who.zone)
    high = say.temperature(hot.celsius, turn.settings.units)
    head = turn.words("heat-day", when=when[:1].upper() + when[1:], high=high)
    sky = highs.sky_of(turn.tx, turn.who.household_id, turn.who.zone, turn.now)
    found = highs.threatened(turn.tx, turn.who.household_id, hot, sky) if sky is not None else []
    told = f"{head} {source}".strip()
    shown = [Shown.of(one) for one in found]
    return answer(*heatwords.dangers(turn.words, turn.who.zone, told, shown))
