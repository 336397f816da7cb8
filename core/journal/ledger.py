"""Writing in the journal: append, take back, read in order.

The order is (happened_at, id). An event is identified by the message that told it and its
place in that message, so a message that is worked on twice makes no second event.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, bindparam, func, insert, or_, select, update

from core.journal import events
from core.journal.events import Aired, Arrived, Body, Pictured, Undone
from core.store.ready import Ready, told
from core.store.tables import Event, table_of

EVENT = table_of(Event)


@dataclass(slots=True)
class Teller:
    """Who tells what, when, by which message; counts the events of the message."""

    household_id: int
    person_id: int | None
    told_at: datetime
    inbox_id: int | None = None
    ordinal: int = 0

    def next_ordinal(self) -> int:
        """The place of the next event in the message."""
        self.ordinal += 1
        return self.ordinal


@dataclass(frozen=True, slots=True)
class Entry:
    """One event of the journal, with its body read."""

    id: int
    plant_id: int | None
    person_id: int | None
    happened_at: datetime
    told_at: datetime
    inbox_id: int | None
    body: Body


_APPEND = Ready(
    insert(EVENT).values(
        **told("household_id", "plant_id", "person_id", "kind", "version", "happened_at"),
        **told("told_at", "body", "inbox_id", "ordinal"),
    )
)


def append(
    tx: Connection,
    teller: Teller,
    plant_id: int | None,
    body: Body,
    happened_at: datetime | None = None,
) -> Entry:
    """Write one event; it happened when it was told unless said otherwise."""
    at = happened_at or teller.told_at
    key = _APPEND.insert(
        tx,
        household_id=teller.household_id,
        plant_id=plant_id,
        person_id=teller.person_id,
        kind=body.kind,
        version=body.version,
        happened_at=at,
        told_at=teller.told_at,
        body=events.write(body),
        inbox_id=teller.inbox_id,
        ordinal=teller.next_ordinal(),
    )
    return Entry(key, plant_id, teller.person_id, at, teller.told_at, teller.inbox_id, body)


_COLUMNS = (
    EVENT.c.id,
    EVENT.c.plant_id,
    EVENT.c.person_id,
    EVENT.c.happened_at,
    EVENT.c.told_at,
    EVENT.c.inbox_id,
    EVENT.c.kind,
    EVENT.c.version,
    EVENT.c.body,
)


def _entries(rows: Iterable[object]) -> list[Entry]:
    return [
        Entry(
            row.id,  # type: ignore[attr-defined]
            row.plant_id,  # type: ignore[attr-defined]
            row.person_id,  # type: ignore[attr-defined]
            row.happened_at,  # type: ignore[attr-defined]
            row.told_at,  # type: ignore[attr-defined]
            row.inbox_id,  # type: ignore[attr-defined]
            events.read(row.kind, row.version, row.body),  # type: ignore[attr-defined]
        )
        for row in rows
    ]


_OF_PLANT = (
    select(*_COLUMNS)
    .where(EVENT.c.plant_id == bindparam("plant"), EVENT.c.undone_by.is_(None))
    .order_by(EVENT.c.happened_at, EVENT.c.id)
)


def of_plant(tx: Connection, plant_id: int) -> list[Entry]:
    """The standing events of a plant in the order in which they happened."""
    return _entries(tx.execute(_OF_PLANT, {"plant": plant_id}))


_OF_HOUSEHOLD = (
    select(*_COLUMNS)
    .where(
        EVENT.c.household_id == bindparam("household"),
        or_(EVENT.c.plant_id.is_not(None), EVENT.c.kind == Aired.kind),
        EVENT.c.undone_by.is_(None),
    )
    .order_by(EVENT.c.happened_at, EVENT.c.id)
)


def of_household(
    tx: Connection, household_id: int, after: tuple[datetime, int] | None = None
) -> list[Entry]:
    """A household's standing events in their order: those about its plants and its air.

    `after`: only those behind an event, told by when it happened and its number.
    """
    wanted = _OF_HOUSEHOLD
    if after is not None:
        at, number = after
        behind = (EVENT.c.happened_at == at) & (EVENT.c.id > number)
        wanted = wanted.where(or_(EVENT.c.happened_at > at, behind))
    return _entries(tx.execute(wanted, {"household": household_id}))


def readable(tx: Connection, household_id: int) -> tuple[list[Entry], dict[int, Exception]]:
    """The same without events that can't be read; which plants those are about, and why."""
    entries: list[Entry] = []
    unread: dict[int, Exception] = {}
    for row in tx.execute(_OF_HOUSEHOLD, {"household": household_id}):
        try:
            entries += _entries([row])
        except (ValueError, LookupError) as error:
            unread.setdefault(row.plant_id or 0, error)
    return entries, unread


def told_between(tx: Connection, household_id: int, first: datetime, end: datetime) -> list[Entry]:
    """What people did from `first` on and before `end`: standing events in their order."""
    rows = tx.execute(
        select(*_COLUMNS)
        .where(
            EVENT.c.household_id == household_id,
            EVENT.c.person_id.is_not(None),
            EVENT.c.happened_at >= first,
            EVENT.c.happened_at < end,
            EVENT.c.undone_by.is_(None),
            EVENT.c.kind != Undone.kind,
        )
        .order_by(EVENT.c.happened_at, EVENT.c.id)
    )
    return _entries(rows)


def latest_of_plant(tx: Connection, plant_id: int, limit: int) -> list[Entry]:
    """The newest standing events of a plant, newest first."""
    rows = tx.execute(
        select(*_COLUMNS)
        .where(EVENT.c.plant_id == plant_id, EVENT.c.undone_by.is_(None))
        .order_by(EVENT.c.happened_at.desc(), EVENT.c.id.desc())
        .limit(limit)
    )
    return _entries(rows)


def of_plant_and_kind(tx: Connection, plant_id: int, kind: str, limit: int) -> list[Entry]:
    """The newest standing events of one kind of a plant, newest first."""
    rows = tx.execute(
        select(*_COLUMNS)
        .where(EVENT.c.plant_id == plant_id, EVENT.c.kind == kind, EVENT.c.undone_by.is_(None))
        .order_by(EVENT.c.happened_at.desc(), EVENT.c.id.desc())
        .limit(limit)
    )
    return _entries(rows)


def plants_told_of(tx: Connection, household_id: int, most: int, looked_at: int = 50) -> list[int]:
    """The plants that a household's newest events are about, the last told of first."""
    rows = tx.execute(
        select(EVENT.c.plant_id)
        .where(EVENT.c.household_id == household_id)
        .order_by(EVENT.c.id.desc())
        .limit(looked_at)
    ).scalars()
    return list(dict.fromkeys(one for one in rows if one is not None))[:most]


def counts_of_kind(tx: Connection, household_id: int, kind: str) -> dict[int, int]:
    """How many standing events of a kind each plant of a household has, the most first."""
    many = func.count()
    rows = tx.execute(
        select(EVENT.c.plant_id, many)
        .where(
            EVENT.c.household_id == household_id,
            EVENT.c.kind == kind,
            EVENT.c.undone_by.is_(None),
        )
        .group_by(EVENT.c.plant_id)
        .order_by(many.desc(), EVENT.c.plant_id)
    )
    return {plant_id: int(count) for plant_id, count in rows if plant_id is not None}


def last_ordinal(tx: Connection, inbox_id: int | None) -> int:
    """The place of the last event of a message so far; 0 when it told none."""
    last = tx.execute(select(func.max(EVENT.c.ordinal)).where(EVENT.c.inbox_id == inbox_id))
    return int(last.scalar() or 0)


def latest_of_kind(tx: Connection, household_id: int, kind: str, limit: int) -> list[Entry]:
    """The newest standing events of one kind in a household, the last told first."""
    rows = tx.execute(
        select(*_COLUMNS)
        .where(
            EVENT.c.household_id == household_id,
            EVENT.c.kind == kind,
            EVENT.c.undone_by.is_(None),
        )
        .order_by(EVENT.c.id.desc())
        .limit(limit)
    )
    return _entries(rows)


def told_by(tx: Connection, household_id: int, person_id: int, kind: str) -> list[Entry]:
    """The standing events of one kind that somebody told in a household, in order."""
    rows = tx.execute(
        select(*_COLUMNS)
        .where(
            EVENT.c.household_id == household_id,
            EVENT.c.person_id == person_id,
            EVENT.c.kind == kind,
            EVENT.c.undone_by.is_(None),
        )
        .order_by(EVENT.c.id)
    )
    return _entries(rows)


def last_entry_of(
    tx: Connection, household_id: int, person_id: int, *, in_words: bool = False
) -> list[Entry]:
    """All standing events of the last message in which a person told anything.

    With `in_words` pictures are passed over: what is told rightly later leaves them where they are.
    """
    mine = (
        EVENT.c.household_id == household_id,
        EVENT.c.person_id == person_id,
        EVENT.c.undone_by.is_(None),
        EVENT.c.kind.not_in((Undone.kind, Pictured.kind) if in_words else (Undone.kind,)),
    )
    newest = tx.execute(
        select(EVENT.c.id, EVENT.c.inbox_id).where(*mine).order_by(EVENT.c.id.desc()).limit(1)
    ).first()
    if newest is None:
        return []
    same = (
        EVENT.c.inbox_id == newest.inbox_id
        if newest.inbox_id is not None
        else EVENT.c.id == newest.id
    )
    return _entries(tx.execute(select(*_COLUMNS).where(*mine, same).order_by(EVENT.c.id)))


def told_by_message(tx: Connection, household_id: int, inbox_ids: Sequence[int]) -> list[Entry]:
    """The standing events of a household that some messages told."""
    rows = tx.execute(
        select(*_COLUMNS)
        .where(
            EVENT.c.inbox_id.in_(inbox_ids),
            EVENT.c.household_id == household_id,
            EVENT.c.undone_by.is_(None),
            EVENT.c.kind != Undone.kind,
        )
        .order_by(EVENT.c.id)
    )
    return _entries(rows)


def told_elsewhere(tx: Connection, household_id: int, inbox_ids: Sequence[int]) -> bool:
    """Whether some messages told anything of another household."""
    found = tx.execute(
        select(EVENT.c.id)
        .where(EVENT.c.inbox_id.in_(inbox_ids), EVENT.c.household_id != household_id)
        .limit(1)
    ).first()
    return found is not None


def built_on(tx: Connection, entries: Sequence[Entry]) -> bool:
    """Whether a plant of these events has standing events that were told after them.

    A picture is beside them, not upon them.
    """
    plants = [entry.plant_id for entry in entries if entry.plant_id is not None]
    newest = max(entry.id for entry in entries)
    later = tx.execute(
        select(EVENT.c.id)
        .where(
            EVENT.c.plant_id.in_(plants),
            EVENT.c.id > newest,
            EVENT.c.undone_by.is_(None),
            EVENT.c.kind != Pictured.kind,
        )
        .limit(1)
    ).first()
    return later is not None


def take_back(tx: Connection, teller: Teller, entries: Sequence[Entry]) -> None:
    """Undo events: an undo event names them, and they no longer stand.

    What an undo event among them had taken back stands again.
    """
    ids = tuple(entry.id for entry in entries)
    undo = append(tx, teller, None, Undone(ids))
    tx.execute(update(EVENT).where(EVENT.c.undone_by.in_(ids)).values(undone_by=None))
    tx.execute(update(EVENT).where(EVENT.c.id.in_(ids)).values(undone_by=undo.id))


def corrections(tx: Connection, entries: Sequence[Entry]) -> list[Entry]:
    """The undo events, still in force, of the messages that told some entries."""
    told_by = {entry.inbox_id for entry in entries} - {None}
    rows = tx.execute(
        select(*_COLUMNS).where(
            EVENT.c.inbox_id.in_(told_by), EVENT.c.kind == Undone.kind, EVENT.c.undone_by.is_(None)
        )
    )
    return _entries(rows)


def taken_by(tx: Connection, undos: Sequence[Entry]) -> list[Entry]:
    """The events that some undo events took back, in the order in which they were told."""
    ids = [one.id for one in undos]
    wanted = select(*_COLUMNS).where(EVENT.c.undone_by.in_(ids)).order_by(EVENT.c.id)
    return _entries(tx.execute(wanted)) if ids else []


_NEWER = (
    select(EVENT.c.id)
    .where(
        EVENT.c.plant_id == bindparam("plant"),
        EVENT.c.happened_at > bindparam("at"),
        EVENT.c.undone_by.is_(None),
        EVENT.c.kind != Arrived.kind,
    )
    .limit(1)
)


def has_newer(tx: Connection, plant_id: int, at: datetime) -> bool:
    """Whether something standing happened to a plant after a moment.

    Its coming doesn't count: what happened before it was told isn't late.
    """
    return tx.execute(_NEWER, {"plant": plant_id, "at": at}).first() is not None


def last_moment(tx: Connection) -> datetime | None:
    """The latest moment at which any event was told."""
    moment: datetime | None = tx.execute(select(func.max(EVENT.c.told_at))).scalar()
    return moment


def undone_ids(tx: Connection, household_id: int) -> dict[int, int]:
    """What the undo events say: event id -> id of the undo that took it back."""
    rows = tx.execute(
        select(*_COLUMNS).where(EVENT.c.household_id == household_id, EVENT.c.kind == Undone.kind)
    )
    found: dict[int, int] = {}
    for entry in sorted(_entries(rows), key=lambda one: one.id, reverse=True):
        # An undo that was itself taken back, by a later one, undoes nothing.
        if isinstance(entry.body, Undone) and entry.id not in found:
            found |= dict.fromkeys(entry.body.events, entry.id)
    return found


def latest(tx: Connection, household_id: int) -> Entry | None:
    """The newest standing entry of a household."""
    rows = tx.execute(
        select(*_COLUMNS)
        .where(
            EVENT.c.household_id == household_id,
            EVENT.c.undone_by.is_(None),
            EVENT.c.kind != Undone.kind,
        )
        .order_by(EVENT.c.id.desc())
        .limit(1)
    )
    return next(iter(_entries(rows)), None)


def last_told(tx: Connection, household_id: int) -> datetime | None:
    """When a person of a household last told anything; a sensor's word doesn't count."""
    found: datetime | None = tx.execute(
        select(EVENT.c.told_at)
        .where(EVENT.c.household_id == household_id, EVENT.c.person_id.is_not(None))
        .order_by(EVENT.c.id.desc())
        .limit(1)
    ).scalar()
    return found


def mark_undone(tx: Connection, event_id: int, undone_by: int | None) -> None:
    """Put right which undo event took an event back, if any."""
    tx.execute(update(EVENT).where(EVENT.c.id == event_id).values(undone_by=undone_by))
