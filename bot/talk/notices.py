"""Wording of what is said unasked, at the moment when it is first sent."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from bot.talk import coldwords, heatwords, pictures, pourwords, roundwords, say, whose
from bot.talk.catalogue import Catalogue
from bot.talk.heatwords import Shown
from bot.talk.message import Reply, Step
from bot.talk.roundwords import Telling
from bot.talk.turn import answer
from core.actions import (
    chats,
    coldwatch,
    forgetting,
    heatwatch,
    lows,
    picturing,
    pouring,
    rounds,
    windows,
)
from core.journal import plants, settings
from core.store import dialogues, people, photos
from core.store.engine import Transaction
from core.store.outbox import Parcel


def word(tx: Transaction, parcel: Parcel) -> Reply:
    """The reply for a row of facts. Raises LookupError for a topic that nobody words."""
    reply = TOPICS[parcel.topic](tx, parcel)
    return whose.named_unasked(tx, parcel, _words(parcel), reply) if parcel.direct else reply


def _words(parcel: Parcel) -> Catalogue:
    ways = settings.read(parcel.settings)
    return Catalogue(ways.language, ways.units)


def _pour(tx: Transaction, parcel: Parcel) -> Reply:
    words, units = _words(parcel), settings.read(parcel.settings).units
    facts = json.loads(parcel.facts)
    moved = pouring.from_facts(tx, facts)
    after = ""
    probe = moved.plant.state.probe
    if moved.step.finished and probe is not None:
        when = say.on_day(words, probe.expected, parcel.due_at, ZoneInfo(parcel.zone))
        after = words("pour-next-probe", when=when)
    choices = pourwords.options(words, moved)
    dialogues.set_options(tx, moved.talk_id, choices, version=moved.version)
    return replace(pourwords.pour_reply(words, units, moved, after), thread=facts["thread"])


def _round(tx: Transaction, parcel: Parcel) -> Reply:
    """The morning's round, or the evening's reminder of what is left of it."""
    words, facts = _words(parcel), rounds.read_facts(parcel.facts)
    known = people.names(tx, parcel.household_id)
    someone = words("common-someone")
    takers = {room: known.get(who, someone) for room, who in facts.takers.items()}
    tell = Telling(words, parcel.due_at, ZoneInfo(parcel.zone), takers)
    step = Step(facts.talk_id, facts.version)
    if parcel.topic == rounds.MORNING:
        others = len(people.hands(tx, parcel.household_id, parcel.due_at)) > 1
        reply = roundwords.morning_reply(tell, facts.laid, step, others=others, silent=facts.silent)
    else:
        reply = roundwords.evening_reply(tell, facts.laid, step)
    dialogues.set_options(tx, facts.talk_id, reply.buttons, version=facts.version)
    return reply


def _cold(tx: Transaction, parcel: Parcel) -> Reply:
    """Before a cold night who is in danger; afterwards what goes back, stays, or wants a look."""
    words, told = _words(parcel), json.loads(parcel.facts)
    if told["what"] == coldwatch.WARNED:
        return _cold_to_come(tx, parcel, told)
    if told["what"] == coldwatch.UNKNOWN:
        when = _ago(parcel, told["since"])
        return answer(words("low-no-forecast", when=when), words("low-how"))
    units = settings.read(parcel.settings).units
    low = "none" if told["low"] is None else say.temperature(told["low"], units)
    names = coldwords.moved(words, told["plants"])
    return answer(words(f"low-{told['what']}", plants=names, n=len(told["plants"]), low=low))


def _photo(tx: Transaction, parcel: Parcel) -> Reply:
    """A picture is kept, or why it isn't."""
    words, told = _words(parcel), json.loads(parcel.facts)
    plant = plants.get(tx, told["plant"]) if told["plant"] is not None else None
    if told["what"] == photos.KEPT and plant is not None:
        many = picturing.together(tx, parcel.household_id, told["photo"], plant.id)
        said = pictures.kept_words(words, plant, max(many, 1))
    else:
        call = plant.call if plant is not None and plant.name else "none"
        of = pictures.ONE
        if "album" in told:
            left = picturing.left_of(tx, told["chat"], told["album"])
            of = pictures.SOME if left else pictures.ALL
        said = pictures.refusal(words, picturing.Refused(told["what"]), call, of)
    return Reply(said, thread=told["thread"], answers=told["answers"], about=told["plant"])


def _cold_to_come(tx: Transaction, parcel: Parcel, told: dict[str, Any]) -> Reply:
    words, units = _words(parcel), settings.read(parcel.settings).units
    head = words("low-tonight", low=say.temperature(told["low"], units))
    if told["credit"]:
        when = _ago(parcel, told["since"])
        forecast = words("low-forecast", service=told["credit"], when=when, scale=units.value)
        head = f"{head} {forecast}"
    found = lows.endangered(tx, parcel.household_id, told["reckoned"])
    found = [one for one in found if one.plant.id in told["plants"]]
    lines = coldwords.dangers(words, units, head, found)
    if not any(one.chill.danger in coldwatch.TO_MOVE for one in found):
        return answer(*lines)
    options, step = coldwords.choices(words), Step(told["talk"], told["version"])
    dialogues.set_options(tx, step.dialogue, options, version=step.version)
    return answer(*lines, buttons=options, step=step)


def _heat(_tx: Transaction, parcel: Parcel) -> Reply:
    """Before great heat: who is in danger, from when to when, and what to do."""
    words, told, zone = _words(parcel), json.loads(parcel.facts), ZoneInfo(parcel.zone)
    units = settings.read(parcel.settings).units
    when = say.day(words, date.fromisoformat(told["day"]), parcel.due_at, zone)
    high = say.temperature(told["high"], units)
    head = words("heat-day", when=when[:1].upper() + when[1:], high=high)
    if told["credit"]:
        ago = _ago(parcel, told["since"])
        head = f"{head} {words('heat-forecast', service=told['credit'], when=ago)}"
    shown = [Shown.read(one) for one in told["plants"]]
    return answer(*heatwords.dangers(words, zone, head, shown))


def _window(tx: Transaction, parcel: Parcel) -> Reply:
    """A question that decides whether plants are in danger; asked once of each room."""
    words, told = _words(parcel), json.loads(parcel.facts)
    units, what = settings.read(parcel.settings).units, lows.Fact(told["what"])
    leaf = say.temperature(told["leaf"], units)
    names, room = coldwords.moved(words, told["plants"]), told["room"]
    options = coldwords.answers_to(words, units, what, room)
    step = Step(told["talk"], told["version"])
    dialogues.set_options(tx, step.dialogue, options, version=step.version)
    titled = room[:1].upper() + room[1:]
    many = len(told["plants"])
    text = words(f"low-ask-{what.value}", room=titled, plants=names, leaf=leaf, n=many)
    return answer(text, buttons=options, step=step)


def _ago(parcel: Parcel, since: str) -> str:
    moment = datetime.fromisoformat(since)
    return say.ago(_words(parcel), moment, parcel.due_at, ZoneInfo(parcel.zone))


def _chat_gone(_tx: Transaction, parcel: Parcel) -> Reply:
    return answer(_words(parcel)("round-chat-gone"))


def _forgotten(_tx: Transaction, parcel: Parcel) -> Reply:
    told = json.loads(parcel.facts)
    key = "forget-told-private" if parcel.direct else "forget-told"
    return answer(_words(parcel)(key, by=told["by"], household=told["household"]))


TOPICS: Mapping[str, Callable[[Transaction, Parcel], Reply]] = {
    pouring.TOPIC: _pour,
    rounds.MORNING: _round,
    rounds.EVENING: _round,
    chats.GONE: _chat_gone,
    forgetting.TOPIC: _forgotten,
    coldwatch.TOPIC: _cold,
    picturing.TOPIC: _photo,
    heatwatch.TOPIC: _heat,
    windows.TOPIC: _window,
}
"""Who words which topic."""
