"""Photos in conversation: with which plant one goes, what is said, what is never kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from PIL import Image
from sqlalchemy import text as sql

from bot.talk.files import NoFileError, content, with_stored
from bot.talk.message import Attachment, Picture, Reply
from core.actions import picturing
from tests.conversation.talking import Heard, InProcess, labels
from tests.unit.duty.post import parcel
from tests.unit.studio.shut import shut

FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"
FIG = "/add fig, fiddle-leaf fig, 25 cm pot, study"


@pytest.fixture
def stage() -> Iterator[InProcess]:
    made = InProcess()
    yield made
    made.close()


@pytest.fixture
def leaf(tmp_path: Path) -> Path:
    """A picture on this machine."""
    path = tmp_path / "leaf.jpg"
    Image.new("RGB", (400, 300), (30, 120, 40)).save(path, "JPEG")
    return path


def send(
    stage: InProcess, path: Path, caption: str = "", *, who: str = "Ida", chat: str = "main",
    album: str = "",
) -> list[Heard]:  # fmt: skip
    """Somebody sends a picture."""
    message = stage._message(who, caption, chat)
    return stage._hear(replace(message, photo=Picture(str(path), album=album)))


def rows(stage: InProcess) -> list[tuple[str, int | None, int]]:
    with stage.store.read() as tx:
        found = tx.execute(sql("SELECT state, plant_id, size FROM photo ORDER BY id"))
        return [(state, plant, size) for state, plant, size in found]


def says(heard: list[Heard]) -> list[str]:
    return [one.text for one in heard]


def test_the_caption_is_heard_and_the_photo_goes_with_its_plant(
    stage: InProcess, leaf: Path
) -> None:
    stage.say("Ida", FERN)
    stage.say("Ida", FIG)
    verdict, kept = send(stage, leaf, "fern 3")
    assert verdict.text.startswith("Fern: 3.")
    assert kept.text == "The photo is kept with Fern. /photo fern shows it, /undo takes it back."
    assert kept.kind == "reply"
    assert stage.journal()[-2:] == ["checked", "pictured"]
    [(state, _, size)] = rows(stage)
    assert (state, size > 500) == ("kept", True)


def test_undo_takes_the_check_and_its_photo_back_and_no_byte_stays(
    stage: InProcess, leaf: Path
) -> None:
    stage.say("Ida", FERN)
    send(stage, leaf, "fern 3")
    [undone] = stage.say("Ida", "/undo")
    assert undone.text.startswith("Taken back: Fern 3 and Fern photo")
    assert rows(stage) == []
    assert says(stage.say("Ida", "/photo fern"))[0].startswith("No photo of Fern yet.")


def test_a_name_alone_or_with_a_note_is_about_the_photo(stage: InProcess, leaf: Path) -> None:
    stage.say("Ida", FERN)
    stage.say("Ida", FIG)
    assert says(send(stage, leaf, "fern")) == [
        "The photo is kept with Fern. /photo fern shows it, /undo takes it back."
    ]
    [kept] = send(stage, leaf, "brown tips on the fig again")
    assert "kept with Fig" in kept.text
    [shown] = stage.say("Ida", "/photo fig")
    assert "“brown tips on the fig again”" in shown.text


def test_of_an_unclear_one_it_is_asked_and_the_photo_waits(stage: InProcess, leaf: Path) -> None:
    stage.say("Ida", FERN)
    stage.say("Ida", FIG)
    [asked] = send(stage, leaf)
    assert asked.text == "Which plant is it?"
    assert labels(asked) == ["Fig", "Fern"]
    assert [state for state, _, _ in rows(stage)] == ["asked"]
    stage.wait(timedelta(hours=1))
    stage.restart()
    [kept] = stage.tap("Ida", "Fern")
    assert "kept with Fern" in kept.text
    assert stage.journal()[-1] == "pictured"


def test_the_question_is_answered_by_a_bare_name(stage: InProcess, leaf: Path) -> None:
    for name in ("fern", "fig", "ivy", "palm", "moss", "aloe"):
        stage.say("Ida", f"/add {name}, 12 cm pot")
    [asked] = send(stage, leaf)
    assert len(asked.buttons) == 4
    assert asked.text == "Which plant is it? Or type its name."
    [kept] = stage.say("Ida", "fern")
    assert "kept with Fern" in kept.text


def test_nobody_says_and_after_a_week_the_photo_goes(stage: InProcess, leaf: Path) -> None:
    stage.say("Ida", FERN)
    stage.say("Ida", FIG)
    send(stage, leaf)
    stage.wait(timedelta(days=8))
    assert rows(stage) == []
    [late] = stage.tap("Ida", "Fern")
    assert late.text.startswith("No photo waits for a name any more.")


def test_an_album_goes_with_the_plant_of_its_caption_and_is_told_once(
    stage: InProcess, leaf: Path
) -> None:
    stage.say("Ida", FERN)
    stage.say("Ida", FIG)
    assert len(send(stage, leaf, "fern 3", album="a")) == 1  # the verdict
    assert send(stage, leaf, album="a") == []
    assert send(stage, leaf, album="a") == []
    [kept] = stage.wait(timedelta(seconds=10))
    assert kept.text == "3 photos are kept with Fern. /photo fern shows them, one by one."


def test_an_album_is_asked_about_once_and_named_as_a_whole(stage: InProcess, leaf: Path) -> None:
    stage.say("Ida", FERN)
    stage.say("Ida", FIG)
    assert len(send(stage, leaf, album="a")) == 1
    assert send(stage, leaf, album="a") == []
    [kept] = stage.tap("Ida", "Fig")
    assert "2 photos are kept with Fig" in kept.text


def test_while_one_plant_is_poured_a_photo_is_of_it(stage: InProcess, leaf: Path) -> None:
    stage.say("Ida", FERN)
    stage.say("Ida", FIG)
    stage.say("Ida", "fern 3")
    stage.tap("Ida", "Pour with me")
    [kept] = send(stage, leaf)
    assert "kept with Fern" in kept.text


def test_the_only_plant_needs_no_name_and_without_any_it_is_said(
    stage: InProcess, leaf: Path
) -> None:
    [refused] = send(stage, leaf)
    assert refused.text.startswith("The photo isn't kept: there is no plant yet")
    stage.say("Ida", FERN)
    assert "kept with Fern" in send(stage, leaf)[0].text
    assert len(rows(stage)) == 1


def test_what_is_no_picture_is_told_and_the_caption_counts(
    stage: InProcess, tmp_path: Path
) -> None:
    stage.say("Ida", FERN)
    path = tmp_path / "notes.txt"
    path.write_text("no picture")
    verdict, refused = send(stage, path, "fern 3")
    assert verdict.text.startswith("Fern: 3.")
    assert refused.text.startswith("The photo isn't kept: I can't read this kind of file.")
    assert "checked" in stage.journal()
    assert rows(stage) == []


def test_one_that_is_gone_is_told_with_the_way_to_send_it_again(
    stage: InProcess, tmp_path: Path
) -> None:
    stage.say("Ida", FERN)
    [lost] = send(stage, tmp_path / "nowhere.jpg", "fern")
    assert lost.text == (
        "The photo didn't come through, so it isn't kept. "
        "Please send it again with *fern* as its caption."
    )


def test_larger_than_we_fetch(
    stage: InProcess, leaf: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stage.say("Ida", FERN)
    monkeypatch.setattr("bot.duty.darkroom.MOST_FETCHED", 300)
    [refused] = send(stage, leaf, "fern")
    assert refused.text.startswith("The photo isn't kept: a file may have 20 MB.")


def test_a_full_household_says_how_to_make_room(
    stage: InProcess, leaf: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stage.say("Ida", FERN)
    send(stage, leaf, "fern")
    [(_, _, size)] = rows(stage)
    monkeypatch.setattr(picturing, "MOST_KEPT", size + size // 2)
    [late] = send(stage, leaf, "fern")  # found out when it is here
    assert late.text.startswith("The photo isn't kept:")
    monkeypatch.setattr(picturing, "MOST_KEPT", size)
    [early] = send(stage, leaf, "fern")  # known before it is fetched
    assert early.text.startswith("The photo isn't kept:")
    assert len(rows(stage)) == 1
    stage.say("Ida", "/photo fern remove 1")
    monkeypatch.setattr(picturing, "MOST_KEPT", 2 * size)
    assert "kept with Fern" in send(stage, leaf, "fern")[0].text


def test_an_album_that_finds_no_room_is_told_so_once(
    stage: InProcess, leaf: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pause = timedelta(seconds=5)
    assert [heard for _ in range(3) for heard in send(stage, leaf, album="z")] == []
    [refused] = stage.wait(pause)
    assert refused.text.startswith("None of these photos is kept: there is no plant yet")
    stage.say("Ida", FERN)
    send(stage, leaf, "fern")
    [(_, _, size)] = rows(stage)
    monkeypatch.setattr(picturing, "MOST_KEPT", size)  # known before any is fetched
    [verdict, *more] = [
        one for n in range(4) for one in send(stage, leaf, "" if n else "fern 3", album="a")
    ]
    assert verdict.text.startswith("Fern: 3.")
    assert more == []
    [refused] = stage.wait(pause)
    assert refused.text.startswith(
        "None of these photos is kept: your 0 MB for photos are used up."
    )
    monkeypatch.setattr(picturing, "MOST_KEPT", 2 * size + size // 2)  # some find room
    assert [heard for _ in range(4) for heard in send(stage, leaf, album="b")] == []
    told = sorted(says(stage.wait(pause)))
    assert [one.partition(":")[0] for one in told] == [
        "Not all of these photos are kept",
        "The photo is kept with Fern. /photo fern shows it, /undo takes it back.",
    ]
    assert len(rows(stage)) == 2


def test_looking_through_the_photos_of_a_plant(stage: InProcess, leaf: Path) -> None:
    stage.say("Ida", FERN)
    send(stage, leaf, "fern")
    stage.wait_days(20)
    send(stage, leaf, "fern unfurling", who="Tom")
    [shown] = stage.say("Ida", "/photo fern")
    assert shown.text.splitlines()[0] == "Fern, today, by Tom."
    assert "Others: 2 (Monday the 2nd)." in shown.text
    assert labels(shown) == ["Older"]
    [older] = stage.tap("Ida", "Older")
    assert older.text.startswith("Fern, Monday the 2nd, by Ida.")
    assert labels(older) == ["Newer"]
    assert "There are 2 photos of Fern" in says(stage.say("Ida", "/photo fern 3"))[0]
    assert says(stage.say("Ida", "/photos"))[0].startswith("Photos of Fern (2).")


def test_an_edited_caption_corrects_the_check_and_keeps_the_photo(
    stage: InProcess, leaf: Path
) -> None:
    stage.say("Ida", FERN)
    send(stage, leaf, "fern 3")
    [fixed] = stage.edit("Ida", "fern 6")
    assert fixed.text.startswith("Corrected")
    assert [state for state, _, _ in rows(stage)] == ["kept"]
    assert stage.journal().count("pictured") == 1


def test_a_correction_and_its_undo_leave_the_photo_where_it_is(
    stage: InProcess, leaf: Path
) -> None:
    stage.say("Ida", FERN)
    send(stage, leaf, "fern 3")
    send(stage, leaf, "fern")  # a later photo is in no correction's way
    [fixed] = stage.say("Ida", "/fix 6")
    assert fixed.text.startswith("Corrected. Fern: 6.")
    assert [state for state, _, _ in rows(stage)] == ["kept", "kept"]
    assert "As before the correction: Fern 3" in says(stage.say("Ida", "/undo"))[0]
    assert [state for state, _, _ in rows(stage)] == ["kept", "kept"]
    assert "Fern photo" in says(stage.say("Ida", "/undo"))[0]
    assert len(rows(stage)) == 1


def test_the_same_message_twice_keeps_one_photo(stage: InProcess, leaf: Path) -> None:
    stage.say("Ida", FERN)
    send(stage, leaf, "fern")
    assert stage.again("Ida") == []
    assert len(rows(stage)) == 1


def test_one_that_could_not_be_developed_is_tried_again(stage: InProcess, leaf: Path) -> None:
    stage.say("Ida", FERN)
    with shut():
        [verdict] = send(stage, leaf, "fern 3")
    assert verdict.text.startswith("Fern: 3.")
    [kept] = stage.wait(timedelta(seconds=10))
    assert kept.text.startswith("The photo is kept with Fern.")


def test_one_that_can_never_be_developed_is_told(stage: InProcess, leaf: Path) -> None:
    stage.say("Ida", FERN)
    with shut():
        send(stage, leaf, "fern 3")
        [lost] = [one for _ in range(5) for one in stage.wait(timedelta(minutes=8))]
    assert lost.text.startswith("The photo didn't come through")
    assert rows(stage) == []


def test_a_photo_is_looked_up_in_its_household_and_nowhere_else(
    stage: InProcess, leaf: Path
) -> None:
    stage.say("Ida", FERN)
    send(stage, leaf, "fern")
    stage.say("Tom", FERN, "studio")
    reply = Reply("", files=(Attachment("fern.jpg", photo=1),))
    with stage.store.read() as tx:
        sent = (replace(parcel(1), household_id=one) for one in (1, 2))
        [own], [strange] = (with_stored(tx, one, reply).files for one in sent)
    assert content(own).startswith(b"\xff\xd8")
    with pytest.raises(NoFileError):
        content(strange)


def test_another_household_sees_and_names_nothing(stage: InProcess, leaf: Path) -> None:
    stage.say("Ida", FERN)
    stage.say("Ida", FIG)
    send(stage, leaf)
    stage.say("Tom", FERN, "studio")
    [strange] = stage.say("Tom", "/photo fern keep 1", "studio")
    assert strange.text.startswith("No photo waits for a name any more.")
    assert [(state, plant) for state, plant, _ in rows(stage)] == [("asked", None)]
