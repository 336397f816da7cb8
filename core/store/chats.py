"""Chats that come and go: gone, back, moved to another address, with what waits for them.

A chat is named by (network, account, address).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, exists, select, update
from sqlalchemy.sql.elements import ColumnElement

from core.store.outbox import CLAIMED, FAILED, UNCERTAIN, WAITING
from core.store.tables import Chat, Dialogue, Household, Outbox, Plant, table_of

CHAT = table_of(Chat)
DIALOGUE = table_of(Dialogue)
HOUSEHOLD = table_of(Household)
OUTBOX = table_of(Outbox)
PLANT = table_of(Plant)

PARKED = "parked"


def _at(network: str, account: str, address: str) -> ColumnElement[bool]:
    same_account = (CHAT.c.network == network) & (CHAT.c.account == account)
    return same_account & (CHAT.c.address == address)


@dataclass(frozen=True, slots=True)
class Known:
    """A chat that we have spoken in, and whose it is; `lives`: that isn't deleted."""

    id: int
    household_id: int
    lives: bool


def find(tx: Connection, network: str, account: str, address: str) -> Known | None:
    """The chat at an address, or None when it is unknown."""
    row = tx.execute(
        select(CHAT.c.id, CHAT.c.household_id, HOUSEHOLD.c.forget_at)
        .join(HOUSEHOLD, HOUSEHOLD.c.id == CHAT.c.household_id)
        .where(_at(network, account, address))
    ).first()
    return Known(row.id, row.household_id, row.forget_at is None) if row else None


def set_gone(tx: Connection, chat_id: int, now: datetime) -> None:
    """Nobody is there: what waits for the chat is parked."""
    tx.execute(update(CHAT).where(CHAT.c.id == chat_id).values(gone_at=now))
    _restate(tx, chat_id, (WAITING, CLAIMED), PARKED)


def set_back(tx: Connection, chat_id: int, keep_since: datetime) -> None:
    """The chat lives again: what was parked since then waits again, older things are dropped."""
    tx.execute(update(CHAT).where(CHAT.c.id == chat_id).values(gone_at=None))
    tx.execute(
        update(OUTBOX)
        .where(OUTBOX.c.chat_id == chat_id, OUTBOX.c.state == PARKED, OUTBOX.c.due_at < keep_since)
        .values(state=FAILED)
    )
    _restate(tx, chat_id, (PARKED,), WAITING)


def _restate(tx: Connection, chat_id: int, states: tuple[str, ...], then: str) -> None:
    tx.execute(
        update(OUTBOX)
        .where(OUTBOX.c.chat_id == chat_id, OUTBOX.c.state.in_(states))
        .values(state=then)
    )


def set_address(tx: Connection, chat_id: int, address: str) -> None:
    """The chat goes on elsewhere."""
    tx.execute(update(CHAT).where(CHAT.c.id == chat_id).values(address=address, gone_at=None))


def set_title(tx: Connection, chat_id: int, title: str) -> None:
    """A group is called something else now; so is its household, if it had the group's name."""
    was = select(CHAT.c.title).where(CHAT.c.id == chat_id).scalar_subquery()
    whose = select(CHAT.c.household_id).where(CHAT.c.id == chat_id).scalar_subquery()
    tx.execute(
        update(HOUSEHOLD)
        .where(HOUSEHOLD.c.id == whose, HOUSEHOLD.c.name == was, HOUSEHOLD.c.name != "")
        .values(name=title)
    )
    tx.execute(update(CHAT).where(CHAT.c.id == chat_id).values(title=title))


def has_plants(tx: Connection, household_id: int) -> bool:
    """Whether a household ever had a plant."""
    return bool(tx.execute(select(exists().where(PLANT.c.household_id == household_id))).scalar())


def give_to(tx: Connection, *, chat_id: int, heir_id: int, household_id: int) -> None:
    """Let one chat take the place of another in a household, with all that waits for the other."""
    tx.execute(update(CHAT).where(CHAT.c.id == heir_id).values(household_id=household_id))
    tx.execute(
        update(HOUSEHOLD).where(HOUSEHOLD.c.home_chat_id == chat_id).values(home_chat_id=heir_id)
    )
    tx.execute(
        update(DIALOGUE)
        .where(DIALOGUE.c.chat_id == chat_id, DIALOGUE.c.closed_at.is_(None))
        .values(chat_id=heir_id)
    )
    tx.execute(
        update(OUTBOX)
        .where(OUTBOX.c.chat_id == chat_id, OUTBOX.c.state.in_((WAITING, CLAIMED, PARKED)))
        .values(chat_id=heir_id)
    )


def set_uncertain(tx: Connection, outbox_id: int, now: datetime) -> None:
    """A message may have arrived; it is not sent again."""
    tx.execute(update(OUTBOX).where(OUTBOX.c.id == outbox_id).values(state=UNCERTAIN, sent_at=now))
