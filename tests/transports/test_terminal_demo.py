"""The demo: a household in memory, one real check and one real pour, something to try."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from tests.transports.child import Ended, Potside

START = datetime.fromisoformat("2026-03-02T07:30:00+01:00")
OPTIONS = ("chat", "--demo", "--start", "2026-03-02T07:30", "--tz", "Europe/Berlin")


def _last(ended: Ended, line: int) -> str:
    """The answer to a line; before the first stands the greeting."""
    text = ended.answers(line)[-1]["text"]
    assert isinstance(text, str)
    return text


def test_with_empty_input_it_shows_one_check_and_one_pour(potside: Potside, tmp_path: Path) -> None:
    ended = potside.run(*OPTIONS, "--json")
    assert (ended.status, ended.err) == (0, "")
    assert {one["event"] for one in ended.events} == {"message"}
    texts = [one["text"] for one in ended.messages]
    assert texts[0].startswith("Fern: 3 and 4. Water")
    assert "first half" in texts[1].casefold()
    assert "back in" in texts[2]
    assert "water in the saucer" in texts[3]
    assert "other half" in texts[4]
    assert "done" in texts[5].casefold()
    assert "400 ml" in texts[5]
    assert texts[-2].startswith("You are Ida now. Try:")
    kinds = [one["kind"] for one in ended.messages]
    assert kinds == ["reply"] * 3 + ["reminder"] + ["reply"] * 2 + ["reminder"] + ["reply"] * 2
    assert list(tmp_path.iterdir()) == []  # a stranger's own file is never seeded


def test_its_moments_are_real_and_just_past(potside: Potside) -> None:
    moments = [
        datetime.fromisoformat(one["at"])
        for one in potside.run(*OPTIONS, "--json", said="/help\n").messages
    ]
    assert moments == sorted(moments)
    assert START - timedelta(hours=1) < moments[0] < START
    assert moments[-1] == START


def test_in_text_it_reads_as_a_conversation(potside: Potside) -> None:
    ended = potside.run(*OPTIONS)
    assert (ended.status, ended.err) == (0, "")
    lines = ended.out.splitlines()
    assert "Birch Street" in lines[0]
    assert [line for line in lines if line.startswith("Ida> ")] == [
        "Ida> fern 3 4",
        "Ida> /pour fern",
        "Ida> poured",
        "Ida> no",
        "Ida> poured",
    ]
    assert "\x1b" not in ended.out
    assert "Try:" in lines[-2]


def test_on_the_real_clock_too(potside: Potside) -> None:
    ended = potside.run("chat", "--demo", "--json", said=":wait 1d\nno\n")
    assert (ended.status, ended.err) == (0, "")
    assert ended.messages[0]["text"].startswith("Fern: 3 and 4. Water")
    assert "real one" in _last(ended, 1)
    assert ended.answer(2).startswith("Good")


def test_what_it_says_to_try_works(potside: Potside) -> None:
    tried = ("goldie 4", "fig is dry", "/pour goldie", "/plants", "/help")
    said = "".join(f"{line}\n" for line in (*tried, ":tap 1", "no"))
    ended = potside.run(*OPTIONS, "--json", said=said)
    shown = next(one["text"] for one in ended.messages if one["text"].startswith("You are Ida"))
    assert all(one in shown for one in tried)
    assert _last(ended, 1).startswith("Goldie: 4")
    assert ended.answer(2).startswith("Fig: dry")
    assert "half" in ended.answer(3)
    assert ended.answer(4).startswith("6 plants")
    assert _last(ended, 6) != _last(ended, 7)


def test_the_household_has_its_people_and_a_past(potside: Potside) -> None:
    ended = potside.run(*OPTIONS, "--json", said="/household\n/story goldie\n/plants\n")
    assert all(name in _last(ended, 1) for name in ("Ida", "Tom", "Noor"))
    assert "450 ml" in ended.answer(2)
    assert "6 plants" in ended.answer(3)


def test_somebody_else_may_look_on(potside: Potside) -> None:
    ended = potside.run(*OPTIONS, "--json", "--as", "Tom", said="/story fern\n")
    assert any(one["text"].startswith("You are Tom now") for one in ended.messages)
    assert "Ida" in _last(ended, 1)


def test_an_empty_file_is_seeded_once(potside: Potside, db: str) -> None:
    first = potside.run(*OPTIONS, "--json", "--db", db)
    assert first.messages[0]["text"].startswith("Fern: 3 and 4")
    again = potside.run(*OPTIONS, "--json", "--db", db, said="/plants\n")
    assert len(again.messages) == 2
    assert "nothing was added" in again.messages[0]["text"]
    assert again.messages[1]["text"].startswith("6 plants")
    assert "No difference" in potside.run("rebuild", "--db", db).out


def test_a_file_with_plants_is_left_alone(potside: Potside, db: str) -> None:
    potside.chat(":room attic", "/add ivy, English ivy, 12 cm pot", db=db)
    ended = potside.run(*OPTIONS, "--json", "--db", db, said=":room attic\n/plants\n")
    assert ended.answer(2).startswith("One plant")
    assert "Birch Street" not in potside.run(*OPTIONS, "--db", db).out
