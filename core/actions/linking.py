"""One person on several networks: an address that was somebody new becomes somebody known."""

from __future__ import annotations

from sqlalchemy import Connection

from core.actions import rounds
from core.journal import record
from core.store import belonging, merging, people
from core.store.engine import lock_household
from core.store.people import GONE, Address, Present


def become(
    tx: Connection, where: Address, who: Present, person_id: int, household_id: int
) -> Present:
    """Make whoever speaks at an address the same as somebody else; who they are then.

    What both did stands under the one name, and their private chats speak of one household.
    """
    for one in merging.households_with(tx, (person_id, who.person_id)):
        lock_household(tx, one)
    told = merging.wrote_in(tx, who.person_id)
    for one in merging.households_with(tx, (who.person_id,)):
        rounds.change_taker(tx, one, who.person_id, person_id)
    merging.merge(tx, person_id, who.person_id)
    for one in told:
        record.replay(tx, record.home_of(tx, one), one)
    if belonging.role_of(tx, household_id, person_id) not in (None, GONE):
        belonging.point_private(tx, person_id, household_id)
    there = people.find(tx, where)
    if there is None:
        raise LookupError("the person just linked can't be found")
    return there
