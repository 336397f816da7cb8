"""Who speaks, where, and for which household.

(network, account, address) names a person; (network, account, chat address) names a
household. Speaking in a household's group makes a member, the first speaker its keeper;
whoever was sent away stays away. A private chat is about one of its person's households.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import Connection, and_, bindparam, case, func, insert, or_, select, update

from core.store.ready import Ready
from core.store.tables import Chat, Household, Identity, Membership, Person, table_of

HOUSEHOLD = table_of(Household)
PERSON = table_of(Person)
IDENTITY = table_of(Identity)
MEMBERSHIP = table_of(Membership)
CHAT = table_of(Chat)

KEEPER, MEMBER, SITTER = "keeper", "member", "sitter"
# Sent away: what they did keeps their name, and speaking in a group doesn't bring them back.
GONE = "gone"
ROLES = (GONE, SITTER, MEMBER, KEEPER)
"""Each may do more than the one before."""
AS_ITSELF = "chat:"
"""So begins the address of a sender that is no person but a group or channel."""
# A round due since then is found by the next sweep, which sees that its rule has changed.
PLAN_ANEW = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Address:
    """Where a message came from: network, our account on it, chat, and who spoke there.

    `title` is what a group is called on its network.
    """

    network: str
    account: str
    chat: str
    sender: str
    sender_name: str
    direct: bool = False
    title: str = ""


@dataclass(frozen=True, slots=True)
class Present:
    """A known person speaking in a known chat. `settings` is the household's JSON text.

    `role`, `since` and `until` are their part in the household; `several`: in this private chat
    more than one household could be meant.
    """

    household_id: int
    chat_id: int
    direct: bool
    zone: ZoneInfo
    settings: str
    person_id: int
    person: str
    asked: int | None = None
    household: str = ""
    role: str = MEMBER
    since: datetime | None = None
    until: datetime | None = None
    several: bool = False


_WHO = Ready(
    select(
        CHAT.c.household_id,
        CHAT.c.id.label("chat_id"),
        CHAT.c.direct,
        HOUSEHOLD.c.zone,
        HOUSEHOLD.c.settings,
        HOUSEHOLD.c.name.label("household"),
        PERSON.c.id.label("person_id"),
        PERSON.c.name,
        MEMBERSHIP.c.id.label("membership_id"),
        MEMBERSHIP.c.asked,
        MEMBERSHIP.c.role,
        MEMBERSHIP.c.since,
        MEMBERSHIP.c.until,
    )
    .select_from(CHAT)
    .join(HOUSEHOLD, and_(HOUSEHOLD.c.id == CHAT.c.household_id, HOUSEHOLD.c.forget_at.is_(None)))
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
    row = _WHO.first(
        tx,
        network=where.network,
        account=where.account,
        chat=where.chat,
        sender=where.sender,
    )
    if row is None or row.membership_id is None:
        return None
    if row.direct and (row.role == GONE or not where.direct):
        return None
    present = _present(row)
    return replace(present, several=_belongs_to_several(tx, present)) if row.direct else present


def within(tx: Connection, who: Present, household_id: int) -> Present | None:
    """The same person in the same chat, speaking of another of their households; None if not."""
    row = tx.execute(
        select(
            HOUSEHOLD.c.id.label("household_id"),
            HOUSEHOLD.c.zone,
            HOUSEHOLD.c.settings,
            HOUSEHOLD.c.name.label("household"),
            MEMBERSHIP.c.asked,
            MEMBERSHIP.c.role,
            MEMBERSHIP.c.since,
            MEMBERSHIP.c.until,
        )
        .join(MEMBERSHIP, MEMBERSHIP.c.household_id == HOUSEHOLD.c.id)
        .where(
            HOUSEHOLD.c.id == household_id,
            MEMBERSHIP.c.person_id == who.person_id,
            MEMBERSHIP.c.role != GONE,
        )
    ).first()
    if row is None:
        return None
    there = replace(
        who,
        household_id=row.household_id,
        zone=ZoneInfo(row.zone),
        settings=row.settings,
        asked=row.asked,
        household=row.household,
        role=row.role,
        since=row.since,
        until=row.until,
    )
    return replace(there, several=there.direct and _belongs_to_several(tx, there))


def _present(row: Any) -> Present:
    return Present(
        row.household_id,
        row.chat_id,
        row.direct,
        ZoneInfo(row.zone),
        row.settings,
        row.person_id,
        row.name,
        row.asked,
        row.household,
        row.role,
        row.since,
        row.until,
    )


_HOW_MANY = Ready(
    select(func.count().label("many"))
    .select_from(MEMBERSHIP)
    .where(MEMBERSHIP.c.person_id == bindparam("person"), MEMBERSHIP.c.role != GONE)
)


def _belongs_to_several(tx: Connection, who: Present) -> bool:
    return int(_HOW_MANY.one(tx, person=who.person_id).many) > 1


def welcome(
    tx: Connection, where: Address, now: datetime, *, zone: str, settings: str, name: str
) -> Present:
    """The same, making whatever is missing: the household, the chat, the person, the part.

    `zone`, `settings` and `name` are those of a household that has to be founded.
    """
    known = find(tx, where)
    if known is not None:
        return known
    person_id = _person_of(tx, where, now)
    # Looked up once: of two who found it missing on a server, the second can't make it and fails.
    chat = tx.execute(_CHAT_AT, _place(where)).first()
    household_id = _household_of(tx, where, chat, person_id)
    if household_id is None:
        own = _unlike(name, households_of(tx, person_id))
        founded = found(tx, own, now, zone=zone, settings=settings)
        chat_id = _let_chat(tx, where, chat, founded, person_id, now)
        set_home(tx, founded, chat_id)
        household_id = founded
    else:
        _let_chat(tx, where, chat, household_id, person_id, now)
    _join(tx, household_id, person_id, now)
    present = find(tx, where)
    if present is None:
        raise LookupError("the person just made can't be found")
    return present


def _household_of(tx: Connection, where: Address, known: Any, person_id: int) -> int | None:
    """Whose a chat is: a group keeps its household, a private chat one of its person's own.

    A private chat that others have been asked into is a group, and keeps its household too. One
    whose household was deleted has none.
    """
    if known is not None and known.forget_at is None and not (known.direct and where.direct):
        return int(known.household_id)
    if not where.direct:
        return None
    theirs = [one.id for one in households_of(tx, person_id)]
    kept = known is not None and known.household_id in theirs
    return int(known.household_id) if known is not None and kept else next(iter(theirs), None)


@dataclass(frozen=True, slots=True)
class Part:
    """A household that somebody belongs to, by its name, and their part in it."""

    id: int
    name: str
    role: str


def _unlike(name: str, theirs: list[Part]) -> str:
    """The name, numbered where somebody's other households have it: they choose by name."""
    taken = {one.name for one in theirs}
    number = 2
    own = name
    while own in taken:
        own = f"{name} {number}"
        number += 1
    return own


def households_of(tx: Connection, person_id: int) -> list[Part]:
    """The households that somebody belongs to, in the order in which they came to them."""
    rows = tx.execute(
        select(HOUSEHOLD.c.id, HOUSEHOLD.c.name, MEMBERSHIP.c.role)
        .join(MEMBERSHIP, MEMBERSHIP.c.household_id == HOUSEHOLD.c.id)
        .where(MEMBERSHIP.c.person_id == person_id, MEMBERSHIP.c.role != GONE)
        .order_by(MEMBERSHIP.c.id)
    )
    return [Part(*row) for row in rows]


def found(tx: Connection, name: str, now: datetime, *, zone: str, settings: str) -> int:
    """Found a household, with nobody in it yet; its id."""
    return _new(
        tx.execute(
            insert(HOUSEHOLD).values(
                name=name, zone=zone, settings=settings, created_at=now, round_at=now
            )
        ).inserted_primary_key
    )


def set_home(tx: Connection, household_id: int, chat_id: int | None) -> None:
    """Say what is said unasked in this chat from now on; None: a keeper's private chat."""
    tx.execute(update(HOUSEHOLD).where(HOUSEHOLD.c.id == household_id).values(home_chat_id=chat_id))


_CHAT_AT = (
    select(CHAT.c.id, CHAT.c.household_id, CHAT.c.direct, HOUSEHOLD.c.forget_at)
    .join(HOUSEHOLD, HOUSEHOLD.c.id == CHAT.c.household_id)
    .where(
        CHAT.c.network == bindparam("network"),
        CHAT.c.account == bindparam("account"),
        CHAT.c.address == bindparam("chat"),
    )
)


def _place(where: Address) -> dict[str, str]:
    return {"network": where.network, "account": where.account, "chat": where.chat}


def _let_chat(
    tx: Connection, where: Address, known: Any, household_id: int, person_id: int, now: datetime
) -> int:
    """Have a chat belong to a household, made when it is new; its id."""
    if known is not None:
        new: dict[str, int | bool | None] = {"household_id": household_id}
        if where.direct:
            new |= {"person_id": person_id}
        if known.direct and not where.direct:
            new |= {"direct": False, "person_id": None}
        tx.execute(update(CHAT).where(CHAT.c.id == known.id).values(**new))
        return int(known.id)
    return _new(
        tx.execute(
            insert(CHAT).values(
                **_place_columns(where),
                direct=where.direct,
                household_id=household_id,
                person_id=person_id if where.direct else None,
                title=where.title,
                created_at=now,
            )
        ).inserted_primary_key
    )


def _place_columns(where: Address) -> dict[str, str]:
    return {"network": where.network, "account": where.account, "address": where.chat}


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


_NAMES = (
    select(PERSON.c.id, PERSON.c.name)
    .join(MEMBERSHIP, MEMBERSHIP.c.person_id == PERSON.c.id)
    .where(MEMBERSHIP.c.household_id == bindparam("household"))
)


def names(tx: Connection, household_id: int) -> dict[int, str]:
    """Everybody who belongs to a household or ever wrote in its journal: id -> name."""
    return {row.id: row.name for row in tx.execute(_NAMES, {"household": household_id})}


_HANDS = (
    select(PERSON.c.id, PERSON.c.name)
    .join(MEMBERSHIP, MEMBERSHIP.c.person_id == PERSON.c.id)
    .where(
        MEMBERSHIP.c.household_id == bindparam("household"),
        or_(
            MEMBERSHIP.c.role.in_((MEMBER, KEEPER)),
            and_(
                MEMBERSHIP.c.role == SITTER,
                MEMBERSHIP.c.since <= bindparam("now"),
                MEMBERSHIP.c.until > bindparam("now"),
            ),
        ),
    )
    .order_by(MEMBERSHIP.c.id)
)


def hands(tx: Connection, household_id: int, now: datetime) -> dict[int, str]:
    """Who can see to the plants of a household now: id -> name, in the order in which they came."""
    return {row.id: row.name for row in tx.execute(_HANDS, {"household": household_id, "now": now})}


def change_household(tx: Connection, household_id: int, **columns: str) -> None:
    """Write a household's zone, name or settings; the next sweep plans round and watch anew."""
    watch = case((HOUSEHOLD.c.watch_at.is_not(None), PLAN_ANEW))
    planned = {"round_at": PLAN_ANEW, "watch_at": watch}
    tx.execute(update(HOUSEHOLD).where(HOUSEHOLD.c.id == household_id).values(columns | planned))
