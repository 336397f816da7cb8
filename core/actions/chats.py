"""What a network tells about a chat: nobody there, somebody again, moved, a doubtful delivery."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy import Connection

from core.store import chats

# What waited for longer than this while a chat was gone is of no use to anybody any more.
WORTH_SAYING = timedelta(days=2)


def chat_gone(tx: Connection, network: str, account: str, address: str, now: datetime) -> bool:
    """We were blocked or removed: nothing more is sent there. False when the chat is unknown."""
    chat = chats.find(tx, network, account, address)
    if chat is not None:
        chats.set_gone(tx, chat.id, now)
    return chat is not None


def chat_back(tx: Connection, network: str, account: str, address: str, now: datetime) -> bool:
    """We may speak there again: what was parked lately goes out. False when unknown."""
    chat = chats.find(tx, network, account, address)
    if chat is not None:
        chats.set_back(tx, chat.id, now - WORTH_SAYING)
    return chat is not None


def chat_moved(tx: Connection, network: str, account: str, old: str, new: str) -> bool:
    """A chat goes on under another address. True when something was moved; twice moves once.

    If the new address has been spoken in already, it takes over the household of the old one,
    unless its own household has plants by now: then both stay as they are.
    """
    chat = chats.find(tx, network, account, old)
    if chat is None or old == new:
        return False
    heir = chats.find(tx, network, account, new)
    if heir is None:
        chats.set_address(tx, chat.id, new)
        return True
    if heir.household_id == chat.household_id or chats.has_plants(tx, heir.household_id):
        return False
    chats.give_to(tx, chat_id=chat.id, heir_id=heir.id, household_id=chat.household_id)
    return True


def delivery_uncertain(tx: Connection, outbox_id: int, now: datetime) -> None:
    """A message may or may not have arrived: kept for the operator to see, never sent again."""
    chats.set_uncertain(tx, outbox_id, now)
