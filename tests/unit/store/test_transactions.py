"""Transactions: whole or not at all, one writer after another, and durable once acknowledged."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Connection, insert, select, text, update

from core.store.engine import Store, lock_household
from core.store.opening import open_store
from core.store.tables import Household, table_of

ROOT = Path(__file__).resolve().parents[3]
AT = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
HOUSEHOLD = table_of(Household)


def _move_in(store: Store, name: str = "Birch Street") -> int:
    with store.write() as tx:
        row = {"name": name, "zone": "Europe/Berlin", "settings": "0", "created_at": AT}
        key = tx.execute(insert(HOUSEHOLD).values(row)).inserted_primary_key
    assert key is not None
    return int(key[0])


def _counted(tx: Connection, household: int) -> int:
    one = select(HOUSEHOLD.c.settings).where(HOUSEHOLD.c.id == household)
    return int(tx.execute(one).scalar_one())


def _count_on(store: Store, household: int, times: int) -> None:
    """Read, add one, write: what every command does to its household's state."""
    for _ in range(times):
        with store.write() as tx:
            lock_household(tx, household)
            more = str(_counted(tx, household) + 1)
            tx.execute(update(HOUSEHOLD).where(HOUSEHOLD.c.id == household).values(settings=more))


def _in_threads(store: Store, threads: int, times: int) -> int:
    household = _move_in(store)
    with ThreadPoolExecutor(threads) as pool:
        for done in [pool.submit(_count_on, store, household, times) for _ in range(threads)]:
            done.result()
    with store.read() as tx:
        return _counted(tx, household)


def test_four_threads_lose_no_write_and_none_fails(store: Store) -> None:
    assert _in_threads(store, 4, 60) == 240


def test_threads_take_turns_in_memory() -> None:
    """One connection, so one thread at a time; none may see another's half-done work."""
    store = open_store("sqlite://")
    assert _in_threads(store, 4, 25) == 100
    store.close()


@pytest.mark.parametrize(
    ("pragma", "value"),
    [
        ("journal_mode", "wal"),
        ("synchronous", 2),  # FULL, https://www.sqlite.org/pragma.html#pragma_synchronous
        ("foreign_keys", 1),
        ("busy_timeout", 10_000),
        ("secure_delete", 1),
    ],
)
def test_every_connection_to_a_file_is_set_up(
    sqlite_store: Store, pragma: str, value: object
) -> None:
    with sqlite_store.read() as one, sqlite_store.read() as two:
        for tx in (one, two):
            assert tx.exec_driver_sql(f"PRAGMA {pragma}").scalar() == value


def test_a_write_takes_the_lock_at_once_and_readers_go_on(sqlite_store: Store) -> None:
    household = _move_in(sqlite_store)
    with sqlite_store.write() as tx:
        _counted(tx, household)  # has only read so far
        with sqlite_store.read() as other:
            assert _counted(other, household) == 0
        impatient = sqlite_store.engine.raw_connection()
        impatient.execute("PRAGMA busy_timeout=0")
        with pytest.raises(Exception, match="locked"):
            impatient.execute("BEGIN IMMEDIATE")
        impatient.close()


def _fail_half_way(store: Store) -> None:
    with store.write() as tx:
        tx.execute(update(HOUSEHOLD).values(settings="7"))
        raise ZeroDivisionError


def test_a_block_that_raises_leaves_nothing_behind(store: Store) -> None:
    household = _move_in(store)
    with pytest.raises(ZeroDivisionError):
        _fail_half_way(store)
    with store.read() as tx:
        assert _counted(tx, household) == 0
    _count_on(store, household, 1)  # and nothing stays locked
    with store.read() as tx:
        assert _counted(tx, household) == 1


def test_a_block_that_raises_leaves_nothing_behind_in_memory() -> None:
    store = open_store("sqlite://")
    test_a_block_that_raises_leaves_nothing_behind(store)
    store.close()


@pytest.mark.postgres
def test_two_writers_of_a_household_wait_for_each_other(postgres_database: str) -> None:
    """Seen in the server's own list of who waits for what; another household goes on."""
    store = open_store(postgres_database)
    ours, theirs = _move_in(store), _move_in(store, "Next door")
    waiting = text(
        "SELECT count(*) FROM pg_stat_activity"
        " WHERE datname = current_database() AND wait_event_type = 'Lock'"
    )
    with ThreadPoolExecutor(1) as pool:
        with store.write() as tx:
            lock_household(tx, ours)
            second = pool.submit(_count_on, store, ours, 1)
            for _ in range(1000):
                with store.read() as watcher:
                    if watcher.execute(waiting).scalar() == 1:
                        break
                time.sleep(0.005)
            else:
                pytest.fail("the second writer did not wait")
            _count_on(store, theirs, 1)
            assert not second.done()
            tx.execute(update(HOUSEHOLD).where(HOUSEHOLD.c.id == ours).values(settings="10"))
        second.result(timeout=10)
    with store.read() as tx:
        assert (_counted(tx, ours), _counted(tx, theirs)) == (11, 1)
    store.close()


_WRITER = """
import sys
from datetime import UTC, datetime
from sqlalchemy import insert
from core.store.opening import open_store
from core.store.tables import Household, table_of

store = open_store(sys.argv[1])
row = {"zone": "UTC", "settings": "x" * 8000, "created_at": datetime.now(UTC)}
for number in range(1_000_000):
    with store.write() as tx:
        for half in ("first", "second"):
            tx.execute(insert(table_of(Household)).values(name=f"{number} {half}", **row))
    print(number, flush=True)
    if number == 20:
        with store.write() as tx:
            for _ in range(600):  # more than the cache holds, so that some of it is on the disk
                tx.execute(insert(table_of(Household)).values(name="half done", **row))
            print("in the middle", flush=True)
            sys.stdin.read()
"""


def _killed(url: str, until: Callable[[str], bool]) -> list[str]:
    """Start a writer, kill it after a line that it says; all lines up to then."""
    with subprocess.Popen(
        [sys.executable, "-c", _WRITER, url],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as writer:
        assert writer.stdout is not None
        said = []
        for line in writer.stdout:
            said.append(line.strip())
            if until(said[-1]):
                break
        writer.kill()
        said += [line.strip() for line in writer.stdout]
    assert writer.returncode == -signal.SIGKILL
    return said


def _names(store: Store) -> list[str]:
    with store.read() as tx:
        if tx.dialect.name == "sqlite":
            assert tx.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
            assert tx.exec_driver_sql("PRAGMA foreign_key_check").first() is None
        return list(tx.execute(select(HOUSEHOLD.c.name).order_by(HOUSEHOLD.c.id)).scalars())


def _pairs(numbers: int) -> list[str]:
    return [f"{number} {half}" for number in range(numbers) for half in ("first", "second")]


def test_a_writer_killed_in_the_middle_leaves_nothing_of_it(db_url: str) -> None:
    """kill -9 with half of a transaction on the disk: what was said to be kept is, no more."""
    said = _killed(db_url, lambda line: line == "in the middle")
    assert said == [*map(str, range(21)), "in the middle"]
    store = open_store(db_url)
    assert _names(store) == _pairs(21)
    _move_in(store)  # the dead hold no lock
    store.close()


def test_a_writer_killed_at_any_moment_keeps_what_it_acknowledged(db_url: str) -> None:
    """Somewhere in the stream of transactions; at most the one not yet acknowledged is more."""
    said = _killed(db_url, lambda line: line == "9")
    store = open_store(db_url)
    names = _names(store)
    assert names == _pairs(len(names) // 2)
    assert len(said) <= len(names) // 2 <= len(said) + 1
    store.close()
