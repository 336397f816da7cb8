"""Parts in a household as they change: given, taken away; and the chats that go with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, bindparam, func, insert, select, update

from core.store.chats import PARKED
from core.store.outbox import REPLY, WAITING
from core.store.people import AS_ITSELF, CHAT, GONE, HOUSEHOLD, IDENTITY, KEEPER, MEMBERSHIP, PERSON
from core.store.tables import Dialogue, Outbox, table_of

DIALOGUE = table_of(Dialogue)
OUTBOX = table_of(Outbox)

DROPPED = "dropped"
"""What became of an unasked message whose chat no longer belongs to the household."""


@dataclass(frozen=True, slots=True)
class Belongs:
    """Somebody's part in a household. `reached`: they have a private chat that still lives.

    `itself`: no person, but a group or channel that speaks.
    """

    person_id: int
    name: str
    role: str
    since: datetime
    until: datetime | None
    networks: tuple[str, ...] = ()
    reached: bool = False
    itself: bool = False


@dataclass(frozen=True, slots=True)
class HouseChat:
    """A chat of a household; `person` is whose private one it is."""

    id: int
    network: str
    direct: bool
    person: str | None
    gone: bool


def of_household(tx: Connection, household_id: int) -> list[Belongs]:
    """Everybody of a household now, in the order in which they came."""
    rows = tx.execute(
        select(
            PERSON.c.id,
            PERSON.c.name,
            MEMBERSHIP.c.role,
            MEMBERSHIP.c.since,
            MEMBERSHIP.c.until,
        )
        .join(MEMBERSHIP, MEMBERSHIP.c.person_id == PERSON.c.id)
        .where(MEMBERSHIP.c.household_id == household_id, MEMBERSHIP.c.role != GONE)
        .order_by(MEMBERSHIP.c.id)
    ).all()
    ids = [row.id for row in rows]
    networks = _networks(tx, ids)
    reached, itself = _reached(tx, ids), _as_itself(tx, ids)
    return [
        Belongs(*row, networks.get(row.id, ()), row.id in reached, row.id in itself) for row in rows
    ]


def _networks(tx: Connection, people: Sequence[int]) -> dict[int, tuple[str, ...]]:
    rows = tx.execute(
        select(IDENTITY.c.person_id, IDENTITY.c.network)
        .where(IDENTITY.c.person_id.in_(people))
        .order_by(IDENTITY.c.id)
    )
    found: dict[int, tuple[str, ...]] = {}
    for row in rows:
        found[row.person_id] = (*found.get(row.person_id, ()), row.network)
    return found


def _reached(tx: Connection, people: Sequence[int]) -> frozenset[int]:
    rows = tx.execute(
        select(CHAT.c.person_id).where(
            CHAT.c.person_id.in_(people), CHAT.c.direct, CHAT.c.gone_at.is_(None)
        )
    )
    return frozenset(rows.scalars())


def _as_itself(tx: Connection, people: Sequence[int]) -> frozenset[int]:
    rows = tx.execute(
        select(IDENTITY.c.person_id).where(
            IDENTITY.c.person_id.in_(people), IDENTITY.c.address.startswith(AS_ITSELF)
        )
    )
    return frozenset(rows.scalars())


def chats_of(tx: Connection, household_id: int) -> list[HouseChat]:
    """The chats that speak of a household now, in the order in which they came."""
    rows = tx.execute(
        select(CHAT.c.id, CHAT.c.network, CHAT.c.direct, PERSON.c.name, CHAT.c.gone_at)
        .join(PERSON, PERSON.c.id == CHAT.c.person_id, isouter=True)
        .where(CHAT.c.household_id == household_id)
        .order_by(CHAT.c.id)
    )
    return [
        HouseChat(row.id, row.network, row.direct, row.name, row.gone_at is not None)
        for row in rows
    ]


def role_of(tx: Connection, household_id: int, person_id: int) -> str | None:
    """Somebody's role, "gone" for one sent away, None for one who never belonged."""
    role: str | None = tx.execute(
        select(MEMBERSHIP.c.role).where(
            MEMBERSHIP.c.household_id == household_id, MEMBERSHIP.c.person_id == person_id
        )
    ).scalar()
    return role


def is_keepers(tx: Connection, household_id: int, chat_id: int) -> bool:
    """Whether a chat is private with a keeper of a household now, or a room of that household."""
    chat = tx.execute(
        select(CHAT.c.direct, CHAT.c.person_id, CHAT.c.household_id).where(CHAT.c.id == chat_id)
    ).one()
    if chat.direct and chat.person_id is not None:
        return role_of(tx, household_id, chat.person_id) == KEEPER
    return not chat.direct and bool(chat.household_id == household_id)


def set_part(
    tx: Connection,
    household_id: int,
    person_id: int,
    role: str,
    *,
    since: datetime,
    until: datetime | None = None,
) -> None:
    """Give somebody a part in a household, in place of the one they had."""
    part = {"role": role, "since": since, "until": until}
    had = tx.execute(
        update(MEMBERSHIP)
        .where(MEMBERSHIP.c.household_id == household_id, MEMBERSHIP.c.person_id == person_id)
        .values(part)
    )
    if had.rowcount == 0:
        whose = {"household_id": household_id, "person_id": person_id}
        tx.execute(insert(MEMBERSHIP).values(whose | part))


def point(tx: Connection, chat_id: int, household_id: int) -> None:
    """Have a chat speak of another household from now on."""
    tx.execute(update(CHAT).where(CHAT.c.id == chat_id).values(household_id=household_id))


def point_private(tx: Connection, person_id: int, household_id: int) -> None:
    """The same for all private chats of a person, whatever their network."""
    tx.execute(
        update(CHAT)
        .where(CHAT.c.person_id == person_id, CHAT.c.direct)
        .values(household_id=household_id)
    )


def name_household(tx: Connection, household_id: int, name: str) -> None:
    """Call a household by another name."""
    tx.execute(update(HOUSEHOLD).where(HOUSEHOLD.c.id == household_id).values(name=name))


def home_of(tx: Connection, household_id: int) -> int | None:
    """The chat in which a household hears what is said unasked."""
    home: int | None = tx.execute(
        select(HOUSEHOLD.c.home_chat_id).where(HOUSEHOLD.c.id == household_id)
    ).scalar()
    return home


def other_chats(tx: Connection, household_id: int, chat_id: int) -> int:
    """How many groups speak of a household besides one chat."""
    return int(
        tx.execute(
            select(func.count())
            .select_from(CHAT)
            .where(
                CHAT.c.household_id == household_id, CHAT.c.id != chat_id, CHAT.c.direct.is_(False)
            )
        ).scalar_one()
    )


def clear_chats(tx: Connection, household_id: int, person_id: int, *, heir_id: int) -> None:
    """Take a household out of somebody's private chats; what is under way goes to another chat.

    What waits to be said there unasked isn't said any more.
    """
    theirs = select(CHAT.c.id).where(CHAT.c.person_id == person_id, CHAT.c.direct)
    tx.execute(
        update(DIALOGUE)
        .where(
            DIALOGUE.c.household_id == household_id,
            DIALOGUE.c.chat_id.in_(theirs),
            DIALOGUE.c.closed_at.is_(None),
        )
        .values(chat_id=heir_id)
    )
    tx.execute(
        update(OUTBOX)
        .where(
            OUTBOX.c.household_id == household_id,
            OUTBOX.c.chat_id.in_(theirs),
            OUTBOX.c.kind != REPLY,
            OUTBOX.c.state.in_((WAITING, PARKED)),
        )
        .values(state=DROPPED)
    )
    tx.execute(
        update(HOUSEHOLD)
        .where(HOUSEHOLD.c.id == household_id, HOUSEHOLD.c.home_chat_id.in_(theirs))
        .values(home_chat_id=None)
    )


_SPOKEN_OF = (
    select(HOUSEHOLD.c.id, HOUSEHOLD.c.name)
    .join(MEMBERSHIP, MEMBERSHIP.c.household_id == HOUSEHOLD.c.id)
    .join(CHAT, CHAT.c.person_id == MEMBERSHIP.c.person_id)
    .where(CHAT.c.id == bindparam("chat"), MEMBERSHIP.c.role != GONE)
)


def said_for(tx: Connection, chat_id: int, household_id: int) -> str | None:
    """A household's name where its private chat may speak of several; else None."""
    rows = tx.execute(_SPOKEN_OF, {"chat": chat_id})
    names = {row.id: str(row.name) for row in rows}
    return names.get(household_id) if len(names) > 1 else None
