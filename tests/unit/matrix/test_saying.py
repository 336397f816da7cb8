"""A reply as the events that it becomes."""

from __future__ import annotations

import json
from html.parser import HTMLParser

from hypothesis import given, settings
from hypothesis import strategies as st

from bot.port import Piece
from bot.talk.message import COMMAND_MARK, TYPE_MARK, Attachment, Option, Reply
from bot.transports.matrix.cutting import MOST_BYTES, choices, cut, size
from bot.transports.matrix.sending import content_of
from bot.transports.matrix.wording import as_html, plain

# What an event may hold in all, by the specification: 65,536 bytes (FROM MEMORY; the homeserver
# of the tests refuses more). Encryption writes three bytes as four, once for what is inside.
MOST_EVENT = 65_536

WORDS = st.text(
    st.characters(codec="utf-8", exclude_characters="\u2060"),
    max_size=60,
)
SAID = st.lists(WORDS | st.just(COMMAND_MARK + "check") | st.just(TYPE_MARK + "fern 3" + TYPE_MARK))


class Shown(HTMLParser):
    """What a client shows of our HTML, and whether its tags are in order."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.text = ""
        self.open: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert not attrs
        if tag == "br":
            self.text += "\n"
        else:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text += data


@given(SAID)
@settings(max_examples=150, deadline=None)
def test_html_shows_what_plain_text_says(parts: list[str]) -> None:
    text = "".join(parts).replace("\r", "")
    shown = Shown(as_html(text))
    assert not shown.open
    assert shown.text == plain(text)


@given(st.lists(WORDS, min_size=1, max_size=40), st.integers(1, 40))
@settings(max_examples=60, deadline=None)
def test_a_long_text_is_cut_and_nothing_is_lost(lines: list[str], times: int) -> None:
    text = "\n".join(line.replace("\n", " ").replace("\r", "") for line in lines * times)
    pieces = cut(Reply(text), 7)
    for piece in pieces:
        assert size(piece.text) <= MOST_BYTES
        event = json.dumps(content_of(piece))
        assert len(event.encode()) * 4 / 3 < MOST_EVENT - 4_000
    kept = "".join(piece.text for piece in pieces)
    assert "".join(kept.split()) == "".join(text.split()) or not text.strip()


def test_each_piece_has_a_name_of_its_own() -> None:
    long = "\n".join(f"line {n} of a long list of plants" for n in range(900))
    reply = Reply(long, (Option("Yes", "/help"),), thread="$root", answers="$asked")
    pieces = cut(reply, 41)
    assert [(one.row, one.part) for one in pieces] == [(41, n) for n in range(len(pieces))]
    assert len(pieces) > 2
    assert [bool(one.choices) for one in pieces] == [*[False] * (len(pieces) - 1), True]
    assert [one.answers for one in pieces] == ["$asked", *[None] * (len(pieces) - 1)]
    assert {one.thread for one in pieces} == {"$root"}


def test_choices_are_lines_with_a_number() -> None:
    reply = Reply(
        f"Fern: {TYPE_MARK}fern 3{TYPE_MARK}", (Option("Poured", "/a"), Option("<No>", "/b"))
    )
    (piece,) = cut(reply, 1)
    content = content_of(piece)
    assert content["body"] == "Fern: fern 3\n\n1. Poured\n2. <No>"
    assert content["formatted_body"] == (
        "Fern: <code>fern 3</code><br><br>1. Poured<br>2. &lt;No&gt;"
    )
    assert content["msgtype"] == "m.notice"


def test_where_a_number_is_an_answer_choices_have_letters() -> None:
    buttons = (Option("Skip", "/skip"), Option("Later", "/later"))
    named = [one.id for one in choices(Reply("Fern?", buttons, numbers=True))]
    assert named == ["a)", "b)"]


def test_commands_carry_the_mark_of_matrix() -> None:
    assert plain(f"Try {COMMAND_MARK}plants.") == "Try !plants."


def test_threads_and_replies() -> None:
    def relation(piece: Piece) -> object:
        return content_of(piece).get("m.relates_to")

    assert relation(Piece("x")) is None
    assert relation(Piece("x", answers="$a")) == {"m.in_reply_to": {"event_id": "$a"}}
    assert relation(Piece("x", thread="$t")) == {
        "rel_type": "m.thread", "event_id": "$t", "is_falling_back": True,
        "m.in_reply_to": {"event_id": "$t"},
    }  # fmt: skip
    assert relation(Piece("x", thread="$t", answers="$a")) == {
        "rel_type": "m.thread", "event_id": "$t", "is_falling_back": False,
        "m.in_reply_to": {"event_id": "$a"},
    }  # fmt: skip


def test_files_go_before_their_words() -> None:
    chart = Attachment("fern.png", type="image/png")
    pieces = cut(Reply("Dries in five days.", (Option("Why", "/why"),), (chart,)), 3)
    assert [(one.file is not None, one.text) for one in pieces] == [
        (True, ""),
        (False, "Dries in five days."),
    ]
    assert [len(one.choices) for one in pieces] == [0, 1]
    assert [one.text for one in cut(Reply("", files=(chart,)), 3)] == [""]
    assert cut(Reply(""), 3)[0].text == "…"
