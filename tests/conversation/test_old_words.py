"""Five weeks later what was heard and said is gone, word by word; the journal stays."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from sqlalchemy import text as sql

from bot.duty.steps import OldWords, Talks
from bot.duty.sweep import Sweeper
from bot.talk.message import Message
from core.store.opening import open_store
from core.store.people import Address
from core.store.sweeping import KEPT
from tests.conversation.talking import InProcess


def _forgetful(stage: InProcess) -> InProcess:
    """Nothing falls due but this, and old questions."""
    stage.house.sweeper = Sweeper(stage.store, (Talks(), OldWords()))
    return stage


def _rows(stage: InProcess, query: str) -> list[Any]:
    with stage.store.read() as tx:
        return list(tx.execute(sql(query)).scalars())


def test_five_weeks_later_words_are_gone_and_the_journal_stays(db_url: str) -> None:
    store = open_store(db_url)
    stage = _forgetful(InProcess(store=store))
    stage.say("Ida", "/add fern, Boston fern, 15 cm pot")
    code = stage.say("Ida", "/invite")[0].text.split("\n")[0].removeprefix("Code: ")
    stage.say("Ida", "fern 3")
    journal = stage.journal()
    stage.wait_days(KEPT.days - 1)
    assert any(code in body for body in _rows(stage, "SELECT body FROM outbox WHERE body <> ''"))
    stage.say("Ida", "/plants")
    stage.wait_days(2)
    bodies = _rows(stage, "SELECT body FROM outbox")
    assert len(bodies) == 1
    assert "Fern" in bodies[0]
    words = "SELECT payload FROM inbox WHERE payload <> '{}'"
    assert ["/plants" in one for one in _rows(stage, words)] == [True]
    assert stage.journal() == journal
    assert "Today" not in stage.say("Ida", "/story fern")[0].text
    store.close()


def test_a_message_that_comes_again_after_its_words_went_is_known(stage: InProcess) -> None:
    _forgetful(stage)
    where = Address("terminal", "local", "main", "Ida", "Ida")
    check = Message(where, "m1", "fern 3", stage.clock.now())
    stage.say("Ida", "/add fern, Boston fern, 15 cm pot")
    stage.house.hear(check)
    stage.wait_days(KEPT.days + 5)
    stage.house.hear(check)
    assert stage.journal().count("checked") == 1


def test_much_of_it_goes_in_heaps(stage: InProcess) -> None:
    _forgetful(stage)
    for _ in range(3):
        stage.say("Ida", "/help")
    copy = (
        "INSERT INTO outbox (household_id, chat_id, kind, occasion, topic, facts, body, due_at,"
        " state, attempts) SELECT household_id, chat_id, kind, 'x' || value, topic, facts, body,"
        " due_at, state, attempts FROM outbox, json_each(:many) WHERE outbox.id = 1"
    )
    with stage.store.write() as tx:
        tx.execute(sql(copy), {"many": str(list(range(1200)))})
    stage.wait(KEPT + timedelta(days=2))
    assert _rows(stage, "SELECT id FROM outbox") == []
