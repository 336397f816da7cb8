"""Several at work on one database: each message once, each row once, nobody locked out."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from functools import partial
from threading import Barrier
from typing import TYPE_CHECKING, Any

import pytest
from sqlalchemy import insert, text

from bot.talk import reception
from bot.talk.message import Message
from core.actions import chats, pouring
from core.store import belonging, dialogues, forgetting, inbox, outbox, people
from core.store.engine import Store, Transaction, lock_household
from core.store.opening import open_store
from core.store.people import Address
from core.store.tables import Plant, table_of
from tests.faults.child import BEGINS, Child

if TYPE_CHECKING:
    from pathlib import Path

    from tests.faults.conftest import Home

PLANT = table_of(Plant)
FERN = "/add Fern, Boston fern, 15 cm pot, bathroom, north window"


def _together(*works: Callable[[], object]) -> None:
    """Do all of it at once, as far as there are processors."""
    barrier = Barrier(len(works))

    def begin(work: Callable[[], object]) -> None:
        barrier.wait()
        work()

    with ThreadPoolExecutor(len(works)) as pool:
        for done in [pool.submit(begin, work) for work in works]:
            done.result()


# --- threads of one process ---------------------------------------------------------------------


def test_a_house_hears_several_threads(home: Home) -> None:
    home.say(FERN)
    messages = [[home.message(f"/turn fern {n} {k}") for k in range(15)] for n in range(4)]

    def talk(mine: list[Message]) -> None:
        for one in mine:
            home.house.hear(one)

    _together(*(partial(talk, mine) for mine in messages), home.house.tick)
    assert home.count("event") == 61
    assert len(home.wall.heard) == 61
    assert {state for (state,) in home.rows("outbox", "state")} == {"sent"}
    assert home.differences() == []


def test_a_house_in_memory_hears_several_threads(move_in: Callable[[Store], Home]) -> None:
    store = open_store("sqlite://")
    test_a_house_hears_several_threads(move_in(store))
    store.close()


def test_the_same_message_in_several_threads_counts_once(home: Home) -> None:
    home.say(FERN)
    check = home.message("fern 3 4")
    _together(*[lambda: home.house.hear(check)] * 6)
    assert home.count("event") == 2
    assert len(home.wall.heard) == 2


# --- several houses on one database -------------------------------------------------------------


@pytest.fixture
def pair(home: Home, db_url: str) -> Iterator[tuple[Home, Home]]:
    """The house, and another on the same database with connections of its own."""
    store = open_store(db_url)
    yield home, type(home)(store)
    store.close()


def test_two_houses_work_on_a_message_once(pair: tuple[Home, Home]) -> None:
    """Both find it waiting; one gets it, the other sees that it is done."""
    one = pair[0]
    one.say(FERN)
    for number in range(20):
        check = one.message(f"fern {1 + number % 9} 4")
        inbox_id = one.house.reception.take_in(check)
        assert inbox_id is not None

        _together(*(partial(home.house.reception.attend, inbox_id) for home in pair))
    assert one.count("event") == 21
    assert one.count("outbox") == 21
    assert {tries for (tries,) in one.rows("inbox", "attempts")} == {0}


def _portions(store: Store) -> int:
    """Of the one pour that is under way."""
    with store.read() as tx:
        (talk,) = dialogues.open_about(tx, 1, pouring.SUBJECT)
    return len(pouring.pour_of(talk).poured_l)


def test_two_houses_answer_one_step_of_a_pour(pair: tuple[Home, Home]) -> None:
    """Ida and Tom both press "Poured": one moves the pour on, the other hears how it stands."""
    one, two = pair
    one.say(FERN)
    one.say("fern 3 4")
    for _ in range(5):
        one.say("/pour fern anyway")
        first = len(one.wall.heard)
        ida = one.message("/pour fern poured", who="Ida")
        tom = one.message("/pour fern poured", who="Tom")
        _together(partial(one.house.hear, ida), partial(two.house.hear, tom))
        said = [one.text for one in (*one.wall.heard[first:], *two.wall.heard)]
        assert len(said) == len(set(said)) == 2
        assert _portions(one.store) == 1
        one.say("/pour fern cancel")
        two.wall.heard.clear()
    assert one.differences() == []


def test_two_people_tell_of_one_watering(pair: tuple[Home, Home]) -> None:
    """Ida and Tom both tell it in the same moment: one is kept, the other is asked."""
    one, two = pair
    one.say(FERN)
    for n in range(1, 4):
        first = len(one.wall.heard)
        ida = one.message("gave fern 400 ml", who="Ida")
        tom = one.message("gave fern 400 ml", who="Tom")
        _together(partial(one.house.hear, ida), partial(two.house.hear, tom))
        said = [one.text for one in (*one.wall.heard[first:], *two.wall.heard)]
        assert len([text for text in said if "400 ml given" in text]) == 1, said
        assert len([text for text in said if "Is this another watering?" in text]) == 1, said
        assert one.count("event") == 1 + n
        two.wall.heard.clear()
        for home in pair:
            home.clock.move_to(home.clock.now() + timedelta(days=1))


def test_two_houses_sweep_what_is_due_once(pair: tuple[Home, Home]) -> None:
    one, two = pair
    for name in ("Fern", "Ivy", "Goldie", "Fig"):
        one.say(f"/add {name}, Boston fern, 15 cm pot, hall, north window")
        one.say(f"{name} 3 4")
        one.say(f"/pour {name}")
        one.say(f"/pour {name} poured")
    one.wall.heard.clear()
    for home_ in (one, two):
        home_.clock.move_to(home_.clock.now() + timedelta(minutes=8))
    _together(one.house.tick, two.house.tick)
    assert Counter(one.wall.texts + two.wall.texts).most_common(1)[0][1] == 1
    assert len(one.wall.heard) + len(two.wall.heard) == 4


def test_strangers_in_the_same_moment_found_one_household(pair: tuple[Home, Home]) -> None:
    one, two = pair
    ida, tom = one.message("/help", who="Ida"), one.message("/help", who="Tom")
    _together(lambda: one.house.hear(ida), lambda: two.house.hear(tom))
    assert one.count("household") == 1
    assert one.count("membership") == 2
    assert len(one.wall.heard) + len(two.wall.heard) == 2


@pytest.mark.postgres
def test_who_comes_second_founds_nothing(
    postgres_database: str, move_in: Callable[[Store], Home], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first is committed just after the second saw nobody there: the chat used to change."""
    store, other = open_store(postgres_database), open_store(postgres_database)
    first, second = move_in(store), move_in(other)
    tom, ida = first.message("/help", who="Tom"), first.message("/help", who="Ida")
    real, late = people.found, [tom]

    def found(*told: Any, **more: Any) -> int:
        if late:
            first.house.hear(late.pop())
        return real(*told, **more)

    monkeypatch.setattr(people, "found", found)
    second.house.hear(ida)
    assert [first.count(table) for table in ("household", "membership", "person")] == [1, 2, 2]
    assert len(first.wall.heard) == len(second.wall.heard) == 1
    other.close()
    store.close()


@pytest.mark.postgres
def test_two_workers_claim_each_row_once(
    postgres_database: str, move_in: Callable[[Store], Home]
) -> None:
    """SKIP LOCKED: the second takes what the first has not, without waiting for it."""
    store, other = open_store(postgres_database), open_store(postgres_database)
    home = move_in(store)
    for _ in range(10):
        inbox_id = home.house.reception.take_in(home.message("/help"))
        assert inbox_id is not None
        home.house.reception.attend(inbox_id)
    with store.write() as first, other.write() as second:
        mine = outbox.claim(first, "terminal", home.clock.now(), 6)
        theirs = outbox.claim(second, "terminal", home.clock.now(), 6)
    assert [len(mine), len(theirs)] == [6, 4]
    assert len({one.id for one in (*mine, *theirs)}) == 10
    with store.write() as tx:
        assert outbox.claim(tx, "terminal", home.clock.now(), 6) == []
    other.close()
    store.close()


@pytest.mark.postgres
def test_a_message_in_hand_is_nobody_elses(
    postgres_database: str, move_in: Callable[[Store], Home]
) -> None:
    store, other = open_store(postgres_database), open_store(postgres_database)
    home = move_in(store)
    home.say("/help")
    inbox_id = home.house.reception.take_in(home.message("/plants"))
    assert inbox_id is not None

    def second() -> object:
        with other.write() as tx:
            return inbox.open_entry(tx, inbox_id)

    with ThreadPoolExecutor(1) as pool:
        with store.write() as tx:
            assert inbox.open_entry(tx, inbox_id) is not None
            waiting = pool.submit(second)
            lock_household(tx, 1)
            inbox.finish(tx, inbox_id)
            assert not waiting.done()
        assert waiting.result(timeout=10) is None
    other.close()
    store.close()


# --- a chat that comes to speak of another household ---------------------------------------------

WAITING = text(
    "SELECT count(*) FROM pg_stat_activity"
    " WHERE datname = current_database() AND wait_event_type = 'Lock'"
)


def _until_waits(store: Store) -> None:
    """Until another transaction waits for a lock, as the server's own list tells."""
    for _ in range(1000):
        with store.read() as tx:
            if tx.execute(WAITING).scalar() == 1:
                return
        time.sleep(0.005)
    pytest.fail("nobody waits for a lock")


@pytest.fixture
def moving(postgres_database: str, move_in: Callable[[Store], Home]) -> Iterator[Home]:
    """A house on a server whose main chat speaks of household 1; there is a household 2."""
    store = open_store(postgres_database)
    home = move_in(store)
    home.say(FERN)
    with store.write() as tx:
        there = people.found(tx, "Next door", BEGINS, zone="Europe/Berlin", settings="{}")
        belonging.set_part(tx, there, 1, people.KEEPER, since=BEGINS)
        assert there == 2
    yield home
    store.close()


@pytest.mark.postgres
def test_a_chat_changes_household_while_its_message_waits(
    moving: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The message counts where the chat belongs by then, and waits for that household too."""
    locked: list[int] = []

    def lock(tx: Transaction, household_id: int) -> bool:
        locked.append(household_id)
        return lock_household(tx, household_id)

    monkeypatch.setattr(reception, "lock_household", lock)
    with ThreadPoolExecutor(1) as pool:
        with moving.store.write() as tx:
            lock_household(tx, 1)
            said = pool.submit(moving.say, "/add Ivy, English ivy, 12 cm pot, hall, north window")
            _until_waits(moving.store)
            belonging.point(tx, 1, 2)
        assert "Ivy is on the list" in said.result(timeout=10)
    assert locked == [1, 2]
    assert moving.rows("plant", "household_id", "name") == [(1, "Fern"), (2, "Ivy")]
    assert moving.rows("inbox", "state", "attempts") == [("done", 0)] * 2


def _delete_while(home: Home, work: Callable[[], object]) -> None:
    """Delete household 1 while this waits for it."""
    with ThreadPoolExecutor(1) as pool:
        with home.store.write() as tx:
            lock_household(tx, 1)
            done = pool.submit(work)
            _until_waits(home.store)
            forgetting.empty(tx, 1, None, home.clock.now())
        done.result(timeout=10)
    assert home.differences() == []


@pytest.mark.postgres
def test_a_household_is_deleted_while_its_message_waits(moving: Home) -> None:
    """The message counts in a new household."""
    _delete_while(moving, partial(moving.say, "/plants"))
    assert "I don't know any plants here yet" in moving.wall.texts[-1]
    ((household,),) = moving.rows("chat", "household_id")
    assert household > 2
    assert moving.rows("inbox", "state", "attempts") == [("emptied", 0), ("done", 0)]


@pytest.mark.postgres
def test_a_household_is_deleted_while_its_pour_is_moved_on(moving: Home) -> None:
    for line in ("fern 3 4", "/pour fern", "/pour fern poured"):
        moving.say(line)
    heard = len(moving.wall.heard)
    moving.clock.move_to(moving.clock.now() + timedelta(minutes=8))
    _delete_while(moving, moving.house.tick)
    assert len(moving.wall.heard) == heard


@pytest.mark.postgres
def test_a_chat_moves_on_into_one_that_just_got_a_plant(moving: Home) -> None:
    """Whether a household has plants is asked once nobody is just adding one."""
    store, where = moving.store, Address("terminal", "local", "new", "Ida", "Ida")
    moving.house.hear(Message(where, "first", "/help", moving.clock.now()))
    (heir,) = [one for chat, one in moving.rows("chat", "address", "household_id") if chat == "new"]

    def move() -> bool:
        with store.write() as tx:
            return chats.chat_moved(tx, "terminal", "local", "main", "new")

    with ThreadPoolExecutor(1) as pool:
        with store.write() as tx:
            lock_household(tx, heir)
            moved = pool.submit(move)
            _until_waits(store)
            ivy = {"household_id": heir, "name": "Ivy", "name_key": "ivy", "state": "{}"}
            tx.execute(insert(PLANT).values(room="", **ivy))
        assert moved.result(timeout=10) is False
    assert ("new", heir) in moving.rows("chat", "address", "household_id")


# --- whole programs on one database -------------------------------------------------------------


def test_two_terminals_on_one_database(db_url: str, tmp_path: Path) -> None:
    """Each gets the answers to its own lines, in order, and none is told that it is locked."""
    errors = tmp_path / "stderr"
    ida = Child(db_url, BEGINS, errors, who="Ida")
    ida.feed(FERN, "fern 3 4", "/pour fern")
    ida.until_done(3)
    tom = Child(db_url, BEGINS, errors, who="Tom")
    tom.feed("")
    tom.until_done(1)
    mine, his = ([f"/gave {who} {n} ml" for n in range(20, 50)] for who in ("ivy", "fig"))
    lines = {ida: ["/pour fern poured", *mine], tom: ["/pour fern poured", *his]}
    for child, texts in lines.items():
        child.feed(*texts)
    said = []
    for child, before in ((ida, 3), (tom, 1)):
        child.until_done(before + len(lines[child]))
        child.leave()
        told = [one for one in child.said if one["event"] == "message"][before - (child is tom) :]
        said.append([one["text"] for one in told])
        assert len(told) == len(lines[child])
    assert said[0][0] != said[1][0]
    store = open_store(db_url)
    assert _portions(store) == 1
    store.close()
    assert errors.read_text() == ""


def test_a_whole_conversation(db_url: str, tmp_path: Path) -> None:
    """Add, check, pour with its timer, take back, and start again in the middle."""
    errors = tmp_path / "stderr"
    child = Child(db_url, BEGINS, errors)
    child.feed(FERN, "fern 3 4", "/pour fern", "poured", ":restart", ":wait 8m", "no", "poured")
    child.feed(":again 2", ":again 8", ":again 1")
    child.until_done(11)
    child.leave()
    assert [one["event"] for one in child.said[-5:]] == ["message", *["done"] * 4]
    child = Child(db_url, BEGINS + timedelta(minutes=8), errors)
    child.feed("/undo", "/undo", "/story fern")
    child.until_done(3)
    child.leave()
    texts = [one["text"].splitlines()[0] for one in child.said if one["event"] == "message"]
    assert texts[:2] == ["Taken back: Fern 400 ml given.", "Taken back: Fern 3 and 4."]
    assert errors.read_text() == ""
