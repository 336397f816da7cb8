"""Invitations, found by the digest of their code, and the wrong codes that were tried."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, delete, func, insert, select, update
from sqlalchemy.sql.elements import ColumnElement

from core.store.tables import Guess, Invite, table_of

INVITE = table_of(Invite)
GUESS = table_of(Guess)


@dataclass(frozen=True, slots=True)
class Invitation:
    """What a code stands for, and who made it. `since` and `until` are a sitter's time."""

    id: int
    household_id: int
    person_id: int
    role: str
    since: datetime | None
    until: datetime | None


def put(
    tx: Connection,
    digest: str,
    *,
    household_id: int,
    person_id: int,
    role: str,
    since: datetime | None,
    until: datetime | None,
    expires_at: datetime,
) -> None:
    """Keep an invitation under the digest of its code."""
    tx.execute(
        insert(INVITE).values(
            household_id=household_id,
            person_id=person_id,
            digest=digest,
            role=role,
            since=since,
            until=until,
            expires_at=expires_at,
        )
    )


def standing(tx: Connection, digest: str, now: datetime) -> Invitation | None:
    """The invitation behind a digest, unless it was used or is over."""
    row = tx.execute(
        select(
            INVITE.c.id,
            INVITE.c.household_id,
            INVITE.c.person_id,
            INVITE.c.role,
            INVITE.c.since,
            INVITE.c.until,
        ).where(INVITE.c.digest == digest, INVITE.c.used_at.is_(None), INVITE.c.expires_at > now)
    ).first()
    return Invitation(*row) if row else None


def use(tx: Connection, invite_id: int, now: datetime) -> bool:
    """Spend an invitation. False when somebody else did so first."""
    done = tx.execute(
        update(INVITE)
        .where(INVITE.c.id == invite_id, INVITE.c.used_at.is_(None))
        .values(used_at=now)
    )
    return int(done.rowcount) == 1


def note_guess(
    tx: Connection, sender: str, household_id: int, now: datetime, kept_since: datetime
) -> None:
    """Keep that a code was none; guesses from before `kept_since` no longer count."""
    tx.execute(delete(GUESS).where(GUESS.c.at < kept_since))
    tx.execute(insert(GUESS).values(sender=sender, household_id=household_id, at=now))


def guesses(tx: Connection, sender: str, household_id: int, since: datetime) -> tuple[int, int]:
    """How many wrong codes a sender, and a household's chats, have tried since then."""
    return (
        _count(tx, GUESS.c.sender == sender, since),
        _count(tx, GUESS.c.household_id == household_id, since),
    )


def _count(tx: Connection, whose: ColumnElement[bool], since: datetime) -> int:
    counted = select(func.count()).select_from(GUESS).where(GUESS.c.at >= since)
    return int(tx.execute(counted.where(whose)).scalar_one())
