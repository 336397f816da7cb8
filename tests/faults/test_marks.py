"""A journal read on from a mark comes to what it comes to from its first event."""

from __future__ import annotations

import zlib
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import select, update

from core.actions.rebuilding import rebuild
from core.journal import fold, marks
from core.journal.marks import MARK

if TYPE_CHECKING:
    from core.journal.drying import Step
    from core.journal.ledger import Entry
    from core.journal.portrait import Home as Ways
    from core.journal.state import PlantState
    from tests.faults.conftest import Home

EVERY = 10
CHECKS = 30
PLANTS = ("Fern", "Goldie")


@pytest.fixture(autouse=True)
def _often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(marks, "EVERY", EVERY)


@pytest.fixture
def lived_in(home: Home) -> Home:
    """Two plants that were probed some thirty times, watered and moved."""
    for name in PLANTS:
        home.say(f"/add {name}, Boston fern, 15 cm pot, hall, north window")
    for k in range(CHECKS):
        home.wait(hours=11)
        home.say(f"{('fern', 'goldie')[k % 2]} {9 - k % 7}")
        if k % 7 == 0:
            home.say("/gave fern 300 ml")
    return home


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[Entry]:
    """The events that are added up from here on."""
    seen: list[Entry] = []
    plain = fold.fold

    def counted(state: PlantState, entry: Entry, home: Ways) -> Step:
        seen.append(entry)
        return plain(state, entry, home)

    monkeypatch.setattr(fold, "fold", counted)
    return seen


def _places(home: Home) -> list[int]:
    return [number for (number,) in home.rows("mark", "event_id")]


def test_after_a_restart_only_what_comes_after_a_mark_is_read(
    lived_in: Home, read: list[Entry]
) -> None:
    lived_in.restart()
    last = lived_in.count("event")
    assert "Taken back" in lived_in.say("/undo")
    newest = max(_places(lived_in))
    assert [one.id for one in read] == list(range(newest + 1, last))
    assert lived_in.differences() == []


def test_the_newest_few_are_kept_and_they_are_small(lived_in: Home) -> None:
    assert len(_places(lived_in)) == marks.KEPT
    assert all(number % EVERY == 0 for number in _places(lived_in))
    assert all(len(packed) < 1000 * len(PLANTS) for (packed,) in lived_in.rows("mark", "plants"))
    assert lived_in.differences() == []


@pytest.mark.parametrize("late", ["fern 5 yesterday", "fern 5 6 days ago", "fern 5 30 days ago"])
def test_what_is_told_late_gives_up_the_marks_behind_it(lived_in: Home, late: str) -> None:
    lived_in.say(late)
    assert lived_in.differences() == []
    lived_in.say("fern 4")
    lived_in.say("/undo")
    lived_in.say("/undo")
    assert lived_in.differences() == []


def test_a_mark_made_on_the_way_through_is_the_same_as_one_left_as_it_happened(
    lived_in: Home,
) -> None:
    columns = ("event_id", "happened_at", "rules", "common")
    left = sorted(lived_in.rows("mark", *columns))
    lived_in.say("/settings seasons south")
    assert sorted(lived_in.rows("mark", *columns)) != left
    lived_in.say("/settings seasons north")
    assert sorted(lived_in.rows("mark", *columns)) == left
    assert lived_in.differences() == []


def test_a_mark_of_another_program_is_not_read_on_from(lived_in: Home) -> None:
    with lived_in.store.write() as tx:
        tx.execute(update(MARK).values(rules="another", plants=b"in another way"))
    assert lived_in.differences() == []
    assert "Taken back" in lived_in.say("/undo")
    assert "another" not in {rules for (rules,) in lived_in.rows("mark", "rules")}
    assert lived_in.differences() == []


def test_a_mark_that_was_tampered_with_is_seen_and_given_up(lived_in: Home) -> None:
    newest = max(_places(lived_in))
    with lived_in.store.write() as tx:
        packed = tx.execute(select(MARK.c.plants).where(MARK.c.event_id == newest)).scalar_one()
        other = zlib.compress(zlib.decompress(packed).replace(b'"hall"', b'"cellar"'))
        tx.execute(update(MARK).where(MARK.c.event_id == newest).values(plants=other))
    assert [one.what for one in lived_in.differences()] == [f"mark at event {newest}"]
    with lived_in.store.write() as tx:
        rebuild(tx, 1, write=True)
    assert (_places(lived_in), lived_in.differences()) == ([], [])


def test_a_fault_while_a_mark_is_left_keeps_nothing_of_its_message(
    lived_in: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("nothing works")

    monkeypatch.setattr(marks, "EVERY", 1)
    before = lived_in.rows("event", "id"), lived_in.rows("mark", "id")
    with monkeypatch.context() as broke:
        broke.setattr(marks, "leave", broken)
        lived_in.say("fern 4")
    assert (lived_in.rows("event", "id"), lived_in.rows("mark", "id")) == before
    lived_in.say("fern 4")
    assert lived_in.rows("mark", "id") != before[1]
    assert lived_in.differences() == []
