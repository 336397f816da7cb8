"""A room's window, curtain and nights: asked of once each, when a cold night makes it matter."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import Connection

from core.actions import lows
from core.actions.here import Here, lay
from core.actions.lows import Fact
from core.journal.plants import name_key
from core.store import dialogues
from core.store.dialogues import Talk

SUBJECT, TOPIC = "window", "window"
_OPEN_FOR: Final = timedelta(days=7)
# Nobody is asked two such things on one day (ours).
_ONE_IN: Final = timedelta(hours=20)


def ask(tx: Connection, here: Here, celsius: float) -> None:
    """Ask one thing of one room that was never asked of it, if it decides who is harmed."""
    before = dialogues.ever_about(tx, here.household_id, SUBJECT)
    if any(here.now - one.opened_at < _ONE_IN for one in before):
        return
    asked = {one.state for one in before}
    unsure = [
        (fact, one)
        for fact, one in lows.unsure(tx, here.household_id, celsius)
        if _state(one.plant.room, fact) not in asked
    ]
    if not unsure:
        return
    fact, first = unsure[0]
    mine = [one for other, one in unsure if other is fact and one.room == first.room]
    room = first.plant.room
    talk_id = dialogues.begin(
        tx,
        household_id=here.household_id,
        chat_id=here.chat_id,
        person_id=None,
        subject=SUBJECT,
        stage=fact.value,
        state=_state(room, fact),
        due_at=here.now + _OPEN_FOR,
        now=here.now,
    )
    facts = {
        "what": fact.value,
        "room": room,
        "plants": [one.plant.name for one in mine],
        "leaf": min(one.chill.leaf_c for one in mine),
        "talk": talk_id,
        "version": 1,
    }
    lay(tx, here, TOPIC, f"window.{talk_id}", facts)


def answered(tx: Connection, household_id: int, room: str, facts: set[Fact], now: datetime) -> None:
    """Somebody told: the questions are over."""
    states = {_state(room, fact) for fact in facts}
    for talk in dialogues.open_about(tx, household_id, SUBJECT):
        if talk.state in states:
            dialogues.close(tx, talk.id, now)


def time_up(tx: Connection, talk: Talk, now: datetime) -> None:
    """Nobody answered, and nobody is asked again."""
    dialogues.close(tx, talk.id, now)


def _state(room: str, fact: Fact) -> str:
    return json.dumps({"room": name_key(room), "what": fact.value})
