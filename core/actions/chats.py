"""What a network tells about a chat: nobody there, somebody again, moved, a doubtful delivery."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from core.care import wallclock
from core.journal import settings
from core.store import chats, outbox, rounds
from core.store.engine import lock_household
from core.store.outbox import Fact

GONE = "chat-gone"

# What waited for longer than this while a chat was gone is of no use to anybody any more.
WORTH_SAYING = timedelta(days=2)


def chat_gone(tx: Connection, network: str, account: str, address: str, now: datetime) -> bool:
    """We were blocked or removed: nothing more is sent there. False when the chat is unknown.

    If it was where the household hears what is said unasked, its keepers are told in private,
    after the quiet hours.
    """
    chat = chats.find(tx, network, account, address)
    if chat is None:
        return False
    chats.set_gone(tx, chat.id, now)
    _tell_keepers(tx, chat, now)
    return True


def _tell_keepers(tx: Connection, chat: chats.Known, now: datetime) -> None:
    found = rounds.planned(tx, chat.household_id)
    if found is None or found.home_chat_id != chat.id:
        return
    quiet = settings.read(found.settings).quiet
    due_at = wallclock.out_of_quiet(quiet, ZoneInfo(found.zone), now)
    for keeper_chat in rounds.keeper_chats(tx, chat.household_id):
        outbox.put_fact(
            tx,
            Fact(
                household_id=chat.household_id,
                chat_id=keeper_chat,
                kind=outbox.REMINDER,
                occasion=f"gone.{chat.id}.{now.date().isoformat()}",
                topic=GONE,
                facts="{}",
                due_at=due_at,
            ),
        )


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
    if heir.household_id == chat.household_id:
        return False
    for one in sorted((chat.household_id, heir.household_id)):
        lock_household(tx, one)
    if [chats.find(tx, network, account, one) for one in (old, new)] != [chat, heir]:
        return chat_moved(tx, network, account, old, new)  # they changed while we waited
    if not chat.lives or chats.has_plants(tx, heir.household_id):
        return False
    chats.give_to(tx, chat_id=chat.id, heir_id=heir.id, household_id=chat.household_id)
    return True


def chat_renamed(tx: Connection, network: str, account: str, address: str, title: str) -> bool:
    """A group is called something else. Its household follows while nobody has named it.

    False when the chat is unknown or the title empty.
    """
    chat = chats.find(tx, network, account, address)
    if chat is None or not title:
        return False
    chats.set_title(tx, chat.id, title)
    return True


def delivery_uncertain(tx: Connection, outbox_id: int, now: datetime) -> None:
    """A message may or may not have arrived: kept for the operator to see, never sent again."""
    chats.set_uncertain(tx, outbox_id, now)
