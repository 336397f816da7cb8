"""Chats that go, come back and move: on both engines, each change once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import select

from core.actions import chats
from core.journal import plants
from core.store import outbox, people
from core.store.chats import CHAT
from core.store.engine import Store, Transaction
from core.store.opening import open_store
from core.store.outbox import OUTBOX, Fact
from core.store.people import Address, Present

NOW = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
WHERE = ("telegram", "1")


@pytest.fixture
def store(db_url: str) -> Iterator[Store]:
    opened = open_store(db_url)
    yield opened
    opened.close()


def _founded(tx: Transaction, chat: str, who: str) -> Present:
    """A household of its own in a chat."""
    address = Address(*WHERE, chat, who, who)
    return people.welcome(tx, address, NOW, zone="UTC", settings="{}", name=chat)


def _to_say(tx: Transaction, who: Present, occasion: str, due_at: datetime) -> None:
    fact = Fact(who.household_id, who.chat_id, "reminder", occasion, "x", "{}", due_at)
    outbox.put_fact(tx, fact)


def _states(tx: Transaction) -> list[str]:
    return list(tx.execute(select(OUTBOX.c.state).order_by(OUTBOX.c.id)).scalars())


def test_what_waits_is_parked_and_only_what_is_recent_comes_back(store: Store) -> None:
    with store.write() as tx:
        who = _founded(tx, "-1", "Ida")
        _to_say(tx, who, "old", NOW - timedelta(days=3))
        _to_say(tx, who, "new", NOW - timedelta(hours=3))
        assert chats.chat_gone(tx, *WHERE, "-1", NOW)
        assert _states(tx) == ["parked", "parked"]
        assert outbox.claim(tx, "telegram", NOW, 50) == []
        assert chats.chat_back(tx, *WHERE, "-1", NOW)
        assert _states(tx) == ["failed", "waiting"]
        assert len(outbox.claim(tx, "telegram", NOW, 50)) == 1
        assert not chats.chat_gone(tx, *WHERE, "-99", NOW)


def test_a_move_takes_everything_along_once(store: Store) -> None:
    with store.write() as tx:
        who = _founded(tx, "-1", "Ida")
        _to_say(tx, who, "new", NOW)
        assert chats.chat_moved(tx, *WHERE, "-1", "-100")
        assert not chats.chat_moved(tx, *WHERE, "-1", "-100")
        again = people.find(tx, Address(*WHERE, "-100", "Ida", "Ida"))
        assert again
        assert (again.household_id, again.chat_id) == (who.household_id, who.chat_id)
        [parcel] = outbox.claim(tx, "telegram", NOW, 50)
        assert parcel.chat == "-100"


def test_a_new_chat_that_was_spoken_in_takes_over(store: Store) -> None:
    with store.write() as tx:
        old, new = _founded(tx, "-1", "Ida"), _founded(tx, "-100", "Tom")
        plants.create(tx, old.household_id, "Fern")
        _to_say(tx, old, "new", NOW)
        assert chats.chat_moved(tx, *WHERE, "-1", "-100")
        [parcel] = outbox.claim(tx, "telegram", NOW, 50)
        assert (parcel.chat, parcel.chat_id) == ("-100", new.chat_id)
        households = tx.execute(select(CHAT.c.household_id)).scalars().all()
        assert set(households) == {old.household_id}


def test_two_households_with_plants_stay_apart(store: Store) -> None:
    with store.write() as tx:
        old, new = _founded(tx, "-1", "Ida"), _founded(tx, "-100", "Tom")
        for one in (old, new):
            plants.create(tx, one.household_id, "Fern")
        assert not chats.chat_moved(tx, *WHERE, "-1", "-100")
        households = tx.execute(select(CHAT.c.household_id).order_by(CHAT.c.id)).scalars().all()
        assert list(households) == [old.household_id, new.household_id]
