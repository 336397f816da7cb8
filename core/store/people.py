"""Who speaks, where, and for which household.

(network, account, address) names a person; (network, account, chat address) names a
household. Speaking in a household's chat makes a member, the first speaker its keeper.
Somebody who belongs to one household talks about its plants in private, too.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from sqlalchemy import Connection, and_, bindparam, insert, or_, select, update

from core.store.tables import Chat, Household, Identity, Membership, Person, table_of

HOUSEHOLD = table_of(Household)
PERSON = table_of(Person)
IDENTITY = table_of(Identity)
MEMBERSHIP = table_of(Membership)
CHAT = table_of(Chat)

KEEPER, MEMBER, SITTER = "keeper", "member", "sitter"
# A round due since then is found by the next sweep, which sees that its rule has changed.
PLAN_ANEW = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Address:
    """Where a message came from: network, our account on it, chat, and who spoke there."""

    network: str
    account: str
    chat: str
    sender: str
    sender_name: str
    direct: bool = False


@dataclass(frozen=True, slots=True)
class Present:
    """A known person speaking in a known chat. `settings` is the household's JSON text."""

    household_id: int
    chat_id: int
    direct: bool
    zone: ZoneInfo
    settings: str
    person_id: int
    person: str
    asked: int | None = None


_WHO = (
    select(
        CHAT.c.household_id,
        CHAT.c.id.label("chat_id"),
        CHAT.c.direct,
        HOUSEHOLD.c.zone,
        HOUSEHOLD.c.settings,
        PERSON.c.id.label("person_id"),
        PERSON.c.name,
        MEMBERSHIP.c.id.label("membership_id"),
        MEMBERSHIP.c.asked,
    )
    .select_from(CHAT)
    .join(HOUSEHOLD, HOUSEHOLD.c.id == CHAT.c.household_id)
    .join(
        IDENTITY,
        and_(
            IDENTITY.c.network == bindparam("network"),
            IDENTITY.c.account == bindparam("account"),
            IDENTITY.c.address == bindparam("sender"),
        ),
        isouter=True,
    )
    .join(PERSON, PERSON.c.id == IDENTITY.c.person_id, isouter=True)
    .join(
        MEMBERSHIP,
        and_(
            MEMBERSHIP.c.household_id == CHAT.c.household_id,
            MEMBERSHIP.c.person_id == PERSON.c.id,
        ),
        isouter=True,
    )
    .where(
        CHAT.c.network == bindparam("network"),
        CHAT.c.account == bindparam("account"),
        CHAT.c.address == bindparam("chat"),
    )
)


def find(tx: Connection, where: Address) -> Present | None:
    """The person and household behind an address, or None when either is new here."""
    row = tx.execute(
        _WHO,
        {
            "network": where.network,
            "account": where.account,
            "chat": where.chat,
            "sender": where.sender,
        },
    ).first()
    if row is None or row.membership_id is None:
        return None
    return Present(
        row.household_id,
        row.chat_id,
        row.direct,
        ZoneInfo(row.zone),
        row.settings,
        row.person_id,
        row.name,
        row.asked,
    )


def welcome(
    tx: Connection, where: Address, now: datetime, *, zone: str, settings: str, name: str
) -> Present:
    """The same, making whatever is missing: the household, the chat, the person, the part.

    `zone`, `settings` and `name` are those of a household that has to be founded.
    """
    known = find(tx, where)
    if known is not None:
        return known
    household_id = _household_of(tx, where, now, zone, settings, name)
    person_id = _person_of(tx, where, now)
    _join(tx, household_id, person_id, now)
    present = find(tx, where)
    if present is None:
        raise LookupError("the person just made can't be found")
    return present


def _household_of(
    tx: Connection, where: Address, now: datetime, zone: str, settings: str, name: str
) -> int:
    known = tx.execute(
        select(CHAT.c.household_id).where(
            CHAT.c.network == where.network,
            CHAT.c.account == where.account,
            CHAT.c.address == where.chat,
        )
    ).scalar()
    if known is not None:
        return int(known)
    theirs = _only_household(tx, where, now) if where.direct else None
    if theirs is not None:
        _open_chat(tx, where, theirs, now)
        return theirs
    household_id = _new(
        tx.execute(
            insert(HOUSEHOLD).values(
                name=name, zone=zone, settings=settings, created_at=now, round_at=now
            )
        ).inserted_primary_key
    )
    chat_id = _open_chat(tx, where, household_id, now)
    tx.execute(update(HOUSEHOLD).where(HOUSEHOLD.c.id == household_id).values(home_chat_id=chat_id))
    return household_id


def _only_household(tx: Connection, where: Address, now: datetime) -> int | None:
    """The household a person belongs to, for a private chat about its plants; None if several."""
    rows = tx.execute(
        select(MEMBERSHIP.c.household_id)
        .join(IDENTITY, IDENTITY.c.person_id == MEMBERSHIP.c.person_id)
        .where(
            IDENTITY.c.network == where.network,
            IDENTITY.c.account == where.account,
            IDENTITY.c.address == where.sender,
            or_(MEMBERSHIP.c.until.is_(None), MEMBERSHIP.c.until > now),
        )
        .limit(2)
    ).all()
    return int(rows[0].household_id) if len(rows) == 1 else None


def _open_chat(tx: Connection, where: Address, household_id: int, now: datetime) -> int:
    return _new(
        tx.execute(
            insert(CHAT).values(
                network=where.network,
                account=where.account,
                address=where.chat,
                direct=where.direct,
                household_id=household_id,
                created_at=now,
            )
        ).inserted_primary_key
    )


def _person_of(tx: Connection, where: Address, now: datetime) -> int:
    known = tx.execute(
        select(IDENTITY.c.person_id).where(
            IDENTITY.c.network == where.network,
            IDENTITY.c.account == where.account,
            IDENTITY.c.address == where.sender,
        )
    ).scalar()
    if known is not None:
        return int(known)
    person_id = _new(
        tx.execute(
            insert(PERSON).values(name=where.sender_name, created_at=now)
        ).inserted_primary_key
    )
    tx.execute(
        insert(IDENTITY).values(
            network=where.network,
            account=where.account,
            address=where.sender,
            person_id=person_id,
        )
    )
    return person_id


def _join(tx: Connection, household_id: int, person_id: int, now: datetime) -> None:
    belonging = set(
        tx.execute(
            select(MEMBERSHIP.c.person_id).where(MEMBERSHIP.c.household_id == household_id)
        ).scalars()
    )
    if person_id in belonging:
        return
    tx.execute(
        insert(MEMBERSHIP).values(
            household_id=household_id,
            person_id=person_id,
            role=MEMBER if belonging else KEEPER,
            since=now,
        )
    )


def _new(key: object) -> int:
    """The first column of a fresh row's primary key."""
    if not key:
        raise LookupError("the database gave no key for a new row")
    return int(key[0])  # type: ignore[index]


_ASKED = (
    update(MEMBERSHIP)
    .where(
        MEMBERSHIP.c.household_id == bindparam("household"),
        MEMBERSHIP.c.person_id == bindparam("person"),
    )
    .values(asked=bindparam("dialogue"))
)


def set_asked(tx: Connection, who: Present, dialogue_id: int | None) -> None:
    """Keep which question a person was asked last, if that changed."""
    if dialogue_id != who.asked:
        tx.execute(
            _ASKED,
            {"household": who.household_id, "person": who.person_id, "dialogue": dialogue_id},
        )


def names(tx: Connection, household_id: int) -> dict[int, str]:
    """Everybody who belongs to a household or ever wrote in its journal: id -> name."""
    rows = tx.execute(
        select(PERSON.c.id, PERSON.c.name)
        .join(MEMBERSHIP, MEMBERSHIP.c.person_id == PERSON.c.id)
        .where(MEMBERSHIP.c.household_id == household_id)
    )
    return {row.id: row.name for row in rows}


def change_household(tx: Connection, household_id: int, **columns: str) -> None:
    """Write a household's zone, name or settings; the next sweep plans its round anew."""
    planned = {"round_at": PLAN_ANEW}
    tx.execute(update(HOUSEHOLD).where(HOUSEHOLD.c.id == household_id).values(columns | planned))
