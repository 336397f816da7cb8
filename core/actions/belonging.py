"""Who belongs to a household: giving parts, sending away, choosing and founding another."""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum

from sqlalchemy import Connection

from core.actions import rounds
from core.store import belonging, people
from core.store.belonging import Belongs
from core.store.people import GONE, KEEPER, Present

MOST_FOUNDED = 30
"""So many households may somebody belong to before founding another."""


class Done(StrEnum):
    """What became of a change of somebody's part."""

    DONE = "done"
    SAME = "same"
    LAST_KEEPER = "last-keeper"


def give_part(tx: Connection, who: Present, whom: Belongs, role: str, now: datetime) -> Done:
    """Make somebody keeper or member; the last keeper stays one."""
    if whom.role == role:
        return Done.SAME
    if _is_last_keeper(tx, who.household_id, whom):
        return Done.LAST_KEEPER
    belonging.set_part(tx, who.household_id, whom.person_id, role, since=now)
    return Done.DONE


def send_away(tx: Connection, who: Present, whom: Belongs, now: datetime) -> Done:
    """End somebody's part; what they did stays under their name.

    What is under way in their private chat goes on in the chat of whoever sends them away. One
    who goes leaves it to the household's other chats; where nobody else is, anybody may go.
    """
    others = [one for one in belonging.of_household(tx, who.household_id) if one != whom]
    if (others or not who.direct) and _is_last_keeper(tx, who.household_id, whom):
        return Done.LAST_KEEPER
    belonging.set_part(tx, who.household_id, whom.person_id, GONE, since=whom.since, until=now)
    rounds.change_taker(tx, who.household_id, whom.person_id, None)
    heir = _heir(tx, who, whom)
    belonging.clear_chats(tx, who.household_id, whom.person_id, heir_id=heir)
    return Done.DONE


def _heir(tx: Connection, who: Present, whom: Belongs) -> int:
    """Where a pour that was begun in private goes on."""
    if who.person_id != whom.person_id or not who.direct:
        return who.chat_id
    chats = belonging.chats_of(tx, who.household_id)
    living = [one.id for one in chats if not one.gone and one.id != who.chat_id]
    home = belonging.home_of(tx, who.household_id)
    return home if home in living and home is not None else next(iter(living), who.chat_id)


def _is_last_keeper(tx: Connection, household_id: int, whom: Belongs) -> bool:
    keepers = [one for one in belonging.of_household(tx, household_id) if one.role == KEEPER]
    return [one.person_id for one in keepers] == [whom.person_id]


def choose(tx: Connection, who: Present, household_id: int) -> Present | None:
    """Have a person's private chats speak of another of their households; None if it isn't one."""
    there = people.within(tx, who, household_id)
    if there is None or not who.direct:
        return None
    belonging.point_private(tx, who.person_id, household_id)
    return there


def found(tx: Connection, who: Present, name: str, now: datetime) -> Present | None:
    """Found another household in a private chat, in the same zone and ways; None: too many."""
    if len(people.households_of(tx, who.person_id)) >= MOST_FOUNDED:
        return None
    new = people.found(tx, name, now, zone=who.zone.key, settings=who.settings)
    belonging.set_part(tx, new, who.person_id, KEEPER, since=now)
    people.set_home(tx, new, who.chat_id)
    return choose(tx, who, new)
