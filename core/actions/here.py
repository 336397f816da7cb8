"""A household at this moment: where it is spoken to unasked, and what is laid there to be said."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from core.care import wallclock
from core.journal.settings import Settings
from core.store import outbox
from core.store.outbox import Fact


@dataclass(frozen=True, slots=True)
class Here:
    """Who is spoken to, in which chat, by which ways, and when."""

    household_id: int
    chat_id: int
    ways: Settings
    zone: ZoneInfo
    now: datetime

    @property
    def day(self) -> date:
        """The household's day."""
        return wallclock.day_of(self.now, self.zone)


def lay(
    tx: Connection,
    here: Here,
    topic: str,
    occasion: str,
    facts: Mapping[str, object],
    kind: str = outbox.REMINDER,
) -> None:
    """Lay down what is to be said now, worded later; the same occasion twice is one."""
    fact = Fact(
        household_id=here.household_id,
        chat_id=here.chat_id,
        kind=kind,
        occasion=occasion,
        topic=topic,
        facts=json.dumps(facts),
        due_at=here.now,
    )
    outbox.put_fact(tx, fact)
