"""What a household takes along: all of its own, nothing of anybody else's, and it can be read."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from bot import backtest
from bot.talk.files import NoFileError, content, with_stored
from bot.talk.message import Reply, read, write
from core.actions import takeout
from core.journal import ledger, record
from core.store import belonging, people
from core.store.opening import open_store
from tests.conversation.talking import InProcess, play
from tests.conversation.test_households import code_of
from tests.conversation.test_photos import send
from tests.unit.duty.post import parcel

Line = dict[str, Any]


@pytest.fixture
def url(tmp_path: Path) -> str:
    return f"sqlite:///{tmp_path}/potside.db"


@pytest.fixture
def house(url: str, tmp_path: Path) -> Iterator[InProcess]:
    """Two households: Ida's in Birch Street with Tom, and Noor's."""
    stage = InProcess(store=open_store(url), rounds=True)
    stage.say("Noor", "/add Secret, ivy, 12 cm pot", "dm:Noor")
    stage.say("Ida", "/add Fern, Boston fern, 15 cm pot, kitchen, north window")
    stage.say("Ida", "/household name Birch Street")
    stage.say("Ida", "/settings place 52.52 13.41")
    stage.say("Tom", "fern 7")
    stage.say("Ida", "gave fern 3 l")
    stage.say("Ida", "/undo")
    leaf = tmp_path / "leaf.png"
    Image.new("RGB", (8, 8), "green").save(leaf)
    send(stage, leaf, "fern brown tips")
    for reading in (3, 8, 7, 3, 8, 5, 4, 8, 3):
        stage.wait(timedelta(days=2))
        stage.say("Ida", f"fern {reading}")
        if reading < 5:
            stage.say("Tom", "gave fern 300 ml")
    yield stage
    stage.close()


def _lines(stage: InProcess, household_id: int) -> list[Line]:
    with stage.store.read() as tx:
        told = takeout.written(tx, household_id)
    assert told is not None
    return [json.loads(one) for one in told.decode().splitlines()]


def _of(lines: list[Line], kind: str) -> list[Line]:
    return [one for one in lines if one["is"] == kind]


def _ids(stage: InProcess) -> tuple[int, int]:
    """Ida's household and Noor's."""
    with stage.store.read() as tx:
        found = {
            name: people.households_of(tx, number)[0].id
            for number in (1, 2)
            for name in people.names(tx, people.households_of(tx, number)[0].id).values()
        }
    return found["Ida"], found["Noor"]


def test_every_fact_is_in_it_with_who_told_it_and_when(house: InProcess) -> None:
    ida, _ = _ids(house)
    lines = _lines(house, ida)
    first, persons = lines[0], {one["person"]: one["name"] for one in _of(lines, "person")}
    assert (first["name"], first["zone"], takeout.begins(first)) == (
        "Birch Street", "Europe/Berlin", True,
    )  # fmt: skip
    assert persons == {1: "Ida", 2: "Tom"}
    facts = _of(lines, "fact")
    assert [one["fact"] for one in facts] == list(range(1, len(facts) + 1))
    told = [(one["kind"], persons[one["person"]], one["undone_by"]) for one in facts[:5]]
    assert told == [
        ("arrived", "Ida", None),
        ("checked", "Tom", None),
        ("poured", "Ida", 4),
        ("undone", "Ida", None),
        ("pictured", "Ida", None),
    ]
    assert facts[3]["body"]["events"] == [3]
    [plant], [photo] = _of(lines, "plant"), _of(lines, "photo")
    assert (plant["name"], plant["spot"]["room"]) == ("Fern", "kitchen")
    assert (photo["file"], photo["note"]) == ("photo-1.jpg", "fern brown tips")
    assert facts[4]["body"]["photo"] == 1
    assert {one["day"] for one in _of(lines, "round")} >= {"2026-03-03"}


def test_nothing_of_others_nor_of_networks_is_in_it(house: InProcess) -> None:
    ida, noor = _ids(house)
    mine, theirs = json.dumps(_lines(house, ida)), json.dumps(_lines(house, noor))
    for word in ("Secret", "Noor", "terminal", "dm:", "inbox", "chat"):
        assert word not in mine
    for word in ("Fern", "Ida", "Tom", "Birch"):
        assert word not in theirs
    assert [one["fact"] for one in _of(_lines(house, noor), "fact")] == [1]


def test_read_back_it_is_the_same_journal(house: InProcess) -> None:
    ida, _ = _ids(house)
    home, entries = takeout.read(_lines(house, ida))
    with house.store.read() as tx:
        kept = ledger.of_household(tx, ida)
        assert home == record.home_of(tx, ida)
    shape = [(one.happened_at, one.told_at, one.body) for one in entries if one.id != 5]
    assert shape == [
        (one.happened_at, one.told_at, one.body) for one in kept if one.body.kind != "pictured"
    ]


def test_the_backtest_reads_it_as_it_reads_the_database(
    house: InProcess, url: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ida, _ = _ids(house)
    file = tmp_path / "birch-street.jsonl"
    with house.store.read() as tx:
        file.write_bytes(takeout.written(tx, ida) or b"")
    assert backtest.run([str(file)], None, None) == 0
    taken = capsys.readouterr().out
    assert backtest.run([], url, None) == 0
    assert taken == capsys.readouterr().out
    assert "80 %" in taken


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"format": 2}, "line 1: format 2 comes from a newer program"),
        ({"settings": None}, "line 1 is not as /export writes it"),
        ({"kind": "hummed"}, "line 5: hummed 1 comes from a newer program"),
        ({"body": {}}, "line 5 is not as /export writes it"),
    ],
)
def test_what_can_not_be_read_is_said(
    house: InProcess,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    change: Line,
    says: str,
) -> None:
    ida, _ = _ids(house)
    lines = [one | {k: v for k, v in change.items() if k in one} for one in _lines(house, ida)]
    file = tmp_path / "other.jsonl"
    file.write_text("\n".join(json.dumps(one) for one in lines), "utf-8")
    assert backtest.run([str(file)], None, None) == 1
    assert capsys.readouterr().err == f"{file}: {says}\n"


def test_it_is_a_keepers_alone_and_no_byte_is_kept_with_the_reply(house: InProcess) -> None:
    code = code_of(house, "/invite keeper")
    play(
        house,
        f"""
Tom: /export
  Only a keeper does that. Ask Ida.
Uma (dm:Uma): /join {code}
  You are a keeper of Birch Street now.
Uma (dm:Uma): export all our data
  All that Birch Street told: one plant and
  Photos are named only
""",
    )
    [file] = house.recorder.sent[-1].files
    assert file.name == "birch-street-2026-03-20.jsonl"
    assert json.loads((file.data or b"").splitlines()[0])["name"] == "Birch Street"
    assert b"Fern" not in write(Reply("", files=(file,))).encode()


def test_who_is_no_keeper_any_more_when_it_is_sent_gets_none(house: InProcess) -> None:
    """Their chat may have been out of reach for days."""
    code = code_of(house, "/invite keeper")
    house.say("Uma", f"/join {code}", "dm:Uma")
    house.say("Uma", "/export", "dm:Uma")
    ida, _ = _ids(house)
    with house.store.read() as tx:
        [chat] = [one.id for one in belonging.chats_of(tx, ida) if one.person == "Uma"]
    sent = replace(parcel(1, chat), household_id=ida)
    reply = Reply("", files=house.recorder.sent[-1].files)
    house.say("Ida", "/household member Uma")
    with house.store.read() as tx:
        later = with_stored(tx, sent, read(Reply, write(reply)))
    with pytest.raises(NoFileError):
        content(later.files[0])
