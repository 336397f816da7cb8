"""Which household is meant, where somebody in a private chat belongs to several."""

from __future__ import annotations

from dataclasses import replace

from bot.talk import quoted
from bot.talk.catalogue import Catalogue
from bot.talk.message import Message, Reply, Step
from bot.talk.turn import Turn
from core.actions import rights
from core.actions.rights import Standing
from core.journal import plants
from core.journal.plants import name_key
from core.store import belonging, dialogues, people
from core.store.engine import Transaction
from core.store.outbox import Parcel
from core.store.people import Present


def first_name(founder: str) -> str:
    """What a household is called until somebody names it."""
    return Catalogue()("people-first-name", name=founder)


def meant(tx: Transaction, who: Present, message: Message) -> Present:
    """A button, and a reply to what we said, speak of the household that was said for.

    If whoever speaks still belongs there.
    """
    if not who.several:
        return who
    household = _shown_for(tx, who, message.step)
    if household is None:
        said = quoted.earlier(tx, who, message)
        household = said.household_id if said is not None else None
    if household is None or household == who.household_id:
        return who
    return people.within(tx, who, household) or who


def _shown_for(tx: Transaction, who: Present, step: Step | None) -> int | None:
    talk = dialogues.get(tx, step.dialogue) if step is not None else None
    return talk.household_id if talk is not None and talk.chat_id == who.chat_id else None


def elsewhere(turn: Turn, said: str) -> list[str]:
    """Somebody's other households that have a plant of this name, where they may act now."""
    if not turn.who.several:
        return []
    found = []
    for one in people.households_of(turn.tx, turn.who.person_id):
        there = (
            people.within(turn.tx, turn.who, one.id) if one.id != turn.who.household_id else None
        )
        if there is None or rights.standing(there, turn.now) is not Standing.IN:
            continue
        if plants.by_keys(turn.tx, one.id, [name_key(said)]):
            found.append(one.name)
    return found


def named(turn: Turn, reply: Reply) -> Reply:
    """The reply with the household's name before it, where it could be mistaken."""
    return _before(turn.words, turn.who.household, reply) if turn.who.several else reply


def named_unasked(tx: Transaction, parcel: Parcel, words: Catalogue, reply: Reply) -> Reply:
    """The same for what is said unasked in a private chat."""
    household = belonging.said_for(tx, parcel.chat_id, parcel.household_id)
    return reply if household is None else _before(words, household, reply)


def _before(words: Catalogue, household: str, reply: Reply) -> Reply:
    if reply.text.startswith(household):
        return reply
    return replace(reply, text=f"{words('people-said-for', household=household)} {reply.text}")
