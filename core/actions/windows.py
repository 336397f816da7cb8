"""What kind of window a room has: asked once, when a cold night comes for which it decides."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import Connection

from core.actions import lows
from core.actions.rounds import Here
from core.journal.plants import name_key
from core.store import dialogues, outbox
from core.store.dialogues import Talk
from core.store.outbox import Fact

SUBJECT, TOPIC = "window", "window"
_OPEN_FOR: Final = timedelta(days=7)


def ask(tx: Connection, here: Here, celsius: float) -> None:
    """Ask of one room that was never asked of, if its window decides whether plants are harmed."""
    asked = {one.state for one in dialogues.ever_about(tx, here.household_id, SUBJECT)}
    unsure = [
        one
        for one in lows.unsure(tx, here.household_id, celsius)
        if _state(one.plant.room) not in asked
    ]
    if not unsure:
        return
    room = unsure[0].plant.room
    mine = [one for one in unsure if one.room == unsure[0].room]
    talk_id = dialogues.begin(
        tx,
        household_id=here.household_id,
        chat_id=here.chat_id,
        person_id=None,
        subject=SUBJECT,
        stage="asked",
        state=_state(room),
        due_at=here.now + _OPEN_FOR,
        now=here.now,
    )
    facts = {
        "room": room,
        "plants": [one.plant.name for one in mine],
        "leaf": min(one.chill.leaf_c for one in mine),
        "talk": talk_id,
        "version": 1,
    }
    outbox.put_fact(
        tx,
        Fact(
            household_id=here.household_id,
            chat_id=here.chat_id,
            kind=outbox.REMINDER,
            occasion=f"window.{talk_id}",
            topic=TOPIC,
            facts=json.dumps(facts),
            due_at=here.now,
        ),
    )


def answered(tx: Connection, household_id: int, room: str, now: datetime) -> None:
    """Somebody told: the question is over."""
    for talk in dialogues.open_about(tx, household_id, SUBJECT):
        if talk.state == _state(room):
            dialogues.close(tx, talk.id, now)


def time_up(tx: Connection, talk: Talk, now: datetime) -> None:
    """Nobody answered, and nobody is asked again."""
    dialogues.close(tx, talk.id, now)


def _state(room: str) -> str:
    return json.dumps({"room": name_key(room)})
