"""What is meant for us in a room, and as what it comes through. Events as the protocol's
specification (client-server API v1.13) shapes them: FROM MEMORY, the homeserver's tests check it.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from nio import Event

from bot.port import Incoming, Pick, Press, Renamed
from bot.talk.message import Message
from bot.transports.matrix.hearing import Room, body_of, without_quote
from tests.unit.matrix.events import ALONE, EAR, IDA, KITCHEN, NOW, TOM, US, event, reaction, text


def said(one: Event, room: Room = ALONE, refers: int | None = None) -> str | None:
    """The text that comes through; None when nothing does."""
    found = EAR.hear(one, room, refers)
    if not found:
        return None
    (only,) = found
    return (only.message if isinstance(only, Pick | Press) else _message(only)).text


def _message(one: Incoming) -> Message:
    assert isinstance(one, Message)
    return one


@pytest.mark.parametrize(
    ("body", "alone", "together"),
    [
        ("fern 3", "fern 3", None),
        ("!check fern 3", "/check fern 3", "/check fern 3"),
        ("/check fern 3", "/check fern 3", "/check fern 3"),
        ("!CHECK fern 3", "/CHECK fern 3", "/CHECK fern 3"),
        ("!weather Berlin", "/weather Berlin", None),
        ("Potside: fern 3", "fern 3", "fern 3"),
        ("potside fern 3", "fern 3", "fern 3"),
        ("@potside:birch.test fern 3", "fern 3", "fern 3"),
        ("Potside, !weather", "/weather", "/weather"),
        ("Potside", "/help", "/help"),
        ("Potsider says fern 3", "Potsider says fern 3", None),
        ("what does Potside say?", "what does Potside say?", None),
        ("  \n", "", None),
    ],
)
def test_what_is_meant_for_us(body: str, alone: str | None, together: str | None) -> None:
    assert said(text(body)) == alone
    assert said(text(body), KITCHEN) == together


def test_a_mention_and_a_reply_are_meant_for_us() -> None:
    mention = text("is the fern dry?", IDA, {"m.mentions": {"user_ids": [US]}})
    assert said(mention, KITCHEN) == "is the fern dry?"
    assert said(text("3"), KITCHEN, refers=7) == "3"
    assert said(text("3"), KITCHEN) is None


@pytest.mark.parametrize("sender", [US, TOM])
def test_a_notice_is_nobodys_and_we_dont_hear_ourselves(sender: str) -> None:
    notice = event({"msgtype": "m.notice", "body": "!help"}, sender)
    assert EAR.hear(notice, ALONE) == ()
    assert said(text("!help", sender)) == (None if sender == US else "/help")


def test_only_those_who_may_use_us() -> None:
    for allowed, heard in [
        ({IDA}, True),
        ({TOM}, False),
        ({ALONE.id}, True),
        ({":birch.test"}, True),
    ]:
        ear = replace(EAR, allowed=frozenset(allowed))
        assert bool(ear.hear(text("!help"), ALONE)) is heard, allowed
    # User ids of early servers may hold capitals; the settings are compared folded.
    loud = text("!help", "@Ida:Birch.test")
    room = replace(ALONE, names=lambda _who: "Ida")
    assert replace(EAR, allowed=frozenset({IDA})).hear(loud, room)


def test_a_number_may_be_a_choice_and_a_longer_one_is_not() -> None:
    for body, number in [("1", 1), ("4.", 4), ("2)", 2)]:
        (one,) = EAR.hear(text(body), ALONE)
        assert isinstance(one, Pick)
        assert (one.number, one.letter, one.message.text) == (number, False, body)
    (one,) = EAR.hear(text("B)"), ALONE)
    assert isinstance(one, Pick)
    assert (one.number, one.letter) == (2, True)
    for body in ("0", "10", "1 2", "3,4", "1/2"):
        assert isinstance(EAR.hear(text(body), ALONE)[0], Message)


@pytest.mark.parametrize(
    ("key", "index"), [("1️⃣", 0), ("2\ufe0f\u20e3", 1), ("3\u20e3", 2), ("4", 3), ("👍", None)]
)
def test_a_reaction_takes_a_choice(key: str, index: int | None) -> None:
    found = EAR.hear(reaction(key), KITCHEN, 12)
    if index is None:
        assert found == ()
        return
    (press,) = found
    assert isinstance(press, Press)
    assert (press.row, press.index) == (12, index)
    assert EAR.hear(reaction(key), KITCHEN, None) == ()  # to somebody else's message
    assert EAR.hear(reaction(key), KITCHEN, 0) == ()  # to one of ours that no row is known of


def test_an_edit_is_the_same_message_said_anew() -> None:
    first = text("water 200 ml")
    changed = {
        "m.new_content": {"msgtype": "m.text", "body": "water 250 ml"},
        "m.relates_to": {"rel_type": "m.replace", "event_id": first.event_id},
    }
    edit = text("* water 250 ml", IDA, changed, ago=-3)
    (one,) = EAR.hear(first, ALONE)
    (two,) = EAR.hear(edit, ALONE)
    assert _message(two).text == "water 250 ml"
    assert _message(two).id == _message(one).id
    assert _message(one).edit == 0
    assert _message(two).edit == edit.server_timestamp > 2**31  # more than 32 bits hold


def test_a_thread_is_kept_and_a_private_chat_needs_no_quote() -> None:
    relation = {
        "rel_type": "m.thread", "event_id": "$root", "is_falling_back": True,
        "m.in_reply_to": {"event_id": "$last"},
    }  # fmt: skip
    (one,) = EAR.hear(text("!plants", IDA, {"m.relates_to": relation}), KITCHEN)
    assert (_message(one).thread, _message(one).quoted) == ("$root", True)
    (one,) = EAR.hear(text("!plants"), ALONE)
    assert (_message(one).thread, _message(one).quoted) == (None, False)


@pytest.mark.parametrize(
    ("others", "title", "direct", "overhears"),
    [(1, "", True, True), (1, "Birch Street", False, True), (2, "", False, False)],
)
def test_whose_room_it_is(others: int, title: str, *, direct: bool, overhears: bool) -> None:
    room = replace(ALONE, others=others, title=title)
    (one,) = EAR.hear(text("!help"), room)
    address = _message(one).address
    assert (address.direct, address.title, address.sender_name) == (direct, title, "Ida")
    assert _message(one).overhears is overhears


def test_when_it_was_said() -> None:
    for ago, expected in [(0.4, NOW), (59, NOW), (61, NOW - timedelta(seconds=61)), (-9, NOW)]:
        (one,) = EAR.hear(text("fern 3", ago=ago), ALONE)
        assert _message(one).at == expected, ago


QUOTE = "> <@potside:birch.test> Fern: 3 and 4.\n> Water it well today."


@pytest.mark.parametrize(
    ("body", "left"),
    [
        (f"{QUOTE}\n\n!pour fern", "!pour fern"),
        (f"{QUOTE}\n\nfirst line\n> second", "first line\n> second"),
        ("> * <@ida:birch.test> waves\n\nyes", "yes"),
        ("no quote at all", "no quote at all"),
        ("> all of it", "> all of it"),
        ("\n> later", "\n> later"),
    ],
)
def test_quoted_lines_before_a_reply_go(body: str, left: str) -> None:
    assert without_quote(body) == left


def test_quotes_go_only_from_replies() -> None:
    content: dict[str, Any] = {"msgtype": "m.text", "body": "> 3 is dry\n\nisn't it"}
    assert body_of(content, quotes=False) == "> 3 is dry\n\nisn't it"
    assert body_of(content, quotes=True) == "isn't it"
    relation = {"m.relates_to": {"m.in_reply_to": {"event_id": "$ours"}}}
    reply = text(f"{QUOTE}\n\n2", IDA, relation)
    assert said(reply) == "2"


def test_pictures_come_with_all_that_fetches_them() -> None:
    plain = {"msgtype": "m.image", "body": "IMG_1.jpg", "url": "mxc://birch.test/abc"}
    (one,) = EAR.hear(event(plain | {"info": {"size": 9}}), ALONE)
    picture = _message(one).photo
    assert picture is not None
    assert (_message(one).text, picture.size) == ("", 9)
    assert json.loads(picture.ref) == {"url": "mxc://birch.test/abc"}
    captioned = plain | {"body": "fern 3", "filename": "IMG_1.jpg"}
    assert said(event(captioned)) == "fern 3"
    assert said(event(plain), KITCHEN) is None
    assert said(event(plain), KITCHEN, refers=3) == ""
    file = {"msgtype": "m.file", "body": "list.pdf", "url": "mxc://birch.test/def"}
    (one,) = EAR.hear(event(file), ALONE)
    assert (_message(one).text, _message(one).photo) == ("", None)


def test_whatever_else_happens_in_a_room() -> None:
    named = {
        "type": "m.room.name", "state_key": "", "event_id": "$n", "sender": IDA,
        "origin_server_ts": 1, "content": {"name": "Elm  Street"},
    }  # fmt: skip
    (one,) = EAR.hear(Event.parse_event(named), KITCHEN)
    assert isinstance(one, Renamed)
    assert one.title == "Elm Street"
    for broken in (
        {"msgtype": "m.text"},
        {"msgtype": "m.image", "body": 3, "url": None},
        {"msgtype": "m.text", "body": "x", "m.relates_to": "nothing"},
    ):
        found = Event.parse_event({
            "type": "m.room.message", "event_id": "$b", "sender": IDA, "origin_server_ts": 1,
            "content": broken,
        })  # fmt: skip
        assert len(EAR.hear(found, ALONE)) <= 1
