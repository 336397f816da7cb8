"""A cold night: a warning the afternoon before; what was moved goes back or stays; a look."""

from __future__ import annotations

import json
from datetime import date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from core.actions import lows
from core.care import wallclock
from core.care.cold import Danger
from core.journal import plants, settings
from core.journal.plants import Plant
from core.store import dialogues, outbox
from core.store import rounds as kept
from core.store.dialogues import Talk
from core.store.outbox import Fact
from core.store.people import Present

SUBJECT, TOPIC = "cold", "cold"
WARNED = "warned"
AHEAD, ASKED, MOVED, LOOK = "ahead", "asked", "moved", "look"

# Some plants showed chilling only at two weeks (Poole & Conover, UF RH-93-6, SEEN).
LOOK_AFTER: Final = timedelta(days=14)
# The afternoon before, well before dark even in a northern winter (ours).
_WARN_AT: Final = time(14)
# When a household without a morning hour is told (ours).
_USUAL: Final = time(8)
_TO_MOVE: Final = frozenset({Danger.GLASS, Danger.OUTDOORS})


def to_move(tx: Connection, household_id: int, celsius: float) -> list[Plant]:
    """Plants that such a night harms where they stand, however shut the windows are."""
    found = lows.endangered(tx, household_id, celsius)
    return [one.plant for one in found if one.chill.danger in _TO_MOVE]


def expect(tx: Connection, who: Present, night: date, now: datetime) -> None:
    """A night to come was told of: in its afternoon it is looked at again, once."""
    at = wallclock.moment_of(night, _WARN_AT, _zone(tx, who.household_id))
    waiting = dialogues.open_about(tx, who.household_id, SUBJECT)
    if at <= now or any(one.stage == AHEAD and _night(one) == night for one in waiting):
        return
    dialogues.begin(
        tx,
        household_id=who.household_id,
        chat_id=who.chat_id,
        person_id=None,
        subject=SUBJECT,
        stage=AHEAD,
        state=json.dumps({"night": night.isoformat(), "plants": []}),
        due_at=at,
        now=now,
    )


def _night(talk: Talk) -> date:
    return date.fromisoformat(json.loads(talk.state)["night"])


def _afternoon(tx: Connection, talk: Talk, now: datetime) -> None:
    """Warn where something is to be done, and only while the night is still to come."""
    night = _night(talk)
    known = lows.known(tx, talk.household_id, night)
    found = lows.endangered(tx, talk.household_id, known.celsius) if known is not None else []
    over = lows.night_of(now, _zone(tx, talk.household_id)) != night
    if known is None or not found or over or _is_done(tx, talk.household_id, known.celsius):
        dialogues.close(tx, talk.id, now)
        return
    _say(tx, talk, WARNED, [one.plant for one in found], now, known.celsius)
    due_at = _morning(tx, talk.household_id, night + timedelta(days=1))
    dialogues.advance(tx, talk, stage=ASKED, state=talk.state, due_at=due_at)


def _is_done(tx: Connection, household_id: int, celsius: float) -> bool:
    """Whether everything that is to be moved is known to stand elsewhere already."""
    away: set[int] = set()
    for talk in dialogues.open_about(tx, household_id, SUBJECT):
        if talk.stage == MOVED:
            away |= set(json.loads(talk.state)["plants"])
    return bool(away) and {one.id for one in to_move(tx, household_id, celsius)} <= away


def moved(tx: Connection, who: Present, night: date, plant_ids: list[int], now: datetime) -> None:
    """Somebody moved plants for a night; told twice, the later counts."""
    drop(tx, who.household_id, now)
    dialogues.begin(
        tx,
        household_id=who.household_id,
        chat_id=who.chat_id,
        person_id=who.person_id,
        subject=SUBJECT,
        stage=MOVED,
        state=json.dumps({"night": night.isoformat(), "plants": plant_ids}),
        due_at=_morning(tx, who.household_id, night + timedelta(days=1)),
        now=now,
    )


def drop(tx: Connection, household_id: int, now: datetime) -> None:
    """Nothing that was moved waits to go back."""
    for talk in dialogues.open_about(tx, household_id, SUBJECT):
        if talk.stage in (MOVED, ASKED):
            dialogues.close(tx, talk.id, now)


def time_up(tx: Connection, talk: Talk, now: datetime) -> None:
    """The morning after, or two weeks later: say what is to be done, if there is anything."""
    if talk.stage == AHEAD:
        _afternoon(tx, talk, now)
        return
    told = json.loads(talk.state)
    left = [one for one in plants.living(tx, talk.household_id) if one.id in told["plants"]]
    if not left:
        dialogues.close(tx, talk.id, now)
    elif talk.stage == LOOK:
        _say(tx, talk, "look", left, now)
        dialogues.close(tx, talk.id, now)
    else:
        _morning_after(tx, talk, left, date.fromisoformat(told["night"]), now)


def _morning_after(
    tx: Connection, talk: Talk, left: list[Plant], night: date, now: datetime
) -> None:
    """Back to their places, unless tonight is known to be as bad for one of them."""
    tonight = lows.night_of(now, _zone(tx, talk.household_id))
    known = lows.known(tx, talk.household_id, tonight)
    harmed = to_move(tx, talk.household_id, known.celsius) if known is not None else []
    again = known is not None and bool({one.id for one in harmed} & {one.id for one in left})
    if known is not None and again:
        _say(tx, talk, "stay", left, now, known.celsius)
        then, stage = tonight + timedelta(days=1), MOVED
    else:
        _say(tx, talk, "back", left, now)
        then, stage = max(night + LOOK_AFTER, tonight + timedelta(days=1)), LOOK
    due_at = _morning(tx, talk.household_id, then)
    dialogues.advance(tx, talk, stage=stage, state=talk.state, due_at=due_at)


def _say(
    tx: Connection,
    talk: Talk,
    what: str,
    left: list[Plant],
    now: datetime,
    low: float | None = None,
) -> None:
    facts = {
        "what": what,
        "plants": [one.name for one in left],
        "low": low,
        "talk": talk.id,
        "version": talk.version + 1,
    }
    outbox.put_fact(
        tx,
        Fact(
            household_id=talk.household_id,
            chat_id=talk.chat_id,
            kind=outbox.WARNING if what == WARNED else outbox.REMINDER,
            occasion=f"cold.{talk.id}.{talk.version}",
            topic=TOPIC,
            facts=json.dumps(facts),
            due_at=now,
        ),
    )


def _zone(tx: Connection, household_id: int) -> ZoneInfo:
    found = kept.planned(tx, household_id)
    return ZoneInfo(found.zone if found is not None else "UTC")


def _morning(tx: Connection, household_id: int, day: date) -> datetime:
    """A day's morning as the household has it, outside its quiet hours; aware UTC."""
    found = kept.planned(tx, household_id)
    ways = settings.read(found.settings if found is not None else "{}")
    zone = _zone(tx, household_id)
    at = wallclock.moment_of(day, ways.morning or _USUAL, zone)
    return wallclock.out_of_quiet(ways.quiet, zone, at)
