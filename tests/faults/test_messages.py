"""A message's way: kept once, worked on once, answered; what happens when that goes wrong."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import update
from structlog.testing import capture_logs

from bot.talk import conversation
from bot.talk.message import Reply, write
from bot.talk.reception import MOST_ATTEMPTS, MOST_STARTS
from bot.talk.turn import Turn
from core.store import inbox, outbox
from core.store.inbox import INBOX
from core.store.outbox import OUTBOX, Parcel

if TYPE_CHECKING:
    from tests.faults.conftest import Home

FERN = "/add Fern, Boston fern, 15 cm pot, bathroom, north window"


def test_a_message_delivered_twice_makes_no_second_event_and_no_second_reply(home: Home) -> None:
    home.say(FERN)
    check = home.message("fern 3 4")
    home.house.hear(check)
    events, said = home.count("event"), len(home.wall.heard)
    home.house.hear(check)
    home.house.hear(replace(check, at=home.clock.now()))
    home.restart()
    home.house.hear(check)
    assert (home.count("event"), len(home.wall.heard)) == (events, said)
    assert home.count("inbox") == 2


def test_an_edit_is_another_message_and_comes_once_as_well(home: Home) -> None:
    home.say(FERN)
    check = home.message("fern 3 4")
    edit = replace(check, text="fern 4 4", edit=1)
    for one in (check, edit, edit, check):
        home.house.hear(one)
    kinds = [kind for (kind,) in home.rows("event", "kind")]
    assert kinds == ["arrived", "checked", "undone", "checked"]
    assert len(home.wall.heard) == 3


def test_a_message_that_was_only_kept_is_worked_on_at_the_next_start(home: Home) -> None:
    home.say(FERN)
    for text in ("fern 3 4", "/plants", "/gave fern 400 ml"):
        home.house.reception.take_in(home.message(text))
    assert home.count("event") == 1
    home.restart()
    assert home.count("event") == 3
    assert home.wall.texts[1].startswith("Fern: 3 and 4")
    assert len(home.wall.heard) == 4
    assert inbox_states(home) == ["done"] * 4
    home.restart()
    assert len(home.wall.heard) == 4


def test_what_another_network_left_behind_is_its_own_business(home: Home) -> None:
    """Its process may be at it this moment, and the answer belongs there."""
    away = home.message("/help")
    away = replace(away, address=replace(away.address, network="elsewhere"))
    home.house.reception.take_in(away)
    home.restart()
    home.wait(hours=1)
    assert home.wall.heard == []
    assert inbox_states(home) == ["new"]


def test_its_network_may_deliver_it_again_before_it_was_worked_on(home: Home) -> None:
    """As when a process dies between the two, and the network asks the next one."""
    check = home.message(FERN)
    home.house.reception.take_in(check)
    home.house.hear(check)
    assert home.count("event") == 1
    assert len(home.wall.heard) == 1


def test_an_answer_that_was_not_sent_goes_out_at_the_next_start(home: Home) -> None:
    message = home.message(FERN)
    inbox_id = home.house.reception.take_in(message)
    assert inbox_id is not None
    home.house.reception.attend(inbox_id)
    assert home.wall.heard == []
    home.restart()
    assert len(home.wall.heard) == 1
    assert home.rows("outbox", "state") == [("sent",)]


def test_what_was_claimed_and_not_marked_is_put_back_at_the_next_start(home: Home) -> None:
    home.say(FERN)
    inbox_id = home.house.reception.take_in(home.message("fern 3 4"))
    assert inbox_id is not None
    home.house.reception.attend(inbox_id)
    with home.store.write() as tx:
        taken = outbox.claim(tx, "terminal", home.clock.now(), 10)
        assert outbox.claim(tx, "terminal", home.clock.now(), 10) == []
    assert len(taken) == 1
    home.house.tick()
    assert len(home.wall.heard) == 1  # somebody has it
    home.restart()
    assert len(home.wall.heard) == 2
    home.restart()
    assert len(home.wall.heard) == 2


def test_an_answer_is_not_kept_back_by_a_clock_that_stood_elsewhere(home: Home) -> None:
    """Killed, and started again with a clock that is behind."""
    ahead = replace(home.message("/help"), at=home.clock.now().replace(year=2027))
    home.house.reception.take_in(ahead)
    home.restart()
    assert len(home.wall.heard) == 1


# --- poison -------------------------------------------------------------------------------------


def inbox_states(home: Home) -> list[str]:
    """Of every message."""
    return [state for (state,) in home.rows("inbox", "state")]


@pytest.fixture
def poison(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """A program that fails after having done some work, whenever a text says so; the texts."""
    real, met = conversation.converse, []

    def converse(turn: Turn) -> Reply | None:
        reply = real(turn)
        if "poison" in turn.message.text:
            met.append(turn.message.text)
            raise ZeroDivisionError
        return reply

    monkeypatch.setattr(conversation, "converse", converse)
    return met


def test_a_message_that_always_fails_is_set_aside_and_its_sender_told_once(
    home: Home, poison: list[str]
) -> None:
    home.say(FERN)
    before = home.differences(), home.count("event")
    with capture_logs() as logs:
        said = home.say("/add Poison ivy, poison, 15 cm pot")
    assert "wrong on my side" in said
    assert [one["log_level"] for one in logs] == ["error"] * MOST_ATTEMPTS
    assert len(poison) == MOST_ATTEMPTS
    assert (home.differences(), home.count("event")) == before  # nothing half done
    with home.store.read() as tx:
        assert inbox.poisoned(tx) == [2]
    assert "3 and 4" in home.say("fern 3 4")  # others go on
    home.restart()
    assert len(poison) == MOST_ATTEMPTS
    assert len(home.wall.heard) == 3


def test_a_message_that_failed_once_and_then_worked_is_answered_once(
    home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    real, failures = conversation.converse, [ZeroDivisionError()]

    def converse(turn: Turn) -> Reply | None:
        reply = real(turn)
        if failures:
            raise failures.pop()
        return reply

    monkeypatch.setattr(conversation, "converse", converse)
    assert home.say(FERN).startswith("Fern")
    assert inbox_states(home) == ["done"]
    assert home.count("event") == 1


def test_a_message_that_ends_the_program_does_not_do_so_for_ever(
    home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault that no `except` meets: out of memory, a crash in a library, the machine's killer."""

    class KilledError(BaseException):
        pass

    def converse(_turn: Turn) -> Reply | None:
        raise KilledError

    with monkeypatch.context() as patch:
        patch.setattr(conversation, "converse", converse)
        with pytest.raises(KilledError):
            home.say("poison")
        for _ in range(MOST_STARTS):
            with pytest.raises(KilledError):
                home.restart()
        home.restart()
    assert "wrong on my side" in home.wall.texts[0]
    assert inbox_states(home) == ["poison"]
    assert home.say(FERN).startswith("Fern")


def test_a_message_that_no_longer_can_be_read_is_set_aside(home: Home) -> None:
    """Kept by a newer program, say. Nobody can be told; the start goes on."""
    message = home.message(FERN)
    home.house.reception.take_in(message)
    home.house.reception.take_in(home.message("/help"))
    with home.store.write() as tx:
        tx.execute(update(INBOX).where(INBOX.c.id == 1).values(payload='{"from": "the future"}'))
    home.restart()
    assert inbox_states(home) == ["poison", "done"]
    assert len(home.wall.heard) == 1


# --- the outbox ---------------------------------------------------------------------------------


def _fact(home: Home, topic: str, occasion: str) -> None:
    with home.store.write() as tx:
        outbox.put_fact(
            tx,
            outbox.Fact(
                household_id=1,
                chat_id=1,
                kind=outbox.REMINDER,
                occasion=occasion,
                topic=topic,
                facts="{}",
                due_at=home.clock.now(),
            ),
        )


def test_a_fact_without_words_does_not_keep_others_from_being_said(home: Home) -> None:
    home.say(FERN)
    _fact(home, "nobody words this", "1")
    _fact(home, "pour", "2")  # without its facts
    with home.store.write() as tx:
        tx.execute(update(OUTBOX).where(OUTBOX.c.id == 1).values(state="waiting", body="{"))
    assert "3 and 4" in home.say("fern 3 4")
    assert home.rows("outbox", "state") == [("failed",), ("failed",), ("failed",), ("sent",)]


def test_the_same_occasion_is_announced_once(home: Home) -> None:
    home.say(FERN)
    _fact(home, "a", "1")
    _fact(home, "b", "1")
    assert home.count("outbox") == 2


@pytest.mark.parametrize(
    ("trouble", "state"),
    [
        ("bot.duty.delivery.UncertainError", "uncertain"),
        ("bot.duty.delivery.RefusedError", "failed"),
        ("builtins.RuntimeError", "uncertain"),
    ],
)
def test_a_send_that_goes_wrong_concerns_that_row_alone(
    home: Home, trouble: str, state: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    import pydoc

    error: Callable[[], Exception] = pydoc.locate(trouble)  # type: ignore[assignment]
    real = home.wall.send

    def send(parcel: Parcel, reply: Reply) -> None:
        if "3 and 4" in reply.text:
            raise error()
        real(parcel, reply)

    monkeypatch.setattr(type(home.wall), "send", lambda _, parcel, reply: send(parcel, reply))
    home.say(FERN)
    home.say("fern 3 4")
    home.say("/help")
    assert home.rows("outbox", "state") == [("sent",), (state,), ("sent",)]
    home.restart()
    assert len(home.wall.heard) == 2


def test_an_answer_that_nobody_was_there_to_read_waits_for_the_next_start(
    home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    def send(_parcel: Parcel, _reply: Reply) -> None:
        raise BrokenPipeError

    with monkeypatch.context() as patch:
        patch.setattr(type(home.wall), "send", lambda _, parcel, reply: send(parcel, reply))
        with pytest.raises(BrokenPipeError):
            home.say(FERN)
    home.restart()
    assert len(home.wall.heard) == 1


def test_what_was_put_in_the_outbox_is_what_was_answered(home: Home) -> None:
    home.say(FERN)
    ((body,),) = home.rows("outbox", "body")
    assert body == write(home.wall.heard[0].reply)
