"""Forgetting somebody: what they did stays as somebody's; their name, words and pictures go."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from sqlalchemy import Connection

from core.actions import correcting, forgetting, rounds
from core.journal import ledger, record
from core.journal.events import Pictured
from core.journal.ledger import Teller
from core.store import belonging, merging, people
from core.store import forgetting as kept
from core.store.engine import lock_household
from core.store.people import GONE, KEEPER, Part, Present


@dataclass(frozen=True, slots=True)
class Parting:
    """What it would mean: households that need another keeper first, that go whole, that stay."""

    keeperless: tuple[str, ...]
    alone: tuple[str, ...]
    others: tuple[str, ...]
    photos: int
    word: str


def ask(tx: Connection, who: Present, now: datetime) -> Parting:
    """What forgetting somebody would mean."""
    theirs = people.households_of(tx, who.person_id)
    alone = [one for one in theirs if _is_alone(tx, one, who.person_id)]
    keeperless = [
        one for one in theirs if one not in alone and _is_only_keeper(tx, one, who.person_id)
    ]
    others = [one for one in theirs if one not in alone]
    return Parting(
        tuple(one.name for one in keeperless),
        tuple(one.name for one in alone),
        tuple(one.name for one in others),
        kept.photos_by(tx, who.person_id),
        _word(who, now),
    )


def _word(who: Present, now: datetime) -> str:
    return forgetting.word_for(f"me.{who.person_id}.{now.date().isoformat()}")


def _is_alone(tx: Connection, one: Part, person_id: int) -> bool:
    return [other.person_id for other in belonging.of_household(tx, one.id)] == [person_id]


def _is_only_keeper(tx: Connection, one: Part, person_id: int) -> bool:
    there = belonging.of_household(tx, one.id)
    return [other.person_id for other in there if other.role == KEEPER] == [person_id]


def forget_me(
    tx: Connection, who: Present, word: str, now: datetime, teller: Teller
) -> Present | None:
    """Forget somebody, if the word is that of today or yesterday; None if it isn't.

    Raises PermissionError where others would be left without a keeper. Who is answered then: in
    private nobody's household, which goes with the chat.
    """
    if word.upper() not in {_word(who, day) for day in (now, now - timedelta(days=1))}:
        return None
    for one in merging.households_with(tx, (who.person_id,)):
        lock_household(tx, one)
    if ask(tx, who, now).keeperless:
        raise PermissionError(who.household)
    _take_pictures_back(tx, who.person_id, teller)
    for part in people.households_of(tx, who.person_id):
        if _is_alone(tx, part, who.person_id):
            kept.empty(tx, part.id, None, now)
        else:
            _leave(tx, part.id, who.person_id, now)
    shell = kept.forget_person(tx, who.person_id, teller.inbox_id, now)
    return replace(who, household_id=shell, household="", several=False) if who.direct else who


def _leave(tx: Connection, household_id: int, person_id: int, now: datetime) -> None:
    """What is under way in their private chats goes on in another of the household's, if any."""
    belonging.set_part(tx, household_id, person_id, GONE, since=now, until=now)
    rounds.change_taker(tx, household_id, person_id, None)
    mine = kept.private_chats(tx, person_id)
    living = [
        one.id
        for one in belonging.chats_of(tx, household_id)
        if not one.gone and one.id not in mine
    ]
    home = belonging.home_of(tx, household_id)
    if living:
        heir = home if home is not None and home in living else living[0]
        belonging.clear_chats(tx, household_id, person_id, heir_id=heir)


def _take_pictures_back(tx: Connection, person_id: int, teller: Teller) -> None:
    """So the journal speaks of none that isn't there."""
    for household_id in merging.wrote_in(tx, person_id):
        entries = ledger.told_by(tx, household_id, person_id, Pictured.kind)
        if entries:
            home = record.home_of(tx, household_id)
            mine = replace(teller, household_id=household_id)
            correcting.take_back(tx, mine, home, entries)
            teller.ordinal = mine.ordinal
