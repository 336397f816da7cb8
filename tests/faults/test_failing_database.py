"""A database that gives way: a clear refusal, nothing half written, and on again once it's back."""

from __future__ import annotations

import json
import resource
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from sqlalchemy import create_engine, event, text
from structlog.testing import capture_logs

from bot.talk import conversation
from bot.talk.message import Reply
from bot.talk.turn import Turn
from bot.transports.desk import NotKeptError, PutOffError
from core.store.engine import StoreFailedError
from tests.faults.child import BEGINS, Child

if TYPE_CHECKING:
    from tests.faults.conftest import Home

FERN = "/add Fern, Boston fern, 15 cm pot, bathroom, north window"


@contextmanager
def _with_pragma(home: Home, pragma: str) -> Iterator[None]:
    """Every connection of the store gets a setting that stands for a trouble of the machine."""
    engine = home.store.engine

    def set_it(connection: sqlite3.Connection, _record: object) -> None:
        connection.execute(f"PRAGMA {pragma}")

    event.listen(engine, "connect", set_it)
    engine.dispose()
    yield
    event.remove(engine, "connect", set_it)
    engine.dispose()


@contextmanager
def _full(home: Home, pages_left: int) -> Iterator[None]:
    """A disk on which the file can grow by a few pages more: SQLITE_FULL, truly."""
    with home.store.read() as tx:
        pages = tx.exec_driver_sql("PRAGMA page_count").scalar_one()
    with _with_pragma(home, f"max_page_count={pages + pages_left}"):
        yield


def _tried(home: Home, text: str) -> str:
    """How a line was refused; nothing when it was answered."""
    try:
        home.say(text)
    except (NotKeptError, PutOffError) as error:
        return type(error).__name__ * (str(error) == "the disk is full")
    return ""


def _sound(home: Home) -> None:
    with home.store.read() as tx:
        assert tx.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
        assert tx.exec_driver_sql("PRAGMA foreign_key_check").first() is None
    assert home.differences() == []


@pytest.mark.parametrize("pages", range(6))
def test_on_a_full_disk_each_line_is_kept_whole_or_refused(lite: Home, pages: int) -> None:
    """The space ends somewhere between a message's two transactions, wherever that is."""
    lite.say(FERN)
    with _full(lite, pages):
        told = [_tried(lite, f"/gave fern {number + 10} ml") for number in range(40)]
    given, refused, put_off = (told.count(one) for one in ("", "NotKeptError", "PutOffError"))
    assert refused + put_off > 0
    _sound(lite)
    assert lite.count("inbox") == 1 + given + put_off
    assert "Fern" in lite.say("/plants")  # what was put off is worked on first
    assert lite.count("event") == 1 + given + put_off
    lite.restart()
    assert [state for (state,) in lite.rows("outbox", "state")] == ["sent"] * lite.count("inbox")
    assert len(lite.wall.heard) == lite.count("inbox")
    _sound(lite)


def test_a_database_that_may_only_be_read_is_told_and_left_alone(lite: Home) -> None:
    lite.say(FERN)
    before = len(lite.wall.heard)
    with _with_pragma(lite, "query_only=ON"):
        with pytest.raises(NotKeptError, match="can be read but not written"):
            lite.say("fern 3 4")
        with pytest.raises(StoreFailedError):
            lite.restart()
    assert len(lite.wall.heard) == before
    assert "3 and 4" in lite.say("fern 3 4")
    _sound(lite)


def test_a_lock_that_stays_is_told(lite: Home) -> None:
    lite.say(FERN)
    other = lite.store.engine.raw_connection()
    other.cursor().execute("BEGIN IMMEDIATE")
    with (
        _with_pragma(lite, "busy_timeout=50"),
        pytest.raises(NotKeptError, match="another program keeps it locked"),
    ):
        lite.say("fern 3 4")
    other.rollback()
    other.close()
    assert "3 and 4" in lite.say("fern 3 4")


def test_the_clock_and_the_timers_wait_for_the_database(lite: Home) -> None:
    lite.say(FERN)
    lite.say("fern 3 4")
    lite.say("/pour fern")
    lite.say("/pour fern poured")
    with _with_pragma(lite, "query_only=ON"):
        with pytest.raises(StoreFailedError):
            lite.wait(minutes=20)
        with capture_logs() as logs:
            lite.house.tick()  # the sweeps don't raise: they say so and come again
    assert [one["log_level"] for one in logs] == ["warning"]
    heard = lite.wait(minutes=1)
    assert ["saucer" in one.text for one in heard] == [True]


def test_what_was_sent_and_could_not_be_marked_is_marked_later(lite: Home) -> None:
    lite.say(FERN)
    real = lite.wall.send

    def send(*said: Any) -> None:
        real(*said)
        trouble.enter_context(_with_pragma(lite, "query_only=ON"))

    from contextlib import ExitStack

    with ExitStack() as trouble, pytest.MonkeyPatch.context() as patch:
        patch.setattr(type(lite.wall), "send", lambda _, *said: send(*said))
        with capture_logs() as logs:
            answered = len(lite.wall.heard)
            try:
                lite.say("fern 3 4")
            except PutOffError:
                pytest.fail("it was answered")
        assert len(lite.wall.heard) == answered + 1
    assert logs[0]["log_level"] == "warning"
    lite.say("/help")
    assert {state for (state,) in lite.rows("outbox", "state")} == {"sent"}
    lite.restart()
    assert len(lite.wall.heard) == answered + 2


# --- a server -----------------------------------------------------------------------------------


@pytest.fixture
def server(postgres_url: str) -> Iterator[Callable[[str], None]]:
    """Runs a statement as the server's keeper."""
    engine = create_engine(postgres_url, isolation_level="AUTOCOMMIT")

    def run(statement: str) -> None:
        with engine.connect() as connection:
            connection.execute(text(statement))

    yield run
    engine.dispose()


_CUT = "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{}'"


@pytest.fixture
def served(request: pytest.FixtureRequest, postgres_database: str, move_in: Any) -> Iterator[Home]:
    """A house on PostgreSQL."""
    from core.store.opening import open_store

    store = open_store(postgres_database)
    yield move_in(store)
    store.close()


@pytest.mark.postgres
def test_a_connection_cut_in_the_middle_of_the_work(
    served: Home, server: Callable[[str], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    served.say(FERN)
    name = str(served.store.engine.url.database)
    real, cuts = conversation.converse, [_CUT.format(name)]

    def converse(turn: Turn) -> Reply | None:
        reply = real(turn)
        if cuts:
            server(cuts.pop())
        return reply

    monkeypatch.setattr(conversation, "converse", converse)
    with pytest.raises(PutOffError, match="the server"):
        served.say("fern 3 4")
    assert served.count("event") == 1
    heard = served.wait(minutes=2)
    assert [one.text[:13] for one in heard] == ["Fern: 3 and 4"]
    assert served.count("event") == 2
    assert served.rows("inbox", "attempts") == [(0,), (0,)]


@pytest.mark.postgres
def test_connections_cut_between_two_messages_are_made_anew(
    served: Home, server: Callable[[str], None]
) -> None:
    served.say(FERN)
    server(_CUT.format(served.store.engine.url.database))
    assert "3 and 4" in served.say("fern 3 4")


@pytest.mark.postgres
def test_a_server_that_may_only_be_read(served: Home, server: Callable[[str], None]) -> None:
    served.say(FERN)
    name = served.store.engine.url.database
    server(f"ALTER DATABASE {name} SET default_transaction_read_only = on")
    served.store.engine.dispose()
    with pytest.raises(NotKeptError, match="it can be read but not written"):
        served.say("fern 3 4")
    server(f"ALTER DATABASE {name} SET default_transaction_read_only = off")
    served.store.engine.dispose()
    assert "3 and 4" in served.say("fern 3 4")


# --- the whole program --------------------------------------------------------------------------


def _texts(child: Child) -> dict[int, list[str]]:
    """What came before the `done` of each line."""
    found: dict[int, list[str]] = {}
    waiting: list[str] = []
    for one in child.said:
        if one["event"] == "message":
            waiting.append(one["text"])
        else:
            found[one["line"]], waiting = waiting, []
    return found


def test_a_program_whose_disk_fills_up(tmp_path: Path) -> None:
    """Files may grow to 1 MB and no further. Whatever was said of a line is so in the end."""
    path, errors = tmp_path / "plants.db", tmp_path / "stderr"
    url = f"sqlite:///{path}"
    most = 1_000_000
    child = Child(
        url,
        BEGINS,
        errors,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (most, most)),
    )
    lines = [FERN, *(f"/gave fern {number + 10} ml" for number in range(120))]
    child.feed(*lines, ":wait 10m")
    child.until_done(len(lines) + 1)
    child.leave()
    by_line = _texts(child)
    waited = by_line.pop(len(lines) + 1)
    assert all(len(said) == 1 for said in by_line.values())
    said = {number: texts[0] for number, texts in by_line.items() if number > 1}
    given = {number for number, text in said.items() if "given" in text}
    refused = {number for number, text in said.items() if text.startswith("I couldn't keep")}
    put_off = {number for number, text in said.items() if text.startswith("I kept that line")}
    assert given | refused | put_off == said.keys()
    assert all(text.startswith("I can't get on with that line now") for text in waited)
    assert waited or not put_off
    assert given
    assert refused
    assert "Traceback" not in errors.read_text()

    again = Child(url, BEGINS, errors)
    again.feed("")
    again.until_done(1)
    again.leave()
    late = _texts(again)[1]
    assert sum("given" in text for text in late) >= len(put_off)
    with sqlite3.connect(path) as connection:
        bodies = connection.execute("SELECT body FROM event WHERE kind = 'poured'").fetchall()
    litres = sorted(round(1000 * json.loads(body)["litres"]) for (body,) in bodies)
    assert litres == sorted(number - 2 + 10 for number in given | put_off)


def test_a_program_on_a_database_that_may_only_be_read(tmp_path: Path) -> None:
    """It says why in one line and goes."""
    path, errors = tmp_path / "plants.db", tmp_path / "stderr"
    child = Child(f"sqlite:///{path}", BEGINS, errors)
    child.feed(FERN)
    child.until_done(1)
    child.leave()
    child = Child(f"sqlite:///file:{path}?mode=ro&uri=true", BEGINS, errors)
    child.feed("fern 3 4")
    assert child.ended() == 1
    assert child.said == []
    assert len(errors.read_text().splitlines()) == 1
    assert "read but not written" in errors.read_text()
