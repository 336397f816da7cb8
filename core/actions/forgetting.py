"""Deleting a household for good: what goes, the word that confirms it, and who hears of it."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import Connection

from core.actions.invites import LETTERS
from core.care import wallclock
from core.journal import settings
from core.store import belonging, forgetting, outbox, people
from core.store.forgetting import Holds
from core.store.outbox import Fact
from core.store.people import Present

TOPIC = "forgotten"

# Long enough that nobody types it by a slip; it keeps nobody out, keepers alone are asked (ours).
_LENGTH = 5


@dataclass(frozen=True, slots=True)
class Question:
    """What would go, who would lose it, how many other chats would hear of it; the word."""

    holds: Holds
    people: tuple[str, ...]
    chats: int
    word: str


def ask(tx: Connection, who: Present, now: datetime) -> Question:
    """What a household's deletion would mean."""
    holds = forgetting.holds(tx, who.household_id)
    others = [
        one.name
        for one in belonging.of_household(tx, who.household_id)
        if one.person_id != who.person_id
    ]
    chats = len(forgetting.listeners(tx, who.household_id, who.chat_id))
    return Question(holds, tuple(others), chats, _word(who, holds, now))


def _word(who: Present, holds: Holds, now: datetime) -> str:
    """A word for this person and day, as the journal stands: an old one confirms nothing."""
    return word_for(f"{who.household_id}.{who.person_id}.{holds.last_event}.{now.date()}")


def word_for(stands: str) -> str:
    """The word that stands for something: the same for the same."""
    number = int.from_bytes(hashlib.sha256(stands.encode()).digest())
    return "".join(LETTERS[number // 31**n % 31] for n in range(_LENGTH))


@dataclass(frozen=True, slots=True)
class Forgotten:
    """A household that was deleted, and the one that this chat speaks of now, if any."""

    now_in: str | None


def forget(
    tx: Connection, who: Present, word: str, now: datetime, inbox_id: int | None
) -> Forgotten | None:
    """Delete a household, if the word is that of today or yesterday; None if it isn't.

    Its other chats hear of it after the quiet hours.
    """
    holds = forgetting.holds(tx, who.household_id)
    words = {_word(who, holds, day) for day in (now, now - timedelta(days=1))}
    if word.upper() not in words:
        return None
    told = forgetting.listeners(tx, who.household_id, who.chat_id)
    forgetting.empty(tx, who.household_id, inbox_id, now)
    due_at = wallclock.out_of_quiet(settings.read(who.settings).quiet, who.zone, now)
    for chat_id in told:
        outbox.put_fact(tx, _farewell(who, chat_id, due_at))
    others = people.households_of(tx, who.person_id) if who.direct else []
    return Forgotten(others[0].name if others else None)


def _farewell(who: Present, chat_id: int, due_at: datetime) -> Fact:
    return Fact(
        household_id=who.household_id,
        chat_id=chat_id,
        kind=outbox.REMINDER,
        occasion=f"{TOPIC}.{who.household_id}",
        topic=TOPIC,
        facts=json.dumps({"by": who.person, "household": who.household}),
        due_at=due_at,
    )
