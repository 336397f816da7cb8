"""A deleted household leaves nothing in any table, and takes nothing of another's with it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection, Table, insert, select, update

from core.store import forgetting, sweeping
from core.store.engine import Store
from core.store.opening import open_store
from core.store.tables import Base

NOW = datetime(2026, 3, 2, 12, tzinfo=UTC)
LATER = NOW + forgetting.LAST
TABLES = Base.metadata.tables

# What no household has: ids of messages, lest one that comes again counts twice; how far a network
# was heard; what a weather service said of an area. A new table is put here only with a reason.
NOBODYS = {"inbox", "bookmark", "forecast"}
# What stays for two days, empty, for those who are to hear of it.
EMPTY = {"household", "chat", "membership", "person", "identity"}


def _leads_to_a_household(table: Table) -> bool:
    return table.name in ("household", "person") or any(
        _leads_to_a_household(key.column.table)
        for key in table.foreign_keys
        if key.column.table is not table and key.column.table.name != "inbox"
    )


def _rows(tx: Connection) -> dict[str, dict[int, tuple[Any, ...]]]:
    """All that is kept: table -> id -> row."""
    return {
        name: {row.id: tuple(row) for row in tx.execute(select(table))}
        for name, table in TABLES.items()
    }


@pytest.fixture
def street(store: Store, fill: Callable[[Connection], dict[str, int]]) -> Store:
    """Three households with a row in every table each: the first, the second, the third."""
    with store.write() as tx:
        fill(tx)
        tx.execute(update(TABLES["household"]).values(forget_at=None))
        tx.execute(update(TABLES["inbox"]).values(state="done"))
        tx.execute(update(TABLES["chat"]).values(gone_at=None))
    return store


def test_every_table_is_a_households_or_is_thought_of() -> None:
    theirs = {name for name, table in TABLES.items() if _leads_to_a_household(table)}
    assert set(TABLES) - theirs == NOBODYS


def test_all_that_was_told_goes_at_once(street: Store) -> None:
    with street.write() as tx:
        before = _rows(tx)
        forgetting.empty(tx, 1, None, NOW)
        after = _rows(tx)
    assert {name for name, rows in after.items() if 1 in rows} == NOBODYS | EMPTY
    for name, rows in before.items():
        others = {one: row for one, row in rows.items() if one != 1}
        assert {one: row for one, row in after[name].items() if one != 1} == others, name
    household = dict(zip(TABLES["household"].c.keys(), after["household"][1], strict=True))
    kept = {key: value for key, value in household.items() if value not in (None, "", "{}")}
    assert kept == {"id": 1, "zone": "UTC", "created_at": kept["created_at"], "forget_at": LATER}
    message = dict(zip(TABLES["inbox"].c.keys(), after["inbox"][1], strict=True))
    assert (message["payload"], message["state"]) == ("{}", sweeping.EMPTIED)


def test_messages_of_its_groups_lose_their_words(street: Store) -> None:
    """Those that told nothing, too; not what is still to be worked on, nor another's."""
    inbox = TABLES["inbox"]
    told = {"message": "m", "told_at": NOW, "attempts": 0, "payload": "words"}
    with street.write() as tx:
        chats = tx.execute(select(TABLES["chat"]).order_by(TABLES["chat"].c.id)).all()
        for n, (chat, state) in enumerate(
            ((chats[0], "done"), (chats[0], "new"), (chats[1], "done"))
        ):
            where = {"network": chat.network, "account": chat.account, "chat": chat.address}
            tx.execute(insert(inbox).values(id=10 + n, edit=n, state=state, **where, **told))
        forgetting.empty(tx, 1, None, NOW)
        kept = select(inbox.c.payload).where(inbox.c.id >= 10).order_by(inbox.c.id)
        assert list(tx.execute(kept).scalars()) == ["{}", "words", "words"]


def test_its_last_rows_go_two_days_later(street: Store) -> None:
    with street.write() as tx:
        assert not forgetting.let_go(tx, 1, LATER)  # it lives
        before = _rows(tx)
        forgetting.empty(tx, 1, None, NOW)
        assert forgetting.next_due(tx) == LATER
        assert forgetting.due(tx, LATER - timedelta(seconds=1), 10) == []
        assert [one.id for one in forgetting.due(tx, LATER, 10)] == [1]
        assert not forgetting.let_go(tx, 1, LATER - timedelta(seconds=1))
        assert forgetting.let_go(tx, 1, LATER)
        after = _rows(tx)
        assert forgetting.next_due(tx) is None
    assert {name for name, rows in after.items() if 1 in rows} == NOBODYS
    for name, rows in before.items():
        others = {one: row for one, row in rows.items() if one != 1}
        assert {one: row for one, row in after[name].items() if one != 1} == others, name


def test_what_another_household_names_stays_for_it(street: Store) -> None:
    """A private chat in which another household once spoke, until those words are old."""
    dialogue = TABLES["dialogue"]
    with street.write() as tx:
        tx.execute(update(dialogue).where(dialogue.c.id == 2).values(chat_id=1))
        forgetting.empty(tx, 1, None, NOW)
        assert not forgetting.let_go(tx, 1, LATER)
        assert forgetting.next_due(tx) == LATER + sweeping.KEPT
        kept = {name for name, rows in _rows(tx).items() if 1 in rows}
        assert kept == NOBODYS | EMPTY
        tx.execute(update(dialogue).where(dialogue.c.id == 2).values(chat_id=2))
        assert forgetting.let_go(tx, 1, LATER + sweeping.KEPT)
        assert {name for name, rows in _rows(tx).items() if 1 in rows} == NOBODYS


# What still names somebody who is forgotten, as nobody: what they did, where they spoke.
NAMELESS = {"event", "membership", "dialogue", "chat"}
# What is theirs, and goes with them.
THEIRS = {"identity", "invite", "outbox", "photo"}


def test_somebody_who_is_forgotten_leaves_what_they_did(
    sqlite_store: Store, fill: Callable[[Connection], dict[str, int]]
) -> None:
    naming = {
        name
        for name, table in TABLES.items()
        if any(key.column.table.name == "person" for key in table.foreign_keys)
    }
    assert naming == NAMELESS | THEIRS
    with sqlite_store.write() as tx:
        fill(tx)
        tx.execute(update(TABLES["household"]).values(forget_at=None, home_chat_id=None))
        tx.execute(update(TABLES["inbox"]).values(state="done"))
        before = _rows(tx)
        said = '"sender":"address 1"'
        tx.execute(update(TABLES["inbox"]).where(TABLES["inbox"].c.id != 3).values(payload=said))
        where = {"network": "network 1", "account": "account 1"}
        tx.execute(update(TABLES["inbox"]).where(TABLES["inbox"].c.id == 1).values(where))
        sender = {"sender": "network 1:account 1:address 1"}
        tx.execute(update(TABLES["guess"]).where(TABLES["guess"].c.id == 1).values(sender))
        shell = forgetting.forget_person(tx, 1, None, NOW)
        after = _rows(tx)
        inbox = TABLES["inbox"]
        words = tx.execute(select(inbox.c.payload).order_by(inbox.c.id)).scalars().all()
        assert tx.execute(select(TABLES["person"].c.name)).scalars().first() == ""
        assert forgetting.let_go(tx, shell, LATER)
        assert tx.execute(select(TABLES["person"].c.id)).scalars().all() == [1, 2, 3]
    assert words == ["{}", said, "payload 3"]  # the second came by another account
    assert {name for name, rows in before.items() if set(rows) - set(after[name])} == {
        *THEIRS,
        "guess",
    }
    for name, rows in before.items():
        others = {one: row for one, row in rows.items() if one != 1 and name != "inbox"}
        assert {one: row for one, row in after[name].items() if one in others} == others, name


def test_no_other_household_is_at_home_in_a_chat_that_went(street: Store) -> None:
    """Its number may be another chat's some day."""
    household = TABLES["household"]
    with street.write() as tx:
        tx.execute(update(household).values(home_chat_id=1))
        forgetting.empty(tx, 1, None, NOW)
        assert forgetting.let_go(tx, 1, LATER)
        assert set(tx.execute(select(household.c.home_chat_id)).scalars()) == {None}


def test_nothing_of_it_is_left_in_the_file(
    sqlite_url: str, fill: Callable[[Connection], dict[str, int]]
) -> None:
    """Words, a picture, a name: not in the pages that became free, nor in the log."""
    secrets = {
        ("event", "body"): b"qsecretbodyq",
        ("photo", "content"): b"qsecretpictureq" * 400,
        ("person", "name"): b"qsecretnameq",
        ("inbox", "payload"): b"qsecretwordsq" * 400,
    }
    store = open_store(sqlite_url)
    path = sqlite_url.removeprefix("sqlite:///")

    def left() -> set[bytes]:
        files = [Path(path + end).read_bytes() for end in ("", "-wal")]
        return {one[:13] for one in secrets.values() if any(one[:13] in some for some in files)}

    with store.write() as tx:
        fill(tx)
        tx.execute(update(TABLES["household"]).values(forget_at=None))
        tx.execute(update(TABLES["inbox"]).values(state="done"))
        for (table, column), secret in secrets.items():
            value = secret if column == "content" else secret.decode()
            tx.execute(update(TABLES[table]).where(TABLES[table].c.id == 1).values({column: value}))
    assert len(left()) == len(secrets)
    with store.write() as tx:
        forgetting.empty(tx, 1, None, NOW)
    with store.write() as tx:
        assert forgetting.let_go(tx, 1, LATER)
    store.scrub()
    assert left() == set()
    store.close()


@pytest.mark.parametrize("table", ["outbox", "dialogue", "photo"])
def test_a_number_that_networks_know_is_never_given_twice(
    sqlite_store: Store, fill: Callable[[Connection], dict[str, int]], table: str
) -> None:
    """A button under an old message, a message sent under its number."""
    found = TABLES[table]
    with sqlite_store.write() as tx:
        fill(tx)
        row = dict(tx.execute(select(found).where(found.c.id == 3)).mappings().one())
        for one in (1, 2, 3):
            forgetting.empty(tx, one, None, NOW)
        assert tx.execute(select(found)).all() == []
        anew = {name: None if name in ("id", "plant_id") else value for name, value in row.items()}
        key = tx.execute(insert(found).values(anew)).inserted_primary_key
        assert key is not None
        assert key[0] > 3
