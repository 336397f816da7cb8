"""A cold night: said the afternoon before; what was moved goes back or stays; a look later.

What was said of a night is a dialogue of its own, so that it is said once, and again only when
something else is to be done. What was moved is another, due in the morning.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable
from datetime import date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from core.actions import lows, rounds, weather, windows
from core.actions.here import Here, lay
from core.actions.lows import Endangered, Known
from core.care import wallclock
from core.care.cold import NOBODY_MINDS_C, SHUT_BELOW_C, Danger
from core.care.outlook import MARGIN_C
from core.journal import plants
from core.journal.plants import Plant
from core.store import dialogues, outbox
from core.store.dialogues import Talk

SUBJECT, TOPIC = "cold", "cold"
WARNED, EASED, UNKNOWN = "warned", "eased", "unknown"
SAID, MINDED, FINE = "said", "minded", "fine"
MOVED, LOOK = "moved", "look"
_OF_A_NIGHT: Final = frozenset({SAID, MINDED, FINE})

# Some plants showed chilling only at two weeks (Poole & Conover, UF RH-93-6, SEEN).
LOOK_AFTER: Final = timedelta(days=14)
# When a household without a morning hour is told (ours).
_USUAL: Final = time(8)
TO_MOVE: Final = frozenset({Danger.GLASS, Danger.OUTDOORS})

# "They're fine" holds for nights hardly colder than the one it was said of (ours).
_HARDLY_COLDER_K: Final = 2.0

# Windows are kept shut all through a cold spell, without a word each night (ours).
SHUT_LONGER: Final = frozenset({Danger.DRAFT.value})

# What is to be done: a plant's id and what is to be feared for it, with how cold it gets there, C.
ToDo = dict[tuple[int, str], float]


def to_move(tx: Connection, household_id: int, celsius: float) -> list[Plant]:
    """Plants that such a night harms where they stand, however shut the windows are."""
    found = lows.endangered(tx, household_id, celsius)
    return [one.plant for one in found if one.chill.danger in TO_MOVE]


def elsewhere(tx: Connection, household_id: int, found: Iterable[Endangered]) -> list[Endangered]:
    """Of plants in danger those that somebody moved already."""
    away = _away(tx, household_id)
    return [one for one in found if one.chill.danger in TO_MOVE and one.plant.id in away]


def asks_to_move(tx: Connection, household_id: int, zone: ZoneInfo, now: datetime) -> bool:
    """Whether by what is known of tonight something is to be moved."""
    known = lows.known(tx, household_id, lows.night_of(now, zone), zone, now)
    return known is not None and bool(to_move(tx, household_id, known.reckoned_c))


# --- the night to come --------------------------------------------------------------------


def look(tx: Connection, here: Here) -> None:
    """Say who is in danger tonight, if something is to be done that nobody was told yet."""
    night = lows.night_of(here.now, here.zone)
    known = lows.known(tx, here.household_id, night, here.zone, here.now)
    if known is None:
        if _said_of(tx, here.household_id, night) is None:
            _ask(tx, here)
        return
    said = _said_of(tx, here.household_id, night)
    if known.reckoned_c >= NOBODY_MINDS_C and said is None:
        return
    windows.ask(tx, here, known.reckoned_c)
    found = _still_here(tx, here.household_id, known)
    before = _said_of(tx, here.household_id, night - timedelta(days=1))
    settled = _settled(said, found) | _settled(before, found, SHUT_LONGER)
    if _to_do(found).keys() - settled.keys():
        _warn(tx, here, night, known, found)
    elif said is None and found:
        stage = FINE if before is not None and before.stage == FINE else SAID
        _keep_said(tx, here, night, _to_do(found) | settled, stage)
    elif said is not None and said.stage == SAID and not found and _told(said):
        _ease(tx, here, said, known)


def _ask(tx: Connection, here: Here) -> None:
    """The forecast stays away in a cold season: somebody may know, and is asked once."""
    last = weather.last_outlook(tx, here.household_id)
    coldest = min((one.celsius for one in last.hours), default=None) if last else None
    if last is None or coldest is None or coldest - MARGIN_C >= SHUT_BELOW_C:
        return
    facts = {"what": UNKNOWN, "since": last.fetched_at.isoformat()}
    lay(tx, here, TOPIC, f"cold.unknown.{here.household_id}.{last.fetched_at:%Y%m%d%H%M}", facts)


def _settled(
    said: Talk | None, found: Collection[Endangered], lasting: Collection[str] | None = None
) -> ToDo:
    """What was said and need not be said again; of another night only what lasts.

    What is fine stays so, unless it gets colder than it was when that was said.
    """
    told, to_do = _told(said), _to_do(found)
    if said is not None and said.stage == FINE:
        return {
            key: leaf
            for key, leaf in told.items()
            if key in to_do and to_do[key] >= leaf - _HARDLY_COLDER_K
        }
    return {key: leaf for key, leaf in told.items() if lasting is None or key[1] in lasting}


def heard(tx: Connection, here: Here, night: date) -> None:
    """Everybody in the household's own chat has just read of this night: it is said."""
    known = lows.known(tx, here.household_id, night, here.zone, here.now)
    if known is not None and night == lows.night_of(here.now, here.zone):
        _keep_said(tx, here, night, _to_do(_still_here(tx, here.household_id, known)))


def _still_here(tx: Connection, household_id: int, known: Known) -> list[Endangered]:
    """Who is in danger, apart from what stands elsewhere already."""
    away = _away(tx, household_id)
    found = lows.endangered(tx, household_id, known.reckoned_c)
    return [one for one in found if one.chill.danger not in TO_MOVE or one.plant.id not in away]


def _away(tx: Connection, household_id: int) -> set[int]:
    away: set[int] = set()
    for talk in dialogues.open_about(tx, household_id, SUBJECT):
        if talk.stage == MOVED:
            away |= set(json.loads(talk.state)["plants"])
    return away


def _to_do(found: Iterable[Endangered]) -> ToDo:
    return {(one.plant.id, one.chill.danger.value): round(one.chill.leaf_c, 1) for one in found}


def _told(said: Talk | None) -> ToDo:
    told = [] if said is None else json.loads(said.state)["said"]
    return {(plant, danger): leaf for plant, danger, leaf in told}


def _said_of(tx: Connection, household_id: int, night: date) -> Talk | None:
    for talk in dialogues.open_about(tx, household_id, SUBJECT):
        if talk.stage in _OF_A_NIGHT and _night(talk) == night:
            return talk
    return None


def _night(talk: Talk) -> date:
    return date.fromisoformat(json.loads(talk.state)["night"])


def _keep_said(tx: Connection, here: Here, night: date, to_do: ToDo, stage: str = SAID) -> Talk:
    """Keep what was said of a night, until the next has been looked at; the row as it is then."""
    told = [[*key, leaf] for key, leaf in sorted(to_do.items())]
    state = json.dumps({"night": night.isoformat(), "said": told, "plants": []})
    due_at = wallclock.moment_of(night + timedelta(days=2), time(0), here.zone)
    said = _said_of(tx, here.household_id, night)
    if said is not None:
        dialogues.advance(tx, said, stage=stage, state=state, due_at=due_at, chat_id=here.chat_id)
        talk_id = said.id
    else:
        talk_id = _begin(tx, here, stage, state, due_at)
    talk = dialogues.get(tx, talk_id)
    if talk is None:
        raise LookupError("the dialogue just kept can't be found")
    return talk


def _begin(tx: Connection, here: Here, stage: str, state: str, due_at: datetime) -> int:
    return dialogues.begin(
        tx,
        household_id=here.household_id,
        chat_id=here.chat_id,
        person_id=None,
        subject=SUBJECT,
        stage=stage,
        state=state,
        due_at=due_at,
        now=here.now,
    )


def _warn(
    tx: Connection, here: Here, night: date, known: Known, found: Collection[Endangered]
) -> None:
    before = _told(_said_of(tx, here.household_id, night))
    talk = _keep_said(tx, here, night, before | _to_do(found))
    facts = _facts(known) | {
        "what": WARNED,
        "plants": sorted({one.plant.id for one in found}),
        "talk": talk.id,
        "version": talk.version,
    }
    lay(tx, here, TOPIC, _occasion(talk), facts, outbox.WARNING)


def _ease(tx: Connection, here: Here, said: Talk, known: Known) -> None:
    """It won't be so cold after all, and nobody has said that they did anything yet."""
    talk = _keep_said(tx, here, known.night, {}, MINDED)
    names = _names(tx, here.household_id, {plant for plant, _ in _told(said)})
    if names:
        facts = _facts(known) | {"what": EASED, "plants": names}
        lay(tx, here, TOPIC, _occasion(talk), facts, outbox.WARNING)


def _names(tx: Connection, household_id: int, ids: Collection[int]) -> list[str]:
    return [one.name for one in plants.living(tx, household_id) if one.id in ids]


def _facts(known: Known) -> dict[str, object]:
    return {
        "low": known.celsius,
        "reckoned": known.reckoned_c,
        "credit": known.credit,
        "since": known.told_at.isoformat(),
    }


# --- what people say to it, and afterwards ------------------------------------------------


def moved(tx: Connection, here: Here, night: date, plant_ids: list[int]) -> None:
    """Somebody moved plants for a night; told twice, the later counts."""
    _answered(tx, here, night, MINDED)
    state = json.dumps({"night": night.isoformat(), "plants": plant_ids})
    _begin(tx, here, MOVED, state, _morning(here, night + timedelta(days=1)))


def stay(tx: Connection, here: Here, night: date) -> None:
    """They are to stay where they are: nothing more is said of that, nothing goes back."""
    _answered(tx, here, night, FINE)


def _answered(tx: Connection, here: Here, night: date, stage: str) -> None:
    for talk in dialogues.open_about(tx, here.household_id, SUBJECT):
        if talk.stage == MOVED:
            dialogues.close(tx, talk.id, here.now)
    known = lows.known(tx, here.household_id, night, here.zone, here.now)
    found = lows.endangered(tx, here.household_id, known.reckoned_c) if known is not None else []
    _keep_said(tx, here, night, _to_do(found), stage)


def time_up(tx: Connection, talk: Talk, now: datetime) -> None:
    """The morning after, or two weeks later: say what is to be done, if there is anything."""
    told = json.loads(talk.state)
    left = [one for one in plants.living(tx, talk.household_id) if one.id in told["plants"]]
    here = rounds.here(tx, talk.household_id, now)
    if not left or talk.stage in _OF_A_NIGHT:
        dialogues.close(tx, talk.id, now)
    elif here is None:
        dialogues.set_aside(tx, talk.id)
    elif wallclock.is_quiet(here.ways.quiet, here.zone, now):
        later = wallclock.out_of_quiet(here.ways.quiet, here.zone, now)
        dialogues.restate(tx, talk.id, talk.state, later)
    elif talk.stage == LOOK:
        _say(tx, here, talk, "look", left)
        dialogues.close(tx, talk.id, now)
    else:
        _morning_after(tx, here, talk, left)


def _morning_after(tx: Connection, here: Here, talk: Talk, left: list[Plant]) -> None:
    """Back to their places, unless tonight is known to be as bad for one of them."""
    tonight = lows.night_of(here.now, here.zone)
    known = lows.known(tx, here.household_id, tonight, here.zone, here.now)
    harmed = to_move(tx, here.household_id, known.reckoned_c) if known is not None else []
    if known is not None and {one.id for one in harmed} & {one.id for one in left}:
        _say(tx, here, talk, "stay", left, known.celsius)
        then, stage = tonight + timedelta(days=1), MOVED
    else:
        _say(tx, here, talk, "back", left, known.celsius if known is not None else None)
        then, stage = max(_night(talk) + LOOK_AFTER, tonight + timedelta(days=1)), LOOK
    due_at = _morning(here, then)
    dialogues.advance(tx, talk, stage=stage, state=talk.state, due_at=due_at)


def _say(
    tx: Connection, here: Here, talk: Talk, what: str, left: list[Plant], low: float | None = None
) -> None:
    names = [one.name for one in left]
    facts = {"what": what, "plants": names, "low": low}
    lay(tx, here, TOPIC, _occasion(talk), facts)


def _occasion(talk: Talk) -> str:
    return f"cold.{talk.id}.{talk.version}"


def _morning(here: Here, day: date) -> datetime:
    """A day's morning as the household has it, outside its quiet hours; aware UTC."""
    at = wallclock.moment_of(day, here.ways.morning or _USUAL, here.zone)
    return wallclock.out_of_quiet(here.ways.quiet, here.zone, at)
