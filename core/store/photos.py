"""Pictures that people sent, by row: on their way, waiting to be named, kept.

What is looked up by id is looked up within a household: an id alone opens nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, bindparam, delete, func, insert, select, update

from core.store.dialogues import Due
from core.store.tables import Chat, Photo, table_of

PHOTO = table_of(Photo)
CHAT = table_of(Chat)

COMING, ASKED, KEPT = "coming", "asked", "kept"


@dataclass(frozen=True, slots=True)
class Sent:
    """A picture as its message tells of it. `ref`: how its network fetches it again."""

    household_id: int
    chat_id: int
    person_id: int
    inbox_id: int
    ref: str
    told_at: datetime
    album: str = ""
    thread: str | None = None
    answers: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Coming:
    """A picture that is to be fetched now."""

    id: int
    ref: str
    attempts: int


@dataclass(frozen=True, slots=True)
class Row:
    """A picture without its bytes. `size` is how many those are."""

    id: int
    household_id: int
    chat_id: int
    person_id: int | None
    plant_id: int | None
    inbox_id: int | None
    album: str
    thread: str | None
    answers: str | None
    note: str
    told_at: datetime
    state: str
    size: int


_COLUMNS = tuple(PHOTO.c[name] for name in Row.__dataclass_fields__)


def put(tx: Connection, sent: Sent, plant_id: int | None) -> int:
    """Expect a picture: it is fetched as soon as may be; its row's id."""
    key = tx.execute(
        insert(PHOTO).values(
            household_id=sent.household_id,
            chat_id=sent.chat_id,
            person_id=sent.person_id,
            plant_id=plant_id,
            inbox_id=sent.inbox_id,
            album=sent.album,
            thread=sent.thread,
            answers=sent.answers,
            note=sent.note,
            told_at=sent.told_at,
            state=COMING,
            due_at=sent.told_at,
            attempts=0,
            ref=sent.ref,
            size=0,
        )
    ).inserted_primary_key
    if key is None:
        raise LookupError("the database gave no key for a picture")
    return int(key[0])


_COMING = (
    select(PHOTO.c.id, PHOTO.c.ref, PHOTO.c.attempts)
    .join(CHAT, CHAT.c.id == PHOTO.c.chat_id)
    .where(
        PHOTO.c.state == COMING,
        PHOTO.c.due_at <= bindparam("now"),
        CHAT.c.network == bindparam("network"),
    )
    .order_by(PHOTO.c.due_at, PHOTO.c.id)
    .limit(bindparam("most"))
)
_COMING_POSTGRES = _COMING.with_for_update(skip_locked=True, of=PHOTO)


def waits(tx: Connection, network: str, now: datetime) -> bool:
    """Whether a picture is to be fetched from a network now."""
    return tx.execute(_COMING, {"now": now, "network": network, "most": 1}).first() is not None


def claim(
    tx: Connection, network: str, now: datetime, limit: int, *, until: datetime
) -> list[Coming]:
    """Take pictures to be fetched from a network; nobody else takes them `until` then."""
    statement = _COMING if tx.dialect.name == "sqlite" else _COMING_POSTGRES
    rows = tx.execute(statement, {"now": now, "network": network, "most": limit}).all()
    taken = [Coming(*row) for row in rows]
    if taken:
        tx.execute(
            update(PHOTO)
            .where(PHOTO.c.id.in_([one.id for one in taken]))
            .values(due_at=until, attempts=PHOTO.c.attempts + 1)
        )
    return taken


def release(tx: Connection, network: str, now: datetime) -> None:
    """At a start, with nobody else fetching: what an earlier run had in hand is fetched anew."""
    ours = select(CHAT.c.id).where(CHAT.c.network == network)
    tx.execute(
        update(PHOTO)
        .where(PHOTO.c.state == COMING, PHOTO.c.due_at > now, PHOTO.c.chat_id.in_(ours))
        .values(due_at=now)
    )


def put_off(tx: Connection, photo_id: int, until: datetime) -> None:
    """It is fetched again at a later moment."""
    tx.execute(
        update(PHOTO).where(PHOTO.c.id == photo_id, PHOTO.c.state == COMING).values(due_at=until)
    )


def find(tx: Connection, photo_id: int) -> Row | None:
    """A picture by its row, whosever it is: for those who fetch, not for those who ask."""
    row = tx.execute(select(*_COLUMNS).where(PHOTO.c.id == photo_id)).first()
    return Row(*row) if row else None


def with_its_album(tx: Connection, household_id: int, photo_id: int) -> list[Row]:
    """A picture of a household and those sent together with it, in order; none if it isn't its."""
    row = find(tx, photo_id)
    if row is None or row.household_id != household_id:
        return []
    return of_album(tx, row.chat_id, row.album) if row.album else [row]


def of_album(tx: Connection, chat_id: int, album: str) -> list[Row]:
    """The pictures that were sent together in a chat, in order."""
    rows = tx.execute(
        select(*_COLUMNS)
        .where(PHOTO.c.chat_id == chat_id, PHOTO.c.album == album)
        .order_by(PHOTO.c.id)
    )
    return [Row(*row) for row in rows]


def unnamed(tx: Connection, household_id: int, person_id: int) -> Row | None:
    """The newest picture somebody sent without its plant being known."""
    row = tx.execute(
        select(*_COLUMNS)
        .where(
            PHOTO.c.household_id == household_id,
            PHOTO.c.state.in_((COMING, ASKED)),
            PHOTO.c.person_id == person_id,
            PHOTO.c.plant_id.is_(None),
        )
        .order_by(PHOTO.c.id.desc())
        .limit(1)
    ).first()
    return Row(*row) if row else None


def arrive(
    tx: Connection, photo_id: int, content: bytes, state: str, due_at: datetime | None
) -> None:
    """Keep a picture's bytes; how to fetch it is needed no more."""
    tx.execute(
        update(PHOTO)
        .where(PHOTO.c.id == photo_id)
        .values(content=content, size=len(content), state=state, due_at=due_at, ref="")
    )


def name(tx: Connection, photo_id: int, plant_id: int, *, here: bool) -> None:
    """Say of which plant a picture is; one that is `here` is kept with it from now on."""
    values: dict[str, object] = {"plant_id": plant_id}
    if here:
        values |= {"state": KEPT, "due_at": None}
    tx.execute(update(PHOTO).where(PHOTO.c.id == photo_id).values(values))


def drop(tx: Connection, photo_id: int) -> None:
    """Remove a picture for good."""
    tx.execute(delete(PHOTO).where(PHOTO.c.id == photo_id))


def content(tx: Connection, household_id: int, photo_id: int) -> bytes | None:
    """The bytes of a picture that a household keeps; None when it has none such."""
    found: bytes | None = tx.execute(
        select(PHOTO.c.content).where(
            PHOTO.c.id == photo_id, PHOTO.c.household_id == household_id, PHOTO.c.state == KEPT
        )
    ).scalar()
    return found


def used(tx: Connection, household_id: int) -> tuple[int, int]:
    """Bytes of a household's pictures, and how many more are on their way."""
    rows = tx.execute(
        select(PHOTO.c.state, func.sum(PHOTO.c.size), func.count())
        .where(PHOTO.c.household_id == household_id)
        .group_by(PHOTO.c.state)
    ).all()
    return (
        sum(int(size) for _, size, _ in rows),
        sum(int(count) for state, _, count in rows if state == COMING),
    )


_ASKED = (
    select(PHOTO.c.id, PHOTO.c.household_id)
    .where(PHOTO.c.state == ASKED, PHOTO.c.due_at <= bindparam("now"))
    .order_by(PHOTO.c.due_at)
    .limit(bindparam("most"))
)


def overdue(tx: Connection, now: datetime, limit: int) -> list[Due]:
    """Pictures of which nobody said in time of which plant they are."""
    return [Due(*row) for row in tx.execute(_ASKED, {"now": now, "most": limit})]


def next_overdue(tx: Connection) -> datetime | None:
    """When the next of those is."""
    moment: datetime | None = tx.execute(
        select(func.min(PHOTO.c.due_at)).where(PHOTO.c.state == ASKED)
    ).scalar()
    return moment
