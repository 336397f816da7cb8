"""What is kept of the plants is what the journal says, and can always be made so again."""

from __future__ import annotations

import json
import random
import re
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import insert, update

from bot.duty import rebuild as duty
from core.actions.rebuilding import rebuild
from core.journal import marks
from core.journal.plants import PLANT
from core.store.opening import open_store
from core.store.tables import Event, table_of

if TYPE_CHECKING:
    from pathlib import Path

    from tests.faults.conftest import Home

EVENT = table_of(Event)
DAYS = 31
OFTEN = 5  # events between marks
NAMES = ("Fern", "Goldie", "Viper", "Fig", "Luna", "Zed")
KINDS = ("Boston fern", "golden pothos", "snake plant", "fiddle-leaf fig", "moth orchid", "ZZ")
PLACES = ("north window", "south window", "low light", "balcony")
# What is said one after the other by one person about one plant; a number waits for minutes.
SAID: tuple[tuple[str | int, ...], ...] = (
    ("{plant} {a}",),
    ("{plant} {a} {b}", "/fix {b} {a}"),
    ("{plant} {a} {b} yesterday", "/fix {b}", "/undo"),
    ("/check {plant} {a}m {b}d, {other} {b} {a}", "/undo"),
    ("/check {plant} {a}, {plant} {b}",),
    ("/check {plant} {a} {b} 3 days ago", "{plant} {b}", "/undo", "/undo"),
    ("{plant} is dry",),
    ("{plant} was wet yesterday evening",),
    ("/gave {plant} {ml} ml", "/fix 120 ml"),
    ("gave the {plant} {ml} ml yesterday",),
    ("/gave {plant} {ml} ml, {other} {ml} ml",),
    ("/gave {plant} {ml} ml 2 days ago", "/undo"),
    ("/drained {plant} 40 ml", "/drained {plant} 30 ml yesterday"),
    ("{plant} {a}", "/pour {plant} anyway", "/pour {plant} poured", 10, "/pour {plant} none"),
    ("/pour {plant} anyway", "/pour {plant} poured {ml} ml", 10, "/pour {plant} water 40 ml"),
    ("/pour {plant} bottom anyway", "/pour {plant} poured", 400),
    ("/pour {plant} anyway", "/pour {plant} stopped", 40, "/pour {plant} emptied 60 ml"),
    ("/pour {plant} emptied 60 ml",),
    ("/pour {plant} anyway", "/pour {plant} poured", "/undo", "/pour {plant} cancel", "/undo"),
    ("{plant} {a}", "/later {plant}"),
    ("/turn {plant}", "/wipe {plant} yesterday", "/undo"),
    ("/feed {plant}",),
    ("/repot {plant} {cm} cm pot",),
    ("/repot {plant} {cm} cm pot 3 days ago", "/undo"),
    ("/repot {plant} {cm} cm pot yesterday",),
    ("/spot {plant} {place}",),
    ("/spot {plant} {room}, {place}", "/undo"),
    ("/plant {plant} pot {cm} cm", "/plant {plant} pot deep"),
    ("/plant {plant} species {kind}",),
    ("/plant {plant} rename Number {ml}", "/undo"),
    ("/plant {plant} rename Number {ml}{a}",),
    ("/plant {plant} copy", "/undo"),
    ("/plant {plant} copy",),
    ("/plant {plant} retire died", "/undo"),
    ("/plant {plant} retire sold",),
    ("/check {plant} 1.{ml} kg",),
    ("/low -4C",),
    ("/room {room} 21C {a}5%", "/undo"),
    ("/room {room} 23C 3{b}%",),
    ("/settings seasons south",),
    ("/settings seasons north",),
    ("/settings zone America/Lima",),
    ("/settings zone Europe/Berlin",),
    ("/add Newcomer {ml}, {kind}, {cm} cm pot, {room}, {place}",),
)


def _furnish(home: Home) -> None:
    for name, kind in zip(NAMES, KINDS, strict=True):
        home.say(f"/add {name}, {kind}, 15 cm pot, hall, north window")


def _told(home: Home, dice: random.Random, talk: tuple[str | int, ...]) -> None:
    """One person says something, about plants that live."""
    living = [name for name, left in home.rows("plant", "name", "left_at") if left is None]
    plant, other = dice.sample(living, 2)
    who = dice.choice(("Ida", "Tom"))
    about = {
        "plant": plant.lower(),
        "other": other.lower(),
        "a": dice.randrange(1, 11),
        "b": dice.randrange(1, 11),
        "ml": 10 * dice.randrange(10, 60),
        "cm": dice.choice((12, 15, 18, 21)),
        "place": dice.choice(PLACES),
        "room": dice.choice(("hall", "kitchen", "study")),
        "kind": dice.choice(KINDS),
    }
    for one in talk:
        if isinstance(one, int):
            home.wait(minutes=one)
            continue
        answer = home.say(one.format(**about), who=who)
        assert answer, one
        assert "wrong on my side" not in answer, one


@pytest.mark.parametrize("every", [OFTEN, marks.EVERY])
def test_a_month_of_everything_gives_no_difference(
    home: Home, every: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Undo, fix, backdated checks, pours, repotting, moves, copies, losses, other seasons."""
    monkeypatch.setattr(marks, "EVERY", every)
    dice = random.Random(every)  # noqa: S311 - to be the same again
    talks = list(SAID) * 2
    dice.shuffle(talks)
    _furnish(home)
    for talk in talks:
        home.wait(minutes=dice.randrange(2 * DAYS * 24 * 60 // len(talks)))
        _told(home, dice, talk)
    kinds = {kind for (kind,) in home.rows("event", "kind")}
    assert kinds == {
        "arrived", "described", "moved", "checked", "poured", "drained", "postponed", "tended",
        "repotted", "left", "low", "aired", "undone",
    }  # fmt: skip
    assert home.count("event") > 1.2 * len(talks)
    assert (home.count("mark") > 0) == (every == OFTEN)
    assert home.differences() == []


@given(dice=st.randoms(use_true_random=False), talks=st.lists(st.sampled_from(SAID), max_size=25))
@settings(max_examples=12)
def test_any_order_of_things_said_gives_no_difference(
    dice: random.Random, talks: list[tuple[str | int, ...]]
) -> None:
    from tests.faults.conftest import Home

    store = open_store("sqlite://")
    home = Home(store)
    _furnish(home)
    for talk in talks:
        home.wait(minutes=dice.randrange(600))
        _told(home, dice, talk)
        assert home.differences() == []
    store.close()


def test_a_message_that_waited_while_newer_ones_were_worked_on_finds_its_place(home: Home) -> None:
    """Two workers, or a database that gave way for a moment: told first, worked on last."""
    home.say("/add Fern, Boston fern, 15 cm pot, bathroom, north window")
    waiting = home.house.reception.take_in(home.message("fern 7 8"))
    home.clock.move_to(home.clock.now() + timedelta(minutes=30))
    home.say("fern 3 4")
    assert waiting is not None
    home.house.reception.attend(waiting)
    assert home.differences() == []
    ((state,),) = home.rows("plant", "state")
    readings = json.loads(state)["probed"]["found"]["readings"]
    assert [one["value"] for one in readings] == [3, 4]


# --- tampering ----------------------------------------------------------------------------------


@pytest.fixture
def lived_in(home: Home) -> Home:
    """Three plants with a little past, one check taken back."""
    for name in NAMES[:3]:
        home.say(f"/add {name}, Boston fern, 15 cm pot, hall, north window")
        home.say(f"{name} 5")
        home.wait(hours=3)
    home.say("fern 7")
    home.say("/undo")
    assert home.differences() == []
    return home


TAMPERED: dict[str, tuple[dict[str, Any], set[str]]] = {
    "room": ({"room": "cellar"}, {"room"}),
    "name": ({"name": "Ivy", "name_key": "ivy"}, {"name", "name_key"}),
    "probe": ({"probe_at": None}, {"probe_at"}),
    "gone": ({"left_at": None, "state": "{}"}, {"state"}),
    "nonsense": ({"state": "[1, 2"}, {"state"}),
}


@pytest.mark.parametrize("what", TAMPERED)
def test_a_plant_that_was_tampered_with_is_seen_and_put_right(lived_in: Home, what: str) -> None:
    home, (values, columns) = lived_in, TAMPERED[what]
    kept = home.rows("plant", "name", "name_key", "room", "probe_at", "left_at", "state")
    with home.store.write() as tx:
        tx.execute(update(PLANT).where(PLANT.c.id == 1).values(values))
    found = home.differences()
    assert {one.column.partition(".")[0] for one in found} == columns
    assert {one.what.partition(" (")[0] for one in found} == {"plant 1"}
    with home.store.write() as tx:
        assert rebuild(tx, 1, write=True) == found
    assert home.differences() == []
    assert home.rows("plant", "name", "name_key", "room", "probe_at", "left_at", "state") == kept


def test_only_the_part_of_the_state_that_differs_is_told(lived_in: Home) -> None:
    home = lived_in
    ((state,), *_) = home.rows("plant", "state")
    with home.store.write() as tx:
        moved = state.replace('"room":"hall"', '"room":"attic"')
        tx.execute(update(PLANT).where(PLANT.c.id == 1).values(state=moved))
    (one,) = home.differences()
    assert one.column == "state.spot"
    assert isinstance(one.kept, dict)
    assert (one.kept["room"], one.journal) == ("attic", one.kept | {"room": "hall"})


def test_two_plants_get_back_each_the_others_name(lived_in: Home) -> None:
    home = lived_in
    with home.store.write() as tx:
        for plant_id, name in ((1, "x"), (2, "fern"), (1, "goldie")):
            one = update(PLANT).where(PLANT.c.id == plant_id)
            tx.execute(one.values(name=name.title(), name_key=name))
        rebuild(tx, 1, write=True)
    assert [name for (name,) in home.rows("plant", "name")] == list(NAMES[:3])


def test_undo_marks_are_put_right(lived_in: Home) -> None:
    home = lived_in
    with home.store.write() as tx:
        tx.execute(update(EVENT).where(EVENT.c.id == 7).values(undone_by=None))
        tx.execute(update(EVENT).where(EVENT.c.id == 2).values(undone_by=8))
    found = home.differences()
    marks = {one.what: (one.kept, one.journal) for one in found if one.column == "undone_by"}
    assert marks == {"event 2": (8, None), "event 7": (None, 8)}
    with home.store.write() as tx:
        rebuild(tx, 1, write=True)
    assert home.differences() == []
    assert "Fern: 4" in home.say("fern 4")


def test_a_plant_that_only_the_journal_knows_gets_its_row_back(lite: Home) -> None:
    """Only where foreign keys were off: PostgreSQL would not let the row go."""
    lite.say("/add Fern, Boston fern, 15 cm pot, hall, north window")
    before = lite.rows("plant", "id", "name", "name_key", "room", "probe_at", "state")
    raw = lite.store.engine.raw_connection()
    raw.execute("PRAGMA foreign_keys=OFF")
    raw.execute("DELETE FROM plant")
    raw.close()
    assert {one.what for one in lite.differences()} == {"plant 1 (no row)"}
    with lite.store.write() as tx:
        rebuild(tx, 1, write=True)
    assert lite.rows("plant", "id", "name", "name_key", "room", "probe_at", "state") == before


# --- the command --------------------------------------------------------------------------------


def _ran(url: str, capsys: pytest.CaptureFixture[str], *, write: bool) -> tuple[int, str]:
    capsys.readouterr()
    status = duty.run(url, write=write)
    return status, capsys.readouterr().out


def test_the_command_prints_heals_and_says_so_by_its_status(
    lived_in: Home, db_url: str, capsys: pytest.CaptureFixture[str]
) -> None:
    home = lived_in
    assert _ran(db_url, capsys, write=False)[0] == 0
    with home.store.write() as tx:
        tx.execute(update(PLANT).where(PLANT.c.id == 2).values(room="cellar"))
    for _ in range(2):  # without --write it stays as it is
        status, out = _ran(db_url, capsys, write=False)
        assert status == 3
        assert out.splitlines()[0] == "plant 2 (Goldie), room: kept cellar, journal hall"
        assert re.match(r"1 difference, left as found", out.splitlines()[1])
    status, out = _ran(db_url, capsys, write=True)
    assert (status, out.splitlines()[1]) == (0, "1 difference, put right.")
    assert _ran(db_url, capsys, write=False) == (
        0,
        "No difference: what is kept is what the journal says.\n",
    )


def test_what_a_newer_program_wrote_is_told_and_left_alone(
    lived_in: Home, db_url: str, capsys: pytest.CaptureFixture[str]
) -> None:
    home = lived_in
    row = {
        "household_id": 1, "plant_id": 3, "person_id": 1, "kind": "sung to", "version": 1,
        "happened_at": home.clock.now(), "told_at": home.clock.now() + timedelta(1), "body": "{}",
    }  # fmt: skip
    kept = home.rows("plant", "state")
    with home.store.write() as tx:
        tx.execute(insert(EVENT).values(row))
    status, out = _ran(db_url, capsys, write=True)
    assert status == 3
    assert out.splitlines()[0].startswith("plant 3 (Viper), journal: kept not compared")
    assert "1 of them cannot be put right" in out
    assert home.rows("plant", "state") == kept


def test_a_database_that_is_not_there_is_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert duty.run(f"sqlite:///{tmp_path}", write=False) == 1
    out = capsys.readouterr()
    assert (out.out, len(out.err.splitlines())) == ("", 1)
