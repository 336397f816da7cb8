"""What the modules of the store promise, on SQLite and on PostgreSQL alike."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import Connection, update

from core.store import dialogues, inbox, outbox, people, postbox
from core.store.dialogues import Option
from core.store.engine import Store
from core.store.inbox import Key
from core.store.outbox import CHAT, Fact, Parcel
from core.store.people import Address, Present

AT = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
KEY = Key("terminal", "local", "main", "m1")
IDA = Address("terminal", "local", "main", "ida", "Ida")
TOM = Address("terminal", "local", "main", "tom", "Tom")
AWAY = Address("telegram", "bot", "77", "4711", "Ida")


@pytest.fixture
def tx(store: Store) -> Iterator[Connection]:
    """One open transaction."""
    with store.write() as opened:
        yield opened


def _welcome(tx: Connection, who: Address = IDA) -> Present:
    return people.welcome(tx, who, AT, zone="Europe/Berlin", settings="{}", name="Birch Street")


# --- inbox --------------------------------------------------------------------------------------


def test_a_message_is_kept_once_and_an_edit_of_it_is_another(tx: Connection) -> None:
    first = inbox.put(tx, KEY, "{}", AT)
    assert first is not None
    assert inbox.put(tx, KEY, "other", AT + MINUTE) is None
    edits = [inbox.put(tx, Key("terminal", "local", "main", "m1", n), "{}", AT) for n in (1, 2)]
    others = [Key("terminal", "local", "main", "m2"), Key("terminal", "local", "dm", "m1")]
    assert all(inbox.put(tx, key, "{}", AT) for key in others)
    entry = inbox.open_entry(tx, first)
    assert entry is not None
    assert (entry.payload, entry.attempts) == ("{}", 0)
    assert inbox.earlier_edits(tx, Key("terminal", "local", "main", "m1", 2)) == [edits[0], first]


def test_what_is_finished_or_set_aside_waits_no_more(tx: Connection) -> None:
    ids = [inbox.put(tx, Key("t", "l", "m", str(n)), "{}", AT + n * MINUTE) or 0 for n in range(5)]
    assert inbox.waiting(tx) == ids
    inbox.finish(tx, ids[1])
    inbox.finish(tx, ids[3], state=inbox.POISON)
    assert inbox.waiting(tx) == [ids[0], ids[2], ids[4]]
    assert inbox.waiting(tx, limit=2) == [ids[0], ids[2]]
    assert inbox.waiting(tx, after=ids[0]) == [ids[2], ids[4]]
    assert inbox.waiting(tx, told_by=AT + 2 * MINUTE) == [ids[0], ids[2]]
    other = inbox.put(tx, KEY, "{}", AT)
    assert inbox.waiting(tx, network="terminal") == [other]
    assert inbox.waiting(tx, network="t") == [ids[0], ids[2], ids[4]]
    assert inbox.poisoned(tx) == [ids[3]]
    assert inbox.open_entry(tx, ids[1]) is None
    assert inbox.unfinished(tx, Key("t", "l", "m", "1")) is None
    assert inbox.unfinished(tx, Key("t", "l", "m", "2")) == ids[2]


def test_failures_are_counted(tx: Connection) -> None:
    inbox_id = inbox.put(tx, KEY, "{}", AT) or 0
    assert [inbox.count_attempt(tx, inbox_id) for _ in range(3)] == [1, 2, 3]
    entry = inbox.open_entry(tx, inbox_id)
    assert entry is not None
    assert entry.attempts == 3


# --- outbox -------------------------------------------------------------------------------------


def _fact(who: Present, occasion: str, due_at: datetime = AT) -> Fact:
    return Fact(who.household_id, who.chat_id, outbox.REMINDER, occasion, "topic", "{}", due_at)


def _claimed(tx: Connection, now: datetime = AT, network: str = "terminal") -> list[Parcel]:
    return outbox.claim(tx, network, now, 50)


def test_rows_are_claimed_once_oldest_first_and_not_before_their_time(tx: Connection) -> None:
    who = _welcome(tx)
    for occasion, minutes in (("late", 9), ("second", 1), ("first", 0), ("third", 1)):
        outbox.put_fact(tx, _fact(who, occasion, AT + minutes * MINUTE))
    assert outbox.next_due(tx, "terminal") == AT
    ids = {3: "first", 2: "second", 4: "third", 1: "late"}
    assert [one.id for one in outbox.claim(tx, "terminal", AT + MINUTE, 2)] == [3, 2]
    assert [one.id for one in _claimed(tx, AT + 8 * MINUTE)] == [4]
    assert _claimed(tx, AT + 8 * MINUTE) == []
    assert outbox.next_due(tx, "terminal") == AT + 9 * MINUTE
    (parcel,) = _claimed(tx, AT + 9 * MINUTE)
    assert ids[parcel.id] == "late"
    assert (parcel.body, parcel.network, parcel.chat, parcel.zone) == (
        None,
        "terminal",
        "main",
        "Europe/Berlin",
    )


def test_a_network_gets_its_own_and_nothing_for_chats_that_are_gone(tx: Connection) -> None:
    here, there = _welcome(tx), _welcome(tx, AWAY)
    outbox.put_fact(tx, _fact(here, "1"))
    outbox.put_fact(tx, _fact(there, "1"))
    assert [one.chat for one in _claimed(tx, network="telegram")] == ["77"]
    tx.execute(update(CHAT).where(CHAT.c.id == here.chat_id).values(gone_at=AT))
    assert outbox.next_due(tx, "terminal") is None
    assert _claimed(tx) == []


def test_the_same_occasion_in_the_same_chat_is_one(tx: Connection) -> None:
    here, there = _welcome(tx), _welcome(tx, AWAY)
    for who in (here, here, there):
        outbox.put_fact(tx, _fact(who, "pour.1.2"))
    assert [len(_claimed(tx, network=one)) for one in ("terminal", "telegram")] == [1, 1]


def test_only_claims_are_put_back_and_only_a_networks_own(tx: Connection) -> None:
    here, there = _welcome(tx), _welcome(tx, AWAY)
    for who in (here, there):
        for occasion in ("1", "2"):
            outbox.put_fact(tx, _fact(who, occasion))
    sent, _ = _claimed(tx)
    outbox.mark(tx, sent.id, outbox.SENT, AT)
    _claimed(tx, network="telegram")
    assert outbox.release_claims(tx, "terminal") == 1
    assert [one.id for one in _claimed(tx)] == [2]
    assert _claimed(tx, network="telegram") == []


def test_a_wording_stays(tx: Connection) -> None:
    outbox.put_fact(tx, _fact(_welcome(tx), "1"))
    (first,) = _claimed(tx)
    outbox.freeze(tx, first.id, '{"text": "hm"}')
    outbox.release_claims(tx, "terminal")
    (again,) = _claimed(tx)
    assert again.body == '{"text": "hm"}'


def test_answers_are_never_early_and_reminders_may_be(tx: Connection) -> None:
    who = _welcome(tx)
    inbox_id = inbox.put(tx, KEY, "{}", AT) or 0
    outbox.put_reply(
        tx,
        household_id=who.household_id,
        chat_id=who.chat_id,
        person_id=who.person_id,
        inbox_id=inbox_id,
        body="{}",
        now=AT + 9 * MINUTE,
    )
    outbox.put_fact(tx, _fact(who, "1", AT + 9 * MINUTE))
    assert _claimed(tx) == []
    outbox.hasten_replies(tx, "terminal", AT)
    assert [one.kind for one in _claimed(tx)] == [outbox.REPLY]


def test_a_reply_in_hand_is_claimed_when_it_is_taken_and_not_when_it_was_asked_for(
    tx: Connection,
) -> None:
    """A message may have waited for us for hours; its answer is nobody else's meanwhile."""
    who = _welcome(tx)
    row = outbox.put_reply(
        tx,
        household_id=who.household_id,
        chat_id=who.chat_id,
        person_id=who.person_id,
        inbox_id=inbox.put(tx, KEY, "{}", AT) or 0,
        body="{}",
        now=AT,
        claimed_at=AT + 90 * MINUTE,
    )
    assert _claimed(tx) == []
    assert postbox.release_old_claims(tx, "terminal", AT + 85 * MINUTE) == 0
    assert postbox.release_old_claims(tx, "terminal", AT + 95 * MINUTE) == 1
    assert [one.id for one in _claimed(tx)] == [row]


def test_the_latest_buttons_of_a_chat_are_those_last_sent(tx: Connection) -> None:
    who = _welcome(tx)
    bodies = (
        '{"text":"a","buttons":[{"label":"A","send":"/a"}],"step":{"dialogue":3,"version":2}}',
        '{"text":"b","buttons":[{"label":"B","send":"/b"}]}',
        '{"text":"c"}',
    )
    for number, body in enumerate(bodies):
        outbox.put_fact(tx, _fact(who, str(number)))
        outbox.freeze(tx, number + 1, body)
    assert outbox.latest_choices(tx, "terminal", "local", "main") is None
    for row, minutes in ((1, 1), (3, 2)):
        outbox.mark(tx, row, outbox.SENT, AT + minutes * MINUTE)
    assert outbox.latest_choices(tx, "terminal", "local", "main") == ([Option("A", "/a")], (3, 2))
    outbox.mark(tx, 2, outbox.SENT, AT + 3 * MINUTE)
    assert outbox.latest_choices(tx, "terminal", "local", "main") == ([Option("B", "/b")], None)
    assert outbox.latest_choices(tx, "terminal", "local", "elsewhere") is None


# --- dialogues ----------------------------------------------------------------------------------


def _begin(tx: Connection, who: Present, due_at: datetime | None = None) -> int:
    return dialogues.begin(
        tx,
        household_id=who.household_id,
        chat_id=who.chat_id,
        person_id=who.person_id,
        subject="pour",
        stage="one",
        now=AT,
        options=[Option("Yes", "/yes")],
        due_at=due_at,
    )


def test_a_dialogue_moves_once_from_each_version(tx: Connection) -> None:
    who = _welcome(tx)
    one = dialogues.get(tx, _begin(tx, who))
    assert one is not None
    assert (one.version, one.stage, one.options) == (1, "one", (Option("Yes", "/yes"),))
    assert dialogues.advance(tx, one, stage="two", state='{"n": 1}', due_at=AT + MINUTE)
    assert not dialogues.advance(tx, one, stage="other", state="{}")
    two = dialogues.get(tx, one.id)
    assert two is not None
    assert (two.version, two.stage, two.state, two.due_at) == (2, "two", '{"n": 1}', AT + MINUTE)
    assert (two.chat_id, two.person_id) == (one.chat_id, one.person_id)
    assert two.options == ()


def test_a_closed_dialogue_is_closed(tx: Connection) -> None:
    one = dialogues.get(tx, _begin(tx, _welcome(tx), AT))
    assert one is not None
    assert dialogues.close(tx, one.id, AT)
    assert not dialogues.close(tx, one.id, AT)
    assert not dialogues.advance(tx, one, stage="two", state="{}")
    dialogues.set_options(tx, one.id, [Option("Late", "/late")])
    after = dialogues.get(tx, one.id)
    assert after is not None
    assert (after.options, after.due_at, after.closed_at) == ((), None, AT)
    assert dialogues.open_about(tx, one.household_id, "pour") == []


def test_choices_of_a_stage_that_is_over_are_not_kept(tx: Connection) -> None:
    one = dialogues.get(tx, _begin(tx, _welcome(tx)))
    assert one is not None
    dialogues.advance(tx, one, stage="two", state="{}", options=[Option("Two", "/two")])
    dialogues.set_options(tx, one.id, [Option("One", "/one")], version=1)
    after = dialogues.get(tx, one.id)
    assert after is not None
    assert after.options == (Option("Two", "/two"),)


def test_what_is_due_comes_in_order_and_only_as_it_stands(tx: Connection) -> None:
    who = _welcome(tx)
    ids = [_begin(tx, who, AT + minutes * MINUTE) for minutes in (3, 1, 2, 9)]
    _begin(tx, who)
    assert dialogues.next_due(tx) == AT + MINUTE
    assert dialogues.due(tx, AT) == []
    found = dialogues.due(tx, AT + 3 * MINUTE)
    assert [one.id for one in found] == [ids[1], ids[2], ids[0]]
    assert {one.household_id for one in found} == {who.household_id}
    assert [one.id for one in dialogues.due(tx, AT + 3 * MINUTE, limit=1)] == [ids[1]]
    first = dialogues.still_due(tx, ids[1], AT + 3 * MINUTE)
    assert first is not None
    dialogues.advance(tx, first, stage="two", state="{}", due_at=AT + 5 * MINUTE)
    assert dialogues.still_due(tx, ids[1], AT + 3 * MINUTE) is None
    dialogues.close(tx, ids[2], AT)
    dialogues.set_aside(tx, ids[0])
    assert dialogues.due(tx, AT + 4 * MINUTE) == []
    assert dialogues.next_due(tx) == AT + 5 * MINUTE
    left = dialogues.get(tx, ids[0])
    assert left is not None
    assert (left.due_at, left.closed_at) == (None, None)


# --- people -------------------------------------------------------------------------------------


def test_whoever_speaks_first_founds_the_household_and_the_next_joins(tx: Connection) -> None:
    assert people.find(tx, IDA) is None
    ida, tom = _welcome(tx), _welcome(tx, TOM)
    assert ida.household_id == tom.household_id
    assert ida.person_id != tom.person_id
    assert people.find(tx, IDA) == ida == _welcome(tx)
    assert people.names(tx, ida.household_id) == {ida.person_id: "Ida", tom.person_id: "Tom"}
    roles = tx.execute(people.MEMBERSHIP.select().order_by(people.MEMBERSHIP.c.id)).all()
    assert [row.role for row in roles] == [people.KEEPER, people.MEMBER]


def test_a_person_is_one_in_all_chats_of_a_network(tx: Connection) -> None:
    here = _welcome(tx)
    other = _welcome(tx, Address("terminal", "local", "studio", "ida", "Ida"))
    private = _welcome(tx, Address("terminal", "local", "dm:Tom", "tom", "Tom", direct=True))
    assert here.person_id == other.person_id
    assert here.household_id != other.household_id
    assert private.household_id not in {here.household_id, other.household_id}
    assert _welcome(tx, AWAY).person_id != here.person_id


def test_the_question_a_person_was_asked_last_is_theirs_in_that_household(tx: Connection) -> None:
    ida, tom = _welcome(tx), _welcome(tx, TOM)
    question = _begin(tx, ida)
    people.set_asked(tx, ida, question)
    after = people.find(tx, IDA)
    assert after is not None
    assert after.asked == question
    assert people.find(tx, TOM) == tom
    people.set_asked(tx, after, None)
    assert people.find(tx, IDA) == ida


def test_a_household_keeps_what_is_changed(tx: Connection) -> None:
    ida = _welcome(tx)
    people.change_household(tx, ida.household_id, zone="America/Lima", settings='{"language":"en"}')
    after = people.find(tx, IDA)
    assert after is not None
    assert (after.zone.key, after.settings) == ("America/Lima", '{"language":"en"}')
