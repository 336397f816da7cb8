"""Which messages still show buttons, and which of those ask nothing any more."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, bindparam, select, update

from core.store.outbox import OUTBOX
from core.store.tables import Dialogue, table_of

DIALOGUE = table_of(Dialogue)

MOST_LOOKED_AT = 100
"""So many messages with buttons are looked at together, the newest first (ours)."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A message that still shows buttons, as its network knows it."""

    row: int
    chat_id: int
    said_as: str


_SHOWN = update(OUTBOX).where(OUTBOX.c.id == bindparam("one")).values(said_as=bindparam("said"))
_THERE = (
    select(OUTBOX.c.id, OUTBOX.c.chat_id, OUTBOX.c.said_as, OUTBOX.c.body)
    .where(
        OUTBOX.c.said_as.is_not(None),
        OUTBOX.c.chat_id.in_(
            select(OUTBOX.c.chat_id).where(OUTBOX.c.id.in_(bindparam("rows", expanding=True)))
        ),
    )
    .order_by(OUTBOX.c.id.desc())
    .limit(MOST_LOOKED_AT)
)


def shown(tx: Connection, said: Iterable[tuple[int, str]]) -> None:
    """These rows were said, with buttons, under these ids of their network."""
    values = [{"one": row, "said": said_as} for row, said_as in said]
    if values:
        tx.execute(_SHOWN, values)


def take_away(tx: Connection, rows: Sequence[int]) -> list[Shown]:
    """Of the chats of these rows: messages whose buttons are to be taken away now, each once.

    Their question was answered or has lapsed, or its next stage was said.
    """
    there = tx.execute(_THERE, {"rows": list(rows)}).all()
    steps = {one.id: json.loads(one.body or "{}").get("step") or {} for one in there}
    stand = _standing(tx, {step["dialogue"] for step in steps.values() if step})
    over = [
        Shown(one.id, one.chat_id, one.said_as)
        for one in there
        if stand.get(steps[one.id].get("dialogue", 0)) != steps[one.id].get("version")
    ]
    if over:
        gone = OUTBOX.c.id.in_([one.row for one in over])
        tx.execute(update(OUTBOX).where(gone).values(said_as=None))
    return over


def _standing(tx: Connection, dialogues: set[int]) -> dict[int, int]:
    """The versions at which dialogues stand that are open."""
    if not dialogues:
        return {}
    rows = tx.execute(
        select(DIALOGUE.c.id, DIALOGUE.c.version).where(
            DIALOGUE.c.id.in_(dialogues), DIALOGUE.c.closed_at.is_(None)
        )
    )
    return {row.id: row.version for row in rows}
