"""What `potside chat --json` writes: the shape of its lines and their order."""

from __future__ import annotations

import json
import re
from datetime import datetime
from pathlib import Path
from typing import Any

from tests.transports.child import Ended, Potside

FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"
POUR = (FERN, "fern 3 4", "/pour fern", "poured", ":wait 10m", "no", "poured", ":wait 1d")


def _check_shape(event: dict[str, Any]) -> None:
    if event["event"] == "done":
        assert list(event) == ["event", "line"]
        assert type(event["line"]) is int
        return
    assert list(event) == ["event", "at", "chat", "kind", "to", "text", "buttons", "files"]
    assert event["event"] == "message"
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d", event["at"])
    assert event["kind"] in {"reply", "reminder", "warning"}
    assert all(isinstance(event[name], str) for name in ("chat", "to", "text"))
    assert event["text"].strip()
    for button in event["buttons"]:
        assert list(button) == ["label", "send"]
        assert button["send"].startswith("/")
    for attached in event["files"]:
        assert list(attached) == ["name", "path", "type"]


def _kinds(ended: Ended, line: int) -> list[str]:
    return [one["kind"] for one in ended.answers(line)]


def test_every_line_is_an_object_of_the_contracts_shape(potside: Potside) -> None:
    ended = potside.chat(*POUR, ":nonsense", "/nonsense", ":dm", "/plants", "/undo")
    for event in ended.events:
        _check_shape(event)
    assert ended.out.endswith("\n")


def test_every_input_line_is_done_in_order(potside: Potside) -> None:
    lines = ["/help", "", "   ", ":dm", ":room main", ":nonsense", "", "how are you", ":wait 1m"]
    ended = potside.chat(*lines)
    done = [one["line"] for one in ended.events if one["event"] == "done"]
    assert done == list(range(1, len(lines) + 1))
    answered = [bool(ended.answers(line)) for line in done]
    assert answered == [True, False, False, False, False, True, False, True, False]


def test_a_last_line_without_its_end_is_a_line(potside: Potside) -> None:
    start = ("--start", "2026-03-02T07:30")
    ended = potside.run("chat", "--json", "--db", "sqlite://", *start, said="/help\n/help")
    assert [one["line"] for one in ended.events if one["event"] == "done"] == [1, 2]
    assert ended.answer(1) == ended.answer(2)


def test_the_end_of_input_is_a_good_end(potside: Potside) -> None:
    assert potside.chat().out == ""


def test_a_wrong_command_is_a_message(potside: Potside) -> None:
    ended = potside.chat("/frobnicate", "/", "/pour nothing", "???")
    for line in (1, 2, 3, 4):
        assert _kinds(ended, line) == ["reply"]


def test_kinds(potside: Potside) -> None:
    ended = potside.chat(*POUR)
    assert [_kinds(ended, line) for line in range(1, 9)] == [
        ["reply"],
        ["reply"],
        ["reply"],
        ["reply"],
        ["reminder"],  # the look at the saucer comes back by itself
        ["reply"],
        ["reply"],
        ["reminder"],  # and so does the tipping out
    ]


def test_buttons_are_commands_that_could_be_typed(potside: Potside, db: str) -> None:
    first = potside.chat(FERN, "fern 3 4", db=db)
    send = first.answers(2)[0]["buttons"][0]["send"]
    again = potside.chat(FERN, "fern 3 4", send)
    assert again.answer(3) == potside.chat(":tap 1", db=db).answer(1)


def test_commands_carry_this_networks_mark(potside: Potside) -> None:
    text = potside.chat("/help").answer(1)
    assert "/round" in text
    assert "~" not in text
    assert "\u2060" not in text


def test_chat_and_recipient(potside: Potside) -> None:
    ended = potside.chat("/help", ":as Tom", ":dm", "/help", ":room studio", "/help", ":room main")
    found = [(one["chat"], one["to"]) for one in ended.messages]
    assert found == [("main", "main"), ("dm:Tom", "Tom"), ("studio", "studio")]


def test_nothing_else_stands_on_standard_output_when_asked_for_the_worst(potside: Potside) -> None:
    """Text is escaped so that each object keeps to its line, however lines are told apart."""
    name = "a\u2028b\u0085c\u2029d\x0be"
    ended = potside.chat(f"/add {name}, Boston fern", f"/plant {name}")
    assert len(ended.out.splitlines()) == len(ended.events) == 4
    for line in ended.out.splitlines():
        json.loads(line)


def test_at_is_the_households_own_time(potside: Potside) -> None:
    ended = potside.chat("/help", ":wait 60d", "/help")
    first, second = (datetime.fromisoformat(one["at"]) for one in ended.messages)
    assert first.isoformat() == "2026-03-02T07:30:00+01:00"
    assert second.isoformat() == "2026-05-01T08:30:00+02:00"


def test_the_journal_is_a_file_that_stays(potside: Potside) -> None:
    ended = potside.chat(FERN, "fern 7", "/export")
    (said,) = ended.answers(3)
    _check_shape(said)
    (file,) = said["files"]
    assert (file["name"], file["type"]) == (
        "mes-household-2026-03-02.jsonl", "application/x-ndjson",
    )  # fmt: skip
    lines = [json.loads(one) for one in Path(file["path"]).read_text("utf-8").splitlines()]
    assert [one["kind"] for one in lines if one["is"] == "fact"] == ["arrived", "checked"]


def test_a_chart_is_a_picture_that_stays(potside: Potside) -> None:
    ended = potside.chat(FERN, "fern 7", ":wait 1d", "fern 5 6", "/chart fern", "/chart bathroom")
    for line, name in ((5, "fern.png"), (6, "bathroom.png")):
        (said,) = ended.answers(line)
        _check_shape(said)
        (picture,) = said["files"]
        assert (picture["name"], picture["type"]) == (name, "image/png")
        assert Path(picture["path"]).read_bytes()[:4] == b"\x89PNG"
    assert "2 probes" in ended.answer(5)
