"""A household that is deleted: all that was told goes at once, its empty rows some days later.

What it holds is found in the tables: whatever names the household. Its row, chats and people stay
until those who are to hear of it have, and are given away before where they are used otherwise.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import (
    Column,
    Connection,
    Select,
    Table,
    and_,
    bindparam,
    delete,
    exists,
    func,
    insert,
    or_,
    select,
    union,
    update,
)

from core.store import people
from core.store.dialogues import DIALOGUE, Due
from core.store.inbox import DONE, INBOX, POISON
from core.store.people import CHAT, GONE, HOUSEHOLD, IDENTITY, MEMBERSHIP, PERSON, households_of
from core.store.sweeping import EMPTIED, KEPT
from core.store.tables import (
    Base,
    Event,
    Guess,
    Invite,
    Outbox,
    Photo,
    Plant,
    Sensor,
    table_of,
)

EVENT, OUTBOX, PHOTO = table_of(Event), table_of(Outbox), table_of(Photo)
PLANT, SENSOR = table_of(Plant), table_of(Sensor)
INVITE, GUESS = table_of(Invite), table_of(Guess)

LAST = timedelta(days=2)
"""How long those who are to hear of it may be out of reach; then its last rows go."""

_HOLDING = tuple(
    table
    for table in reversed(Base.metadata.sorted_tables)
    if "household_id" in table.c and table not in (CHAT, MEMBERSHIP)
)
_TOLD_BY = union(
    *(
        select(table.c.inbox_id).where(table.c.household_id == bindparam("one"))
        for table in _HOLDING
        if "inbox_id" in table.c
    )
)


@dataclass(frozen=True, slots=True)
class Holds:
    """What a household holds: how many of each, and whether a place was told."""

    plants: int
    entries: int
    photos: int
    sensors: int
    place: bool
    last_event: int


def holds(tx: Connection, household_id: int) -> Holds:
    """What there is to be deleted."""
    here = [table.c.household_id == household_id for table in (PLANT, EVENT, PHOTO, SENSOR)]
    counts = [
        select(func.count()).select_from(table).where(whose).scalar_subquery()
        for table, whose in zip((PLANT, EVENT, PHOTO, SENSOR), here, strict=True)
    ]
    last = select(func.max(EVENT.c.id)).where(EVENT.c.household_id == household_id)
    area = select(HOUSEHOLD.c.area).where(HOUSEHOLD.c.id == household_id)
    row = tx.execute(select(*counts, area.scalar_subquery(), last.scalar_subquery())).one()
    return Holds(*row[:4], place=row[4] is not None, last_event=row[5] or 0)


def listeners(tx: Connection, household_id: int, but_chat: int) -> list[int]:
    """The chats that hear of it: the household's, and its people's private ones."""
    theirs = select(MEMBERSHIP.c.person_id).where(
        MEMBERSHIP.c.household_id == household_id, MEMBERSHIP.c.role != GONE
    )
    rows = tx.execute(
        select(CHAT.c.id)
        .where(
            or_(
                and_(CHAT.c.household_id == household_id, CHAT.c.direct.is_(False)),
                and_(CHAT.c.person_id.in_(theirs), CHAT.c.direct),
            ),
            CHAT.c.id != but_chat,
            CHAT.c.gone_at.is_(None),
        )
        .order_by(CHAT.c.id)
    )
    return list(rows.scalars())


def empty(tx: Connection, household_id: int, inbox_id: int | None, now: datetime) -> None:
    """Delete all that a household holds, and end everybody's part in it; see `let_go`.

    Messages that told of it lose their words, the one being worked on too; what waits to be worked
    on is left. Private chats of people who have other households speak of those.
    """
    _empty_messages(tx, household_id, inbox_id)
    for table in _HOLDING:
        tx.execute(delete(table).where(table.c.household_id == household_id))
    tx.execute(
        update(MEMBERSHIP)
        .where(MEMBERSHIP.c.household_id == household_id)
        .values(role=GONE, asked=None)
    )
    blank: dict[str, object] = {column.name: None for column in HOUSEHOLD.c if column.nullable}
    blank |= {"name": "", "zone": "UTC", "settings": "{}", "drying": "{}"}
    tx.execute(
        update(HOUSEHOLD)
        .where(HOUSEHOLD.c.id == household_id)
        .values(blank | {"forget_at": now + LAST})
    )
    _speak_of_others(tx, household_id)


def _empty_messages(tx: Connection, household_id: int, inbox_id: int | None) -> None:
    told_by = [one for one in tx.execute(_TOLD_BY, {"one": household_id}).scalars() if one]
    over = INBOX.c.state.in_((DONE, POISON))
    said_there = exists().where(
        CHAT.c.household_id == household_id,
        CHAT.c.network == INBOX.c.network,
        CHAT.c.account == INBOX.c.account,
        CHAT.c.address == INBOX.c.chat,
    )
    for whose in (and_(over, said_there), and_(over, INBOX.c.id.in_(told_by))):
        tx.execute(update(INBOX).where(whose).values(payload="{}", state=EMPTIED))
    tx.execute(update(INBOX).where(INBOX.c.id == inbox_id).values(payload="{}"))


def _speak_of_others(tx: Connection, household_id: int) -> None:
    """A private chat goes on with another household of its person, if there is one."""
    private = tx.execute(
        select(CHAT.c.id, CHAT.c.person_id).where(
            CHAT.c.household_id == household_id, CHAT.c.direct, CHAT.c.person_id.is_not(None)
        )
    ).all()
    for chat in private:
        other = next(iter(households_of(tx, chat.person_id)), None)
        if other is not None:
            tx.execute(update(CHAT).where(CHAT.c.id == chat.id).values(household_id=other.id))


# --- somebody -----------------------------------------------------------------------------


def photos_by(tx: Connection, person_id: int) -> int:
    """How many pictures somebody sent."""
    sent = select(func.count()).select_from(PHOTO).where(PHOTO.c.person_id == person_id)
    return int(tx.execute(sent).scalar_one())


def private_chats(tx: Connection, person_id: int) -> list[int]:
    """Somebody's private chats, on whatever network."""
    theirs = select(CHAT.c.id).where(CHAT.c.person_id == person_id, CHAT.c.direct)
    return list(tx.execute(theirs).scalars())


def forget_person(tx: Connection, person_id: int, inbox_id: int | None, now: datetime) -> int:
    """Take somebody's name, accounts, codes, pictures and words; what they did stays.

    Their parts have ended. Their private chats go with an empty household in which they are
    nobody; its id.
    """
    chats = private_chats(tx, person_id)
    shell = people.found(tx, "", now, zone="UTC", settings="{}")
    _forget_accounts(tx, person_id)
    tx.execute(update(INBOX).where(INBOX.c.id == inbox_id).values(payload="{}"))
    for table in (PHOTO, OUTBOX, INVITE):
        tx.execute(delete(table).where(table.c.person_id == person_id))
    for table in (OUTBOX, DIALOGUE):
        tx.execute(delete(table).where(table.c.chat_id.in_(chats)))
    home = HOUSEHOLD.c.home_chat_id.in_(chats)
    tx.execute(update(HOUSEHOLD).where(home).values(home_chat_id=None))
    tx.execute(update(CHAT).where(CHAT.c.id.in_(chats)).values(household_id=shell))
    part = {"household_id": shell, "person_id": person_id, "role": GONE, "since": now}
    tx.execute(insert(MEMBERSHIP).values(part))
    tx.execute(update(PERSON).where(PERSON.c.id == person_id).values(name="", left_at=now))
    empty(tx, shell, None, now)
    return shell


def _forget_accounts(tx: Connection, person_id: int) -> None:
    """Messages are known as somebody's by the account that stands in them."""
    theirs = IDENTITY.c.person_id == person_id
    for one in tx.execute(select(IDENTITY).where(theirs)).all():
        said = INBOX.c.payload.contains(
            f'"sender":{json.dumps(one.address, ensure_ascii=False)}', autoescape=True
        )
        tx.execute(
            update(INBOX)
            .where(
                INBOX.c.network == one.network,
                INBOX.c.account == one.account,
                INBOX.c.state.in_((DONE, POISON)),
                said,
            )
            .values(payload="{}", state=EMPTIED)
        )
        sender = f"{one.network}:{one.account}:{one.address}"
        tx.execute(delete(GUESS).where(GUESS.c.sender == sender))
    tx.execute(delete(IDENTITY).where(theirs))


# --- the last of it -----------------------------------------------------------------------


def next_due(tx: Connection) -> datetime | None:
    """When the last rows of the next deleted household are to go."""
    due_at: datetime | None = tx.execute(select(func.min(HOUSEHOLD.c.forget_at))).scalar()
    return due_at


def due(tx: Connection, now: datetime, limit: int) -> list[Due]:
    """Deleted households whose last rows are to go, the longest first."""
    rows = tx.execute(
        select(HOUSEHOLD.c.id)
        .where(HOUSEHOLD.c.forget_at <= now)
        .order_by(HOUSEHOLD.c.forget_at)
        .limit(limit)
    )
    return [Due(one, one) for one in rows.scalars()]


def put_off(tx: Connection, household_id: int, until: datetime) -> None:
    """They go later."""
    tx.execute(update(HOUSEHOLD).where(HOUSEHOLD.c.id == household_id).values(forget_at=until))


def let_go(tx: Connection, household_id: int, now: datetime) -> bool:
    """Delete the last rows of a deleted household: its chats, its people; whether all went.

    A chat or somebody that another household's rows name stays, as far as it is needed there;
    such rows grow old (`sweeping`), so this is tried again.
    """
    lives = exists().where(HOUSEHOLD.c.id == household_id, HOUSEHOLD.c.forget_at <= now)
    if not tx.execute(select(lives)).scalar():
        return False
    tx.execute(delete(OUTBOX).where(OUTBOX.c.household_id == household_id))
    theirs = CHAT.c.household_id == household_id
    for chat in tx.execute(select(CHAT.c.id).where(theirs)).scalars():
        if not _named(tx, CHAT.c.id, chat):
            home = HOUSEHOLD.c.home_chat_id == chat
            tx.execute(update(HOUSEHOLD).where(home).values(home_chat_id=None))
            # Somebody may just be speaking there, which makes it another household's.
            tx.execute(delete(CHAT).where(CHAT.c.id == chat, theirs))
    _let_people_go(tx, household_id)
    if _named(tx, HOUSEHOLD.c.id, household_id):
        put_off(tx, household_id, now + KEPT)
        return False
    tx.execute(delete(HOUSEHOLD).where(HOUSEHOLD.c.id == household_id))
    return True


def _let_people_go(tx: Connection, household_id: int) -> None:
    """Whoever belongs to another household stays there; else nothing is left of them."""
    ours = MEMBERSHIP.c.household_id == household_id
    for one in tx.execute(select(MEMBERSHIP.c.person_id).where(ours)).scalars():
        part = MEMBERSHIP.c.person_id == one
        elsewhere = tx.execute(select(exists().where(part, ~ours))).scalar()
        if not elsewhere and _named(tx, PERSON.c.id, one, but=(IDENTITY, MEMBERSHIP)):
            continue
        tx.execute(delete(MEMBERSHIP).where(part, ours))
        if not elsewhere:
            tx.execute(delete(IDENTITY).where(IDENTITY.c.person_id == one))
            tx.execute(delete(PERSON).where(PERSON.c.id == one))


def _named(tx: Connection, key: Column[int], one: int, *, but: tuple[Table, ...] = ()) -> bool:
    """Whether a row is still named, by its key, in any table but some."""
    naming = (
        column
        for table in Base.metadata.sorted_tables
        if table not in but
        for column in table.columns
        if any(foreign.column is key for foreign in column.foreign_keys)
    )
    asked: list[Select[tuple[bool]]] = [select(exists().where(column == one)) for column in naming]
    return any(tx.execute(whether).scalar() for whether in asked)
