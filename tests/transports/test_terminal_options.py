"""Options of `potside`: what they do, and what is said of bad ones."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from tests.transports.child import Potside

FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        ([], "COMMAND"),
        (["frobnicate"], "frobnicate"),
        (["chat", "--frob"], "--frob"),
        (["chat", "--jso"], "--jso"),
        (["chat", "extra"], "extra"),
        (["chat", "--db"], "--db"),
        (["chat", "--start", "yesterday"], "--start: 'yesterday' is no moment"),
        (["chat", "--start", "2026-02-30T07:30"], "--start"),
        (["chat", "--start", "0001-01-01"], "--start: years go from"),
        (["chat", "--tz", "Berlin"], "--tz: I don't know the time zone 'Berlin'"),
        (["chat", "--tz", ""], "--tz"),
        (["chat", "--tz", "../../etc/passwd"], "--tz"),
        (["chat", "--as", "  "], "--as"),
        (["chat", "--as", "x" * 41], "--as: a name has 1 to 40 letters"),
        (["rebuild", "--start", "2026-03-02"], "--start"),
    ],
)
def test_bad_options_end_with_2_and_leave_nothing(
    potside: Potside, tmp_path: Path, arguments: list[str], reason: str
) -> None:
    ended = potside.run(*arguments)
    assert (ended.status, ended.out) == (2, "")
    assert reason in ended.err
    assert "Traceback" not in ended.err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("url", "reason"),
    [
        ("", "sqlite:///plants.db"),
        ("plants.db", "sqlite:///plants.db"),
        ("mysql://somewhere/plants", "mysql"),
        ("sqlite:///{tmp}", "no file can be opened"),
        ("sqlite:///{tmp}/text", "not a database"),
        ("sqlite:///{tmp}/text/plants.db", "cannot be opened"),
        ("sqlite:///{tmp}/foreign.db", "something else"),
        ("postgresql://localhost:1/plants", "no server answers there"),
    ],
)
def test_a_database_that_cant_be_opened_ends_with_1_and_the_reason(
    potside: Potside, tmp_path: Path, url: str, reason: str
) -> None:
    (tmp_path / "text").write_text("not a database, but long enough to look like a file of one")
    foreign = sqlite3.connect(tmp_path / "foreign.db")
    foreign.execute("CREATE TABLE stamps (id INTEGER)")
    foreign.close()
    before = (tmp_path / "foreign.db").read_bytes()
    ended = potside.run("chat", "--db", url.format(tmp=tmp_path), said="/help\n")
    assert (ended.status, ended.out) == (1, "")
    assert reason in ended.err
    assert "Traceback" not in ended.err
    assert (tmp_path / "foreign.db").read_bytes() == before


def test_without_db_it_is_a_file_in_the_users_data_folder(potside: Potside, tmp_path: Path) -> None:
    ended = potside.run("chat", said=f"{FERN}\n", POTSIDE_DB="sqlite:////nowhere/else.db")
    assert (ended.status, ended.err) == (0, "")
    assert (tmp_path / "data" / "potside" / "potside.db").is_file()
    assert "Fern" in potside.run("chat", said="/plants\n").out


def test_memory_leaves_nothing_behind(potside: Potside, tmp_path: Path) -> None:
    assert "Fern" in potside.chat(FERN, "/plants").answer(2)
    assert list(tmp_path.iterdir()) == []


def test_who_speaks(potside: Potside, db: str) -> None:
    potside.chat(FERN, db=db)
    ended = potside.chat("fern 3 4", "/household", db=db, options=("--as", "Tom"))
    assert "Tom" in ended.answer(2)
    assert "me" in ended.answer(2)


def test_the_zone_is_the_households_when_it_is_created(potside: Potside, db: str) -> None:
    start = ("--start", "2026-03-02T07:30Z")
    first = potside.run("chat", "--json", "--db", db, "--tz", "Asia/Tokyo", *start, said="/help\n")
    assert first.messages[0]["at"] == "2026-03-02T16:30:00+09:00"
    later = potside.run("chat", "--json", "--db", db, "--tz", "Europe/Oslo", *start, said="/help\n")
    assert later.messages[0]["at"] == "2026-03-02T16:30:00+09:00"
    assert "this one keeps Asia/Tokyo" in later.err


def test_the_zone_is_the_machines_by_default(potside: Potside) -> None:
    start = ("--start", "2026-03-02T07:30")
    ended = potside.run("chat", "--json", "--db", "sqlite://", *start, said="/help\n")
    assert ended.messages[0]["at"] == "2026-03-02T07:30:00+01:00"
    odd = potside.run(
        "chat", "--json", "--db", "sqlite://", *start, said="/help\n", TZ="Nowhere/At"
    )
    assert odd.messages[0]["at"] == "2026-03-02T07:30:00+00:00"


@pytest.mark.parametrize(
    ("start", "at"),
    [
        ("2026-03-02", "2026-03-02T00:00:00+01:00"),
        ("20260302T0730", "2026-03-02T07:30:00+01:00"),
        ("2026-07-02 07:30", "2026-07-02T07:30:00+02:00"),
        ("2026-03-02T07:30:15-05:00", "2026-03-02T13:30:15+01:00"),
    ],
)
def test_the_clock_stands_where_it_was_started(potside: Potside, start: str, at: str) -> None:
    ended = potside.chat("/help", "/help", options=("--start", start))
    assert [one["at"] for one in ended.messages] == [at, at]


def test_a_start_before_the_last_event_moves_to_it_and_says_so(potside: Potside, db: str) -> None:
    potside.chat(FERN, ":wait 3d", "fern 5", ":wait 2d", "/help", db=db)
    options = ("--json", "--db", db, "--tz", "Europe/Berlin", "--start", "2026-03-03T07:30")
    ended = potside.run("chat", *options, said="/help\n")
    assert ended.status == 0
    assert ended.messages[0]["at"] == "2026-03-05T07:30:00+01:00"
    assert "the clock stands there, at 2026-03-05T07:30:00+01:00" in ended.err


def test_the_real_clock_is_not_moved(potside: Potside) -> None:
    ended = potside.run("chat", "--json", "--db", "sqlite://", said=":wait 8d\n")
    assert "real one" in ended.answer(1)


def test_version_and_help(potside: Potside) -> None:
    assert potside.run("--version").out.startswith("potside ")
    assert ":tap N" in potside.run("chat", "--help").out


def test_rebuild_finds_no_difference(potside: Potside, db: str) -> None:
    potside.chat(FERN, "fern 3 4", "gave fern 400 ml", "/undo", db=db)
    ended = potside.run("rebuild", "--db", db)
    assert (ended.status, ended.err) == (0, "")
    assert "No difference" in ended.out


def test_rebuild_prints_differences_and_puts_them_right(
    potside: Potside, db: str, tmp_path: Path
) -> None:
    potside.chat(FERN, db=db)
    kept = sqlite3.connect(tmp_path / "plants.db")
    kept.execute("UPDATE plant SET room = 'attic'")
    kept.commit()
    kept.close()
    found = potside.run("rebuild", "--db", db)
    assert found.status == 3
    assert "attic" in found.out
    assert potside.run("rebuild", "--db", db, "--write").status == 0
    assert "No difference" in potside.run("rebuild", "--db", db).out


def test_rebuild_makes_no_database(potside: Potside, db: str, tmp_path: Path) -> None:
    for url, reason in (
        (db, "plants.db"),
        ("", "sqlite:///"),
        (f"sqlite:///{tmp_path}", "no data"),
    ):
        ended = potside.run("rebuild", "--db", url)
        assert (ended.status, ended.out) == (1, "")
        assert reason in ended.err
        assert "Traceback" not in ended.err
    assert list(tmp_path.iterdir()) == []
