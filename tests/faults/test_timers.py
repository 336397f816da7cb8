"""What falls due without being asked: in order, each at its own moment, none in another's way."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import update
from structlog.testing import capture_logs

from core.actions import pouring
from core.store import dialogues
from core.store.dialogues import DIALOGUE, Talk
from core.store.engine import Transaction

if TYPE_CHECKING:
    from tests.faults.conftest import Heard, Home

PLANTS = ("Fern", "Ivy", "Goldie")
KINDS = ("Boston fern", "English ivy", "golden pothos")


@pytest.fixture
def pouring_three(home: Home) -> Home:
    """Three pots that want water, and a first half to be poured into each."""
    for name, kind in zip(PLANTS, KINDS, strict=True):
        home.say(f"/add {name}, {kind}, 15 cm pot, hall, north window")
        home.say(f"{name} 3 4")
        assert "first half" in home.say(f"/pour {name}").casefold()
    return home


def _moments(home: Home, heard: list[Heard]) -> list[tuple[str, float]]:
    """About which plant, how many minutes before now."""
    return [
        (one.text.partition(":")[0], (home.clock.now() - one.at) / timedelta(minutes=1))
        for one in heard
    ]


def test_what_is_due_at_different_moments_comes_at_each(pouring_three: Home) -> None:
    home = pouring_three
    for name in ("Goldie", "Fern", "Ivy"):
        home.say(f"/pour {name} poured")
        home.wait(minutes=2)
    heard = home.wait(hours=3)
    assert _moments(home, heard) == [("Goldie", 179), ("Fern", 177), ("Ivy", 175)]


def test_what_is_due_at_one_moment_comes_in_the_order_it_was_begun(pouring_three: Home) -> None:
    home = pouring_three
    for name in ("Goldie", "Fern", "Ivy"):
        home.say(f"/pour {name} poured")
    heard = home.wait(hours=3)
    assert _moments(home, heard) == [("Fern", 173), ("Ivy", 173), ("Goldie", 173)]


def test_after_a_long_absence_each_is_asked_about_once(pouring_three: Home) -> None:
    """Nobody ran the program for three days: one question each, now, and time to answer it."""
    home = pouring_three
    home.say("/pour fern poured")
    home.say("/pour ivy poured")
    home.clock.move_to(home.clock.now() + timedelta(days=3))
    before = len(home.wall.heard)
    home.restart()
    came = home.wall.heard[before:]
    assert [one.text.partition(":")[0] for one in came[:2]] == ["Fern", "Ivy"]
    assert all("saucer" in one.text for one in came[:2])
    assert "Goldie" in came[2].text  # nobody ever poured: that pour is closed, said once
    assert len(came) == 3
    home.restart()
    assert len(home.wall.heard) == before + 3
    assert "other half" in home.say("/pour fern none")
    late = home.wait(days=1)
    assert next(one.at for one in late if "Ivy" in one.text) == came[0].at + timedelta(hours=6)


def test_a_pour_left_alone_is_kept_as_far_as_it_came(pouring_three: Home) -> None:
    home = pouring_three
    home.say("/pour fern poured")
    home.wait(days=2)
    (body,) = [body for kind, body in home.rows("event", "kind", "body") if kind == "poured"]
    assert json.loads(body)["portions_l"] == [pytest.approx(0.2, abs=0.01)]  # the first of 400 ml
    assert home.wait(days=30) == []  # and nothing more is said of it
    assert home.differences() == []


def test_a_dialogue_that_fails_keeps_no_other_from_its_moment(
    pouring_three: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = pouring_three
    for name in PLANTS:
        home.say(f"/pour {name} poured")
    with home.store.write() as tx:
        ivy = dialogues.open_about(tx, 1, pouring.SUBJECT)[1]
        tx.execute(update(DIALOGUE).where(DIALOGUE.c.id == ivy.id).values(state='{"v": 99}'))
    with capture_logs() as logs:
        heard = home.wait(minutes=10)
    assert _moments(home, heard) == [("Fern", 3), ("Goldie", 3)]
    assert {one["due"] for one in logs if one["log_level"] == "error"} == {ivy.id}
    with home.store.read() as tx:
        after = dialogues.get(tx, ivy.id)
    assert after is not None
    assert (after.due_at, after.closed_at) == (None, None)
    home.restart()  # it does not stand in the way of a start either
    assert "saucer" in home.say("/pour fern")


def test_a_dialogue_that_fails_once_is_moved_on(
    pouring_three: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = pouring_three
    home.say("/pour fern poured")
    real, failures = pouring.time_up, [ZeroDivisionError()]

    def time_up(tx: Transaction, talk: Talk, now: datetime) -> None:
        real(tx, talk, now)
        if failures:
            raise failures.pop()

    monkeypatch.setattr(pouring, "time_up", time_up)
    assert _moments(home, home.wait(minutes=10)) == [("Fern", 3)]


def test_a_question_that_is_said_late_asks_nothing_that_was_answered(pouring_three: Home) -> None:
    """The look is due, the process dies before it says so, and the person answers unasked."""
    home = pouring_three
    home.say("/pour fern poured")
    home.clock.move_to(home.clock.now() + timedelta(minutes=8))
    home.house.sweeper.sweep(home.clock.now())  # died here
    none = home.message("/pour fern none")
    home.house.reception.take_in(none)
    home.restart()
    asked, then = home.wall.texts[-2:]
    assert "saucer" in asked
    assert "other half" in then
    home.say("/pour fern poured")
    (body,) = [body for kind, body in home.rows("event", "kind", "body") if kind == "poured"]
    assert len(json.loads(body)["portions_l"]) == 2


def test_two_that_answer_the_same_step_cannot_both_move_it(pouring_three: Home) -> None:
    """Each has read the dialogue; whoever writes second is told so, and nothing is poured twice."""
    home = pouring_three
    with home.store.read() as tx:
        fern = dialogues.open_about(tx, 1, pouring.SUBJECT)[0]
    with home.store.write() as tx:
        assert dialogues.advance(tx, fern, stage="resting", state=fern.state)
    with home.store.write() as tx:
        assert not dialogues.advance(tx, fern, stage="looking", state=fern.state)
    with home.store.write() as tx:
        assert dialogues.close(tx, fern.id, home.clock.now())
        assert not dialogues.close(tx, fern.id, home.clock.now())
        assert not dialogues.advance(tx, fern, stage="looking", state=fern.state)
