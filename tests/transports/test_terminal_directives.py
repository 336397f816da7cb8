"""Lines that begin with a colon: who speaks, where, buttons, edits, pictures, restarts."""

from __future__ import annotations

from pathlib import Path

from PIL import Image

from tests.transports.child import Potside

FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"
FIG = "/add fig, fiddle-leaf fig, 25 cm pot, living room, south window"


BAD = [
    (":", ":wait"),
    (":)", ":wait"),
    (":help", ":restart"),
    (":frobnicate 3", ":tap"),
    (":as", ":as Tom"),
    (":as " + "x" * 41, "at most 40"),
    (":room", ":room studio"),
    (":room dm:Tom", ":dm"),
    (":dm Tom", ":as"),
    (":tap", "No message"),
    (":tap 1", "No message"),
    (":reply", ":reply 2"),
    (":reply 1", ":reply 2"),
    (":reply 7 fern 4", "Line 7"),
    (":edit", ":edit 2"),
    (":edit 1", ":edit 2"),
    (":edit one fern 4", ":edit 2"),
    (":edit 7 fern 4", "Line 7"),
    (":again", ":again 2"),
    (":again 7", "Line 7"),
    (":again -1", ":again 2"),
    (":photo", ":photo"),
    (":photo nowhere.jpg", "nowhere.jpg"),
    (":photo ~nobody/nowhere.jpg", "nowhere.jpg"),
    (":photo " + "x" * 5000, ":photo"),
    (":wait", ":wait 8d"),
]


def test_a_bad_one_gets_a_reply_that_says_what_would_work(potside: Potside) -> None:
    ended = potside.chat(*(line for line, _ in BAD))
    for number, (line, says) in enumerate(BAD, 1):
        (answer,) = ended.answers(number)
        assert (answer["kind"], answer["chat"]) == ("reply", "main"), line
        assert says in answer["text"], line


def test_somebody_else_speaks(potside: Potside) -> None:
    ended = potside.chat(FERN, ":as Tom", "fern 3 4", "/household", ":as me", "/story fern")
    assert "Tom, member" in ended.answer(4)
    assert "Tom" in ended.answer(6)


def test_each_room_has_its_own_household(potside: Potside) -> None:
    ended = potside.chat(
        FERN, ":room studio", "/plants", FIG, "/plants", ":room main", "/plants", ":room  studio "
    )
    assert "Fern" not in ended.answer(3)
    assert "Fig" in ended.answer(5)
    assert "Fern" in ended.answer(7)
    assert "Fig" not in ended.answer(7)
    assert [one["chat"] for one in ended.messages] == ["main", *["studio"] * 3, "main"]


def test_a_private_chat_is_about_ones_own_household(potside: Potside) -> None:
    ended = potside.chat(FERN, ":dm", "fern 3 4", ":room main", "/story fern")
    (verdict,) = ended.answers(3)
    assert (verdict["chat"], verdict["to"]) == ("dm:me", "me")
    assert verdict["text"].startswith("Fern: 3 and 4")
    assert "3 and 4" in ended.answer(5)


def test_what_was_begun_in_private_comes_back_in_private(potside: Potside) -> None:
    ended = potside.chat(FERN, "fern 3 4", ":dm", "/pour fern", "poured", ":wait 10m", "no")
    (look,) = ended.answers(6)
    assert (look["chat"], look["kind"]) == ("dm:me", "reminder")
    assert ended.answers(7)[0]["chat"] == "dm:me"


def test_a_stranger_in_private_has_a_household_of_their_own(potside: Potside) -> None:
    ended = potside.chat(FERN, ":as Noor", ":dm", "/plants", FIG, ":as me", "/plants")
    assert "Fern" not in ended.answer(4)
    assert [ended.answers(n)[0]["chat"] for n in (4, 5, 7)] == ["dm:Noor", "dm:Noor", "dm:me"]
    assert "Fern" in ended.answer(7)  # the private chat moves along with who speaks


def test_in_private_with_two_households_one_is_named_and_the_other_can_be_chosen(
    potside: Potside,
) -> None:
    other = "/household me's household 2"
    ended = potside.chat(FERN, ":room studio", FIG, ":dm", "/plants", other, "/plants")
    assert ended.answer(5).startswith("me's household \N{MIDDLE DOT}")
    assert "Fern" in ended.answer(5)
    assert "Fig" not in ended.answer(5)
    assert ended.answer(7).startswith("me's household 2")
    assert "Fig" in ended.answer(7)
    assert "Fern" not in ended.answer(7)


def test_tap_presses_the_latest_message_with_buttons_of_this_chat(potside: Potside) -> None:
    ended = potside.chat(
        FERN, "fern 3 4", "/help", ":room studio", ":tap 1", ":room main", ":tap 1"
    )
    assert "No message" in ended.answer(5)
    assert "first half" in ended.answer(7).casefold()


def test_tap_goes_by_the_number_shown(potside: Potside) -> None:
    ended = potside.chat(FERN, "fern 3 4", ":tap 0", ":tap 9", ":tap 1 2", ":tap x", ":tap 2")
    labels = [button["label"] for button in ended.answers(2)[0]["buttons"]]
    for line in (3, 4, 5, 6):
        assert f"2 {labels[1]}" in ended.answer(line)
    assert "400 ml" in ended.answer(7)


def test_tap_works_after_a_restart_of_the_process(potside: Potside, db: str) -> None:
    potside.chat(FERN, "fern 3 4", "/pour fern", db=db)
    ended = potside.chat(":tap 1", ":wait 10m", ":tap 1", db=db)
    assert "minutes" in ended.answer(1)
    assert ended.answers(2)[0]["kind"] == "reminder"
    assert "other half" in ended.answer(3)


def test_a_stale_tap_is_told(potside: Potside, db: str) -> None:
    pour = (FERN, "fern 3 4", "/pour fern", "poured")
    ended = potside.chat(*pour, ":tap 1", ":restart", ":tap 1", db=db)
    assert ended.answer(5).startswith("That step is done")
    assert ended.answer(7).startswith("That step is done")
    again = potside.chat(":tap 1", "/story fern", db=db)
    assert again.answer(1).startswith("That step is done")


def test_a_step_that_somebody_else_took_is_stale_for_all(potside: Potside) -> None:
    ended = potside.chat(
        FERN, "fern 3 4", "/pour fern", ":as Tom", "/pour fern poured", ":as me", ":tap 1"
    )
    assert ended.answer(7).startswith("That step is done")


def test_an_edit_corrects_the_line_wherever_one_is_by_now(potside: Potside) -> None:
    ended = potside.chat(
        FERN, "fern 3 4", ":room studio", ":as Tom", ":edit 2 fern 6", ":room main"
    )
    (fixed,) = ended.answers(5)
    assert fixed["chat"] == "main"
    assert "6" in fixed["text"]
    story = potside.chat(FERN, "fern 3 4", ":edit 2 fern 6", ":edit 2 fern 5", "/story fern")
    assert "3 and 4" not in story.answer(5)
    assert "5" in story.answer(5)


def test_only_messages_can_be_edited(potside: Potside) -> None:
    ended = potside.chat(FERN, "", ":tap 1", ":edit 2 fern 6", ":edit 3 fern 6", ":edit 4 fern 6")
    assert "Line 2" in ended.answer(4)
    assert "pressed a button" in ended.answer(5)
    assert "Line 4" in ended.answer(6)


def test_again_is_the_same_message_and_does_nothing(potside: Potside, db: str) -> None:
    said = (FERN, "fern 3 4", ":tap 2")
    ended = potside.chat(*said, ":again 3", ":again 2", ":again 1", ":restart", ":again 3", db=db)
    assert not any(ended.answers(line) for line in range(4, 9))
    undone = potside.chat(*["/undo"] * 4, db=db)
    first_lines = [undone.answer(line).partition("\n")[0] for line in (1, 2, 3, 4)]
    for what, line in zip(("400 ml", "3 and 4", "Fern added"), first_lines, strict=False):
        assert what in line
    assert first_lines[3].startswith("You have told me nothing")


def test_a_restart_keeps_everything_also_in_memory(potside: Potside) -> None:
    ended = potside.chat(
        FERN,
        "fern 3 4",
        "/pour fern",
        "poured",
        ":restart",
        ":wait 10m",
        ":restart",
        "no",
        "/plants",
    )
    assert [len(ended.answers(line)) for line in (5, 6, 7)] == [0, 1, 0]
    assert "other half" in ended.answer(8)
    assert "Fern" in ended.answer(9)
    assert ended.messages[-1]["at"] == "2026-03-02T07:40:00+01:00"


def test_a_picture_is_kept_and_its_words_are_heard(potside: Potside, tmp_path: Path) -> None:
    plain, spaced = tmp_path / "fern.jpg", tmp_path / "the fern's.jpg"
    for path in (plain, spaced):
        Image.new("RGB", (8, 6), (30, 120, 40)).save(path, "JPEG")
    ended = potside.chat(
        FERN,
        f":photo {plain} fern 3 4",
        f":photo {plain}",
        f":photo {spaced}",
        f':photo "{spaced}" fern 5',
        f":photo {tmp_path} fern 3",
        "/photo fern",
    )
    assert [one["text"][:15] for one in ended.answers(2)] == ["Fern: 3 and 4. ", "The photo is ke"]
    assert "kept with Fern" in ended.answer(3)
    assert "kept with Fern" in ended.answer(4)
    assert ended.answers(5)[0]["text"].startswith("Fern: 5")
    assert "can't open" in ended.answer(6)
    [file] = ended.answers(7)[0]["files"]
    assert file["type"] == "image/jpeg"
    with Image.open(file["path"]) as shown:  # kept after the exit
        assert shown.size == (8, 6)


def test_quit_leaves_the_rest_unread(potside: Potside) -> None:
    ended = potside.chat("/help", ":quit", "/help")
    assert [one["line"] for one in ended.events if one["event"] == "done"] == [1, 2]


def test_directives_in_any_case(potside: Potside) -> None:
    assert potside.chat(":DM", "/help", ":QUIT").answers(2)[0]["chat"] == "dm:me"
