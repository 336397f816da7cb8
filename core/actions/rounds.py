"""The morning round as it lives in the store: told, answered, put off, reminded of, never piled up.

A household's next round is a column of its row. What was told today is a dialogue, due again in
the evening for whatever nobody looked at. Nothing here names a time to water.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from core.actions import roundplan
from core.actions.here import Here, lay
from core.actions.roundplan import Day, Round
from core.care import wallclock
from core.journal import ledger, plants, settings
from core.journal.portrait import Home
from core.journal.settings import Settings
from core.store import dialogues
from core.store import rounds as kept
from core.store.dialogues import Talk
from core.store.rounds import Plan, Planned

SUBJECT = "round"
MORNING, EVENING = "round-morning", "round-evening"
TOPICS = (MORNING, EVENING)

# What of an earlier round still waits to be sent is looked for so far back.
_FORGOTTEN = timedelta(days=30)
# After so many days without a word from anybody it is said how to have fewer rounds, and again
# after as many more (ours).
_SILENT_DAYS = 14
# No round is planned later than this; one that is was planned by a clock that ran ahead.
FURTHEST = timedelta(hours=50)


@dataclass(frozen=True, slots=True)
class Told:
    """What was told in the morning, and what people said to it.

    `plants`: id -> whether it was new on the round that day; `takers`: room (as it is compared,
    empty for all) -> person; `promised`: somebody said "this evening".
    """

    day: date
    plants: dict[int, bool] = field(default_factory=dict)
    takers: dict[str, int] = field(default_factory=dict)
    promised: bool = False


@dataclass(frozen=True, slots=True)
class Facts:
    """What a reminder says: a round, the step its buttons answer, and who said they do it.

    `silent`: the day of the last word from anybody, where that is to be spoken of.
    """

    laid: Round
    talk_id: int
    version: int
    takers: dict[str, int] = field(default_factory=dict)
    silent: date | None = None


def write_facts(facts: Facts) -> dict[str, object]:
    """Facts as the outbox keeps them."""
    return {
        "round": roundplan.write(facts.laid),
        "talk": facts.talk_id,
        "version": facts.version,
        "takers": facts.takers,
        "silent": None if facts.silent is None else facts.silent.isoformat(),
    }


def read_facts(text: str) -> Facts:
    """The same, read back from their JSON."""
    told = json.loads(text)
    silent = told["silent"]
    return Facts(
        roundplan.read(told["round"]),
        told["talk"],
        told["version"],
        told["takers"],
        None if silent is None else date.fromisoformat(silent),
    )


def read_told(talk: Talk) -> Told:
    """What a round's dialogue keeps."""
    kept_state = json.loads(talk.state)
    return Told(
        date.fromisoformat(kept_state["day"]),
        {int(key): bool(new) for key, new in kept_state["plants"].items()},
        {room: int(person) for room, person in kept_state["takers"].items()},
        bool(kept_state["promised"]),
    )


def _written(told: Told) -> str:
    return json.dumps(
        {
            "day": told.day.isoformat(),
            "plants": {str(key): new for key, new in told.plants.items()},
            "takers": told.takers,
            "promised": told.promised,
        }
    )


# --- what there is to do ------------------------------------------------------------------


def round_of(tx: Connection, here: Here, *, unasked: bool = False) -> Round:
    """Today's round of a household as its plants stand now."""
    day = Day(here.now, here.zone, Home.of(here.ways), here.ways.rooms, unasked)
    return roundplan.lay_out(plants.living(tx, here.household_id), day)


# --- planning -----------------------------------------------------------------------------


def rule(ways: Settings, zone: ZoneInfo) -> str:
    """What a round's moment is worked out from."""
    return f"{ways.morning:%H:%M} {zone.key}" if ways.morning is not None else f"never {zone.key}"


def plan(tx: Connection, household_id: int, now: datetime) -> None:
    """Work out when the next round is due, by the hour and zone as they are now."""
    kept.plan(tx, [_plan(found, now) for found in kept.planned_of(tx, [household_id])])


def _plan(found: Planned, now: datetime) -> Plan:
    ways, zone = settings.read(found.settings), ZoneInfo(found.zone)
    at = None if ways.morning is None else wallclock.next_at(ways.morning, zone, now)
    return Plan(found.household_id, at, rule(ways, zone))


# --- unasked ------------------------------------------------------------------------------


def mornings(tx: Connection, household_ids: Sequence[int], now: datetime) -> None:
    """Rounds of some households are due: say those that there are, and plan the next of each.

    However late they are found, only today's is said, and only while it is of use.
    """
    found = [one for one in kept.planned_of(tx, household_ids) if _is_due(one, now)]
    kept.plan(tx, [_plan(one, now) for one in found])
    for one in found:
        here = _where_to_say(tx, one, now)
        if here is not None:
            _say(tx, here)


def _is_due(found: Planned, now: datetime) -> bool:
    """It may have been planned by a clock that ran ahead."""
    return found.round_at is not None and not now < found.round_at <= now + FURTHEST


def _where_to_say(tx: Connection, found: Planned, now: datetime) -> Here | None:
    """Where and how a round that is due is said; None where it isn't."""
    ways, zone = settings.read(found.settings), ZoneInfo(found.zone)
    if found.round_at is None or found.round_at > now or found.round_rule != rule(ways, zone):
        return None  # a clock ran ahead, the hour or the zone changed: this was only to plan anew
    if ways.morning is None or not _of_use(ways, ways.morning, zone, now):
        return None
    chat_id = reachable(tx, found)
    if chat_id is None:
        return None
    here = Here(found.household_id, chat_id, ways, zone, now)
    return None if is_away(tx, here) else here


def _of_use(ways: Settings, hour: time, zone: ZoneInfo, now: datetime) -> bool:
    """Today's morning has come, and the quiet hours haven't."""
    came = wallclock.latest_at(hour, zone, now)
    today = wallclock.day_of(came, zone) == wallclock.day_of(now, zone)
    return today and not wallclock.is_quiet(ways.quiet, zone, now)


def is_away(tx: Connection, here: Here) -> bool:
    """Whether everybody is away today and nobody sits for the plants."""
    gone = any(first <= here.day <= last for first, last in here.ways.away)
    return gone and not kept.has_sitter(tx, here.household_id, here.now)


def reachable(tx: Connection, found: Planned) -> int | None:
    """The chat for what is said unasked: the household's own, else a keeper's private one."""
    if found.open:
        return found.home_chat_id
    return next(iter(kept.keeper_chats(tx, found.household_id)), None)


def here(tx: Connection, household_id: int, now: datetime) -> Here | None:
    """A household where it is spoken to unasked; None where it can't be."""
    found = kept.planned(tx, household_id)
    chat_id = None if found is None else reachable(tx, found)
    if found is None or chat_id is None:
        return None
    return Here(household_id, chat_id, settings.read(found.settings), ZoneInfo(found.zone), now)


def home_chat(tx: Connection, household_id: int) -> int | None:
    """The same, for a household whose row isn't at hand."""
    found = kept.planned(tx, household_id)
    return None if found is None else reachable(tx, found)


def _occasion(here: Here, day: date, part: str) -> str:
    """A private chat may hear of several households: each has its own."""
    return f"round.{here.household_id}.{day.isoformat()}.{part}"


def _say(tx: Connection, here: Here) -> None:
    day = here.day
    if kept.was_said(tx, here.chat_id, _occasion(here, day, "morning")):
        return
    laid = round_of(tx, here, unasked=True)
    earlier = _close_earlier(tx, here.household_id, here.now)
    kept.drop_unsent(
        tx, here.chat_id, _occasion(here, day - _FORGOTTEN, ""), _occasion(here, day, "")
    )
    if laid.empty:
        return
    told = Told(day, {one.plant_id: one.plant_id not in earlier for one in laid.stops})
    facts = Facts(laid, _open(tx, here, told), 1, silent=_silent(tx, here))
    _put(tx, here, MORNING, facts)


def _silent(tx: Connection, here: Here) -> date | None:
    """The day of the last word from anybody, every two weeks of silence."""
    last = ledger.last_told(tx, here.household_id)
    day = None if last is None else wallclock.day_of(last, here.zone)
    days = 0 if day is None else (here.day - day).days
    return day if days > 0 and days % _SILENT_DAYS == 0 else None


def _close_earlier(tx: Connection, household_id: int, now: datetime) -> frozenset[int]:
    """End the rounds of other days; the plants that they told of."""
    told: set[int] = set()
    for talk in dialogues.open_about(tx, household_id, SUBJECT):
        told |= set(read_told(talk).plants)
        dialogues.close(tx, talk.id, now)
    return frozenset(told)


def _open(tx: Connection, here: Here, told: Told) -> int:
    return dialogues.begin(
        tx,
        household_id=here.household_id,
        chat_id=here.chat_id,
        person_id=None,
        subject=SUBJECT,
        stage="told",
        state=_written(told),
        due_at=evening_of(told.day, here),
        now=here.now,
    )


def evening_of(day: date, here: Here) -> datetime | None:
    """When a day's reminder is due; None where none may be said, or its hour is over."""
    if here.ways.evening is None:
        return None
    at = wallclock.moment_of(day, here.ways.evening, here.zone)
    quiet = wallclock.is_quiet(here.ways.quiet, here.zone, at)
    return at if at > here.now and not quiet else None


def _put(tx: Connection, here: Here, topic: str, facts: Facts) -> None:
    occasion = _occasion(here, facts.laid.day, topic.rpartition("-")[2])
    lay(tx, here, topic, occasion, write_facts(facts))


def evening(tx: Connection, talk: Talk, now: datetime) -> None:
    """What was told this morning and nobody looked at: one gentle reminder, or none."""
    found = kept.planned(tx, talk.household_id)
    told = read_told(talk)
    chat_id = None if found is None else reachable(tx, found)
    if found is None or chat_id is None:
        dialogues.set_aside(tx, talk.id)
        return
    ways, zone = settings.read(found.settings), ZoneInfo(found.zone)
    here = Here(talk.household_id, chat_id, ways, zone, now)
    if here.day != told.day:
        dialogues.close(tx, talk.id, now)
        return
    left = _left(round_of(tx, here), told)
    if left.empty or wallclock.is_quiet(ways.quiet, zone, now) or is_away(tx, here):
        dialogues.set_aside(tx, talk.id)
        return
    state = _written(told)
    dialogues.advance(tx, talk, stage="reminded", state=state, chat_id=chat_id)
    _put(tx, here, EVENING, Facts(left, talk.id, talk.version + 1, told.takers))


def _left(laid: Round, told: Told) -> Round:
    """Of what was told, what nobody looked at; errands and old stops only where it was promised."""
    ids = [
        stop.plant_id
        for stop in laid.ahead
        if told.plants.get(stop.plant_id, False) or (told.promised and stop.plant_id in told.plants)
    ]
    left = roundplan.only_in(laid, ids)
    return replace(left, chores=laid.chores if told.promised else ())


# --- what people say to it ----------------------------------------------------------------


def today(tx: Connection, here: Here) -> tuple[Talk, Told]:
    """Today's round as a dialogue, opened now if nothing was told this morning."""
    for talk in dialogues.open_about(tx, here.household_id, SUBJECT):
        told = read_told(talk)
        if told.day == here.day:
            return talk, told
    _close_earlier(tx, here.household_id, here.now)
    told = Told(here.day, {one.plant_id: True for one in round_of(tx, here).stops})
    talk_now = dialogues.get(tx, _open(tx, here, told))
    if talk_now is None:
        raise LookupError("the round just opened can't be found")
    return talk_now, told


def takers(tx: Connection, household_id: int, day: date) -> dict[str, int]:
    """Who said that they do which room today (empty: all of it)."""
    for talk in dialogues.open_about(tx, household_id, SUBJECT):
        told = read_told(talk)
        if told.day == day:
            return told.takers
    return {}


def put_off(tx: Connection, here: Here) -> datetime | None:
    """Today's round is done in the evening: when it will be asked for; None if it can't be."""
    talk, told = today(tx, here)
    at = evening_of(told.day, here)
    if at is not None:
        _keep(tx, talk, replace(told, promised=True), at)
    return at


def add_this_evening(tx: Connection, here: Here, plant_id: int) -> datetime | None:
    """One plant is looked at in the evening; when it will be asked for."""
    talk, told = today(tx, here)
    at = evening_of(told.day, here)
    if at is not None:
        _keep(tx, talk, replace(told, plants={**told.plants, plant_id: True}), at)
    return at


def assign(tx: Connection, here: Here, person_id: int, room: str = "") -> datetime | None:
    """Somebody does today's round, or one room of it; when they will be asked, if at all."""
    talk, told = today(tx, here)
    at = evening_of(told.day, here)
    given = {} if not room else dict(told.takers)
    _keep(tx, talk, replace(told, takers={**given, room: person_id}), at)
    return at


def change_taker(tx: Connection, household_id: int, old_id: int, new_id: int | None) -> None:
    """Whoever said that they do something today is known under another id, or has gone (None)."""
    for talk in dialogues.open_about(tx, household_id, SUBJECT):
        told = read_told(talk)
        if old_id in told.takers.values():
            given = {room: new_id if who == old_id else who for room, who in told.takers.items()}
            takers = {room: who for room, who in given.items() if who is not None}
            _keep(tx, talk, replace(told, takers=takers), talk.due_at)


def leave(tx: Connection, here: Here) -> None:
    """Nothing more is said of today's round."""
    _close_earlier(tx, here.household_id, here.now)


def _keep(tx: Connection, talk: Talk, told: Told, at: datetime | None) -> None:
    """The same step of the same round: its buttons still count."""
    dialogues.restate(tx, talk.id, _written(told), at)
