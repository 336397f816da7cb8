"""Which messages still show buttons, and which of those ask nothing any more."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, bindparam, select, update

from core.store.outbox import OUTBOX
from core.store.ready import Ready
from core.store.tables import Dialogue, table_of

DIALOGUE = table_of(Dialogue)

MOST_LOOKED_AT = 100
"""So many messages with buttons are looked at together, the newest first (ours)."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A message that shows buttons: what its network calls it, and the stage that it asks for."""

    said_as: str
    dialogue: int
    version: int

    def __str__(self) -> str:
        return f"{self.dialogue} {self.version} {self.said_as}"

    @classmethod
    def read(cls, text: str) -> Shown:
        """The same, read back: it is looked at too often for its message to be opened."""
        dialogue, version, said_as = text.split(" ", 2)
        return cls(said_as, int(dialogue), int(version))


_SHOWN = Ready(
    update(OUTBOX).where(OUTBOX.c.id == bindparam("one")).values(said_as=bindparam("said"))
)
_THERE = (
    select(OUTBOX.c.id, OUTBOX.c.chat_id, OUTBOX.c.said_as)
    .where(
        OUTBOX.c.said_as.is_not(None),
        OUTBOX.c.chat_id.in_(
            select(OUTBOX.c.chat_id).where(OUTBOX.c.id.in_(bindparam("rows", expanding=True)))
        ),
    )
    .order_by(OUTBOX.c.id.desc())
    .limit(MOST_LOOKED_AT)
)


def shown(tx: Connection, said: Iterable[tuple[int, Shown]]) -> None:
    """These rows were said, with buttons."""
    _SHOWN.do_each(tx, [{"one": row, "said": str(one)} for row, one in said])


def take_away(tx: Connection, rows: Sequence[int]) -> list[tuple[int, str]]:
    """Of the chats of these rows: messages whose buttons are to be taken away now, each once.

    Their question was answered or has lapsed, or its next stage was said. Chat id, and what the
    network calls the message.
    """
    there = [
        (row.id, row.chat_id, Shown.read(row.said_as))
        for row in tx.execute(_THERE, {"rows": list(rows)})
    ]
    stand = _standing(tx, {one.dialogue for _, _, one in there})
    over = [found for found in there if stand.get(found[2].dialogue) != found[2].version]
    if over:
        gone = OUTBOX.c.id.in_([row for row, _, _ in over])
        tx.execute(update(OUTBOX).where(gone).values(said_as=None))
    return [(chat_id, one.said_as) for _, chat_id, one in over]


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
