"""Inviting: a code that is made once, works once, and links a person or a group's chat.

A code of the other kind makes an address on another network the same person as its maker.
Only the digest of a code is kept; what is typed is read without case, spaces and dashes. With
LENGTH of LETTERS there are 31^12 codes, and wrong ones are counted.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from sqlalchemy import Connection

from core.actions import linking
from core.store import belonging, chats, forgetting, invites, people
from core.store.engine import lock_household
from core.store.people import GONE, KEEPER, ROLES, SITTER, Address, Present

# Nothing that is taken for something else: no O and 0, no I, 1 and L.
LETTERS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
LENGTH = 12
LASTS = timedelta(days=7)
# In place of a role: whoever uses this code is its maker. Both hands are at work, so not for long.
SELF = "self"
LASTS_SELF = timedelta(hours=1)

# Somebody who mistypes does so twice; beyond these it is guessing (ours).
MOST_BY_SENDER = 5
MOST_BY_HOUSEHOLD = 20
WINDOW = timedelta(hours=1)


class Came(StrEnum):
    """What became of a code."""

    JOINED = "joined"
    LINKED = "linked"
    ALREADY = "already"
    NONE = "none"
    TOO_MANY = "too-many"
    HAS_PLANTS = "has-plants"
    NOT_HERE = "not-here"
    NOT_KEEPER = "not-keeper"
    SAME = "same"
    SAME_ALREADY = "same-already"
    SAME_NOT_HERE = "same-not-here"


@dataclass(frozen=True, slots=True)
class Joining:
    """What became of a code, and who somebody is now: of the household they joined, if they did."""

    came: Came
    who: Present


def plain(code: str) -> str | None:
    """A code as it is compared; None for what can't be one."""
    said = "".join(char for char in code.upper() if char not in " -\u2010\u2011\u2013")
    return said if len(said) == LENGTH and set(said) <= set(LETTERS) else None


def invite(
    tx: Connection,
    who: Present,
    code: str,
    role: str,
    now: datetime,
    time: tuple[datetime, datetime] | None = None,
) -> datetime:
    """Keep an invitation under a fresh code; until when it may be used. `time`: a sitter's."""
    since, until = time or (None, None)
    expires_at = now + (LASTS_SELF if role == SELF else LASTS)
    invites.put(
        tx,
        _digest(code),
        household_id=who.household_id,
        person_id=who.person_id,
        role=role,
        since=since,
        until=until,
        expires_at=expires_at,
    )
    return expires_at


def _digest(code: str) -> str:
    return hashlib.sha256((plain(code) or "").encode()).hexdigest()


def join(tx: Connection, where: Address, who: Present, code: str, now: datetime) -> Joining:
    """Use a code: in private it makes the person part of the household, in a group the chat too.

    A wrong code is counted; what isn't done for another reason leaves the code as it was.
    """
    sender = f"{where.network}:{where.account}:{where.sender}"
    mine, ours = invites.guesses(tx, sender, who.household_id, now - WINDOW)
    if mine >= MOST_BY_SENDER or ours >= MOST_BY_HOUSEHOLD:
        return Joining(Came.TOO_MANY, who)
    found = invites.standing(tx, _digest(code), now) if plain(code) is not None else None
    if found is None:
        invites.note_guess(tx, sender, who.household_id, now, now - WINDOW)
        return Joining(Came.NONE, who)
    if found.role == SELF:
        return _same_person(tx, where, who, found, now)
    lock_household(tx, found.household_id)
    return _private(tx, who, found, now) if who.direct else _group(tx, who, found, now)


def _same_person(
    tx: Connection, where: Address, who: Present, found: invites.Invitation, now: datetime
) -> Joining:
    """Whoever made the code speaks from here, too. Not in a group, where others could read it."""
    if not who.direct:
        return Joining(Came.SAME_NOT_HERE, who)
    if found.person_id == who.person_id:
        return Joining(Came.SAME_ALREADY, who)
    if not invites.use(tx, found.id, now):
        return Joining(Came.NONE, who)
    there = linking.become(tx, where, who, found.person_id, found.household_id)
    if there.household_id != who.household_id:
        _leave_empty(tx, who.household_id, there, now)
    return Joining(Came.SAME, people.find(tx, where) or there)


def _private(tx: Connection, who: Present, found: invites.Invitation, now: datetime) -> Joining:
    if not _adds(tx, who, found):
        return Joining(Came.ALREADY, _moved(tx, who, found.household_id))
    if not _take(tx, who, found, now):
        return Joining(Came.NONE, who)
    left = who.household_id
    there = _moved(tx, who, found.household_id)
    if left != found.household_id:
        _leave_empty(tx, left, who, now)
        there = people.within(tx, there, found.household_id) or there
    return Joining(Came.JOINED, there)


def _group(tx: Connection, who: Present, found: invites.Invitation, now: datetime) -> Joining:
    """Link a group. Its own household may be left behind only if it has nothing to lose."""
    if found.role == SITTER:
        return Joining(Came.NOT_HERE, who)
    if who.household_id == found.household_id:
        taken = _adds(tx, who, found) and _take(tx, who, found, now)
        here = people.within(tx, who, found.household_id) or who
        return Joining(Came.JOINED if taken else Came.ALREADY, here)
    if who.role != KEEPER:
        return Joining(Came.NOT_KEEPER, who)
    if chats.has_plants(tx, who.household_id):
        return Joining(Came.HAS_PLANTS, who)
    return _link(tx, who, found, now) if invites.use(tx, found.id, now) else Joining(Came.NONE, who)


def _link(tx: Connection, who: Present, found: invites.Invitation, now: datetime) -> Joining:
    left = who.household_id
    if _adds(tx, who, found):
        belonging.set_part(tx, found.household_id, who.person_id, found.role, since=now)
    there = _moved(tx, who, found.household_id)
    if belonging.home_of(tx, left) == who.chat_id:
        people.set_home(tx, left, None)
    if not belonging.other_chats(tx, left, who.chat_id):
        forgetting.empty(tx, left, None, now)
    return Joining(Came.LINKED, there)


def _adds(tx: Connection, who: Present, found: invites.Invitation) -> bool:
    """Whether the code gives more than the person has; a sitter's may give another time."""
    role = belonging.role_of(tx, found.household_id, who.person_id)
    had, gets = ROLES.index(role or GONE), ROLES.index(found.role)
    return gets > had or (role == SITTER and found.role == SITTER)


def _take(tx: Connection, who: Present, found: invites.Invitation, now: datetime) -> bool:
    if not invites.use(tx, found.id, now):
        return False
    since = found.since or now
    belonging.set_part(
        tx, found.household_id, who.person_id, found.role, since=since, until=found.until
    )
    return True


def _moved(tx: Connection, who: Present, household_id: int) -> Present:
    """The chat speaks of another household from now on; who that makes its speaker."""
    belonging.point(tx, who.chat_id, household_id)
    return people.within(tx, who, household_id) or who


def _leave_empty(tx: Connection, household_id: int, who: Present, now: datetime) -> None:
    """A household founded by a first word, without plants or others, isn't kept beside."""
    alone = [one.person_id for one in belonging.of_household(tx, household_id)] == [who.person_id]
    groups = belonging.other_chats(tx, household_id, who.chat_id)
    if alone and not groups and not chats.has_plants(tx, household_id):
        forgetting.empty(tx, household_id, None, now)
