"""Households by the moment at which their round is due, and what of a round waits to be sent."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, and_, bindparam, func, select, update

from core.store.dialogues import Due
from core.store.outbox import OUTBOX, REMINDER, WAITING
from core.store.people import KEEPER, SITTER
from core.store.tables import Chat, Household, Membership, table_of

HOUSEHOLD = table_of(Household)
CHAT = table_of(Chat)
MEMBERSHIP = table_of(Membership)

DROPPED = "dropped"
"""What became of a reminder that something newer took the place of."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A household's round: when it is due, what that was worked out from, and its ways.

    `open`: in its home chat we may speak.
    """

    household_id: int
    zone: str
    settings: str
    home_chat_id: int | None
    round_at: datetime | None
    round_rule: str | None
    open: bool


_NEXT = select(func.min(HOUSEHOLD.c.round_at))
_DUE = (
    select(HOUSEHOLD.c.id)
    .where(HOUSEHOLD.c.round_at <= bindparam("now"))
    .order_by(HOUSEHOLD.c.round_at)
    .limit(bindparam("most"))
)
_AHEAD = (
    select(HOUSEHOLD.c.id)
    .where(HOUSEHOLD.c.round_at > bindparam("furthest"))
    .limit(bindparam("most"))
)
_PLANNED = (
    select(
        HOUSEHOLD.c.id,
        HOUSEHOLD.c.zone,
        HOUSEHOLD.c.settings,
        HOUSEHOLD.c.home_chat_id,
        HOUSEHOLD.c.round_at,
        HOUSEHOLD.c.round_rule,
        and_(CHAT.c.id.is_not(None), CHAT.c.gone_at.is_(None)),
    )
    .outerjoin(CHAT, CHAT.c.id == HOUSEHOLD.c.home_chat_id)
    .where(HOUSEHOLD.c.id.in_(bindparam("ids", expanding=True)))
)
_PLAN = (
    update(HOUSEHOLD)
    .where(HOUSEHOLD.c.id == bindparam("one"))
    .values(round_at=bindparam("due"), round_rule=bindparam("rule"))
)


def next_due(tx: Connection) -> datetime | None:
    """When the next household's round is due."""
    due_at: datetime | None = tx.execute(_NEXT).scalar()
    return due_at


def due(tx: Connection, now: datetime, furthest: datetime, limit: int) -> list[Due]:
    """Households whose round is due, the longest first; and those planned later than can be."""
    rows = tx.execute(_DUE, {"now": now, "most": limit}).all()
    ahead = tx.execute(_AHEAD, {"furthest": furthest, "most": limit}).all()
    return [Due(row.id, row.id) for row in (*rows, *ahead)]


def planned(tx: Connection, household_id: int) -> Planned | None:
    """What is planned for a household; None when there is none such any more."""
    return next(iter(planned_of(tx, [household_id])), None)


def planned_of(tx: Connection, household_ids: Sequence[int]) -> list[Planned]:
    """The same for several, as far as they are there."""
    return [Planned(*row) for row in tx.execute(_PLANNED, {"ids": list(household_ids)})]


@dataclass(frozen=True, slots=True)
class Plan:
    """When a household's next round is due (None: never), and what that follows from."""

    household_id: int
    at: datetime | None
    rule: str


def plan(tx: Connection, plans: Sequence[Plan]) -> None:
    """Keep when next rounds are due."""
    rows = [{"one": one.household_id, "due": one.at, "rule": one.rule} for one in plans]
    if rows:
        tx.execute(_PLAN, rows)


_KEEPERS = (
    select(CHAT.c.id)
    .join(MEMBERSHIP, MEMBERSHIP.c.person_id == CHAT.c.person_id)
    .where(
        MEMBERSHIP.c.household_id == bindparam("household"),
        MEMBERSHIP.c.role == KEEPER,
        CHAT.c.direct,
        CHAT.c.gone_at.is_(None),
    )
    .order_by(CHAT.c.id)
)


def keeper_chats(tx: Connection, household_id: int) -> list[int]:
    """Private chats of a household's keepers in which we may speak, by age."""
    return [row.id for row in tx.execute(_KEEPERS, {"household": household_id})]


_SITTER = (
    select(MEMBERSHIP.c.id)
    .where(
        MEMBERSHIP.c.household_id == bindparam("household"),
        MEMBERSHIP.c.role == SITTER,
        MEMBERSHIP.c.since <= bindparam("now"),
        MEMBERSHIP.c.until > bindparam("now"),
    )
    .limit(1)
)


def has_sitter(tx: Connection, household_id: int, now: datetime) -> bool:
    """Whether somebody looks after the plants in these days."""
    return tx.execute(_SITTER, {"household": household_id, "now": now}).first() is not None


_SAID = select(OUTBOX.c.id).where(
    OUTBOX.c.chat_id == bindparam("chat"),
    OUTBOX.c.kind == REMINDER,
    OUTBOX.c.occasion == bindparam("occasion"),
)


def was_said(tx: Connection, chat_id: int, occasion: str) -> bool:
    """Whether a reminder of this occasion is, or was, on its way to a chat."""
    return tx.execute(_SAID, {"chat": chat_id, "occasion": occasion}).first() is not None


_DROP = (
    update(OUTBOX)
    .where(
        OUTBOX.c.chat_id == bindparam("chat"),
        OUTBOX.c.kind == REMINDER,
        OUTBOX.c.occasion >= bindparam("first"),
        OUTBOX.c.occasion < bindparam("before"),
        OUTBOX.c.state == WAITING,
    )
    .values(state=DROPPED)
)


def drop_unsent(tx: Connection, chat_id: int, first: str, before: str) -> int:
    """Give up reminders that wait, of occasions from one to before another; how many.

    Something newer takes their place: nobody hears of last week when a network comes back.
    """
    done = tx.execute(_DROP, {"chat": chat_id, "first": first, "before": before})
    return int(done.rowcount)
