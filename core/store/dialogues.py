"""Open questions and jobs in stages, as rows: they survive restarts and other people's hands."""

from __future__ import annotations

import json
from collections.abc import Container, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, bindparam, func, insert, select, update

from core.store.ready import Ready, told
from core.store.tables import Dialogue, table_of

DIALOGUE = table_of(Dialogue)


@dataclass(frozen=True, slots=True)
class Option:
    """A way to answer: what the button says, and the command that it stands for."""

    label: str
    send: str


@dataclass(frozen=True, slots=True)
class Talk:
    """One open dialogue. `state` is JSON of the subject's own; `version` grows with each stage."""

    id: int
    household_id: int
    chat_id: int
    person_id: int | None
    plant_id: int | None
    thread: str | None
    subject: str
    stage: str
    version: int
    state: str
    options: tuple[Option, ...]
    due_at: datetime | None
    opened_at: datetime
    closed_at: datetime | None


_COLUMNS = (
    DIALOGUE.c.id,
    DIALOGUE.c.household_id,
    DIALOGUE.c.chat_id,
    DIALOGUE.c.person_id,
    DIALOGUE.c.plant_id,
    DIALOGUE.c.thread,
    DIALOGUE.c.subject,
    DIALOGUE.c.stage,
    DIALOGUE.c.version,
    DIALOGUE.c.state,
    DIALOGUE.c.options,
    DIALOGUE.c.due_at,
    DIALOGUE.c.opened_at,
    DIALOGUE.c.closed_at,
)


def _talk(row: Any) -> Talk:
    options = tuple(Option(*pair) for pair in json.loads(row.options))
    return Talk(**row._asdict() | {"options": options})


def _packed(options: Sequence[Option]) -> str:
    return json.dumps([[option.label, option.send] for option in options])


_BEGIN = Ready(
    insert(DIALOGUE).values(
        version=1,
        opened_at=bindparam("now"),
        **told("household_id", "chat_id", "person_id", "plant_id", "thread"),
        **told("subject", "stage", "state", "options", "due_at"),
    )
)


def begin(
    tx: Connection,
    *,
    household_id: int,
    chat_id: int,
    person_id: int | None,
    subject: str,
    stage: str,
    now: datetime,
    plant_id: int | None = None,
    thread: str | None = None,
    state: str = "{}",
    options: Sequence[Option] = (),
    due_at: datetime | None = None,
) -> int:
    """Open a dialogue; its id."""
    return _BEGIN.insert(
        tx,
        household_id=household_id,
        chat_id=chat_id,
        person_id=person_id,
        plant_id=plant_id,
        thread=thread,
        subject=subject,
        stage=stage,
        state=state,
        options=_packed(options),
        due_at=due_at,
        now=now,
    )


def advance(
    tx: Connection,
    talk: Talk,
    *,
    stage: str,
    state: str,
    options: Sequence[Option] = (),
    due_at: datetime | None = None,
    chat_id: int | None = None,
    thread: str | None = None,
    person_id: int | None = None,
) -> bool:
    """Move to a stage. False when somebody else moved it first: then nothing was changed.

    Named with a chat, it goes on there and in that topic; else it stays where it is.
    """
    done = tx.execute(
        update(DIALOGUE)
        .where(
            DIALOGUE.c.id == talk.id,
            DIALOGUE.c.version == talk.version,
            DIALOGUE.c.closed_at.is_(None),
        )
        .values(
            stage=stage,
            state=state,
            options=_packed(options),
            due_at=due_at,
            version=talk.version + 1,
            chat_id=chat_id if chat_id is not None else talk.chat_id,
            thread=thread if chat_id is not None else talk.thread,
            person_id=person_id if person_id is not None else talk.person_id,
        )
    )
    return int(done.rowcount) == 1


def restate(tx: Connection, dialogue_id: int, state: str, due_at: datetime | None) -> None:
    """Keep another state and moment of the same stage: buttons already shown still count."""
    tx.execute(
        update(DIALOGUE)
        .where(DIALOGUE.c.id == dialogue_id, DIALOGUE.c.closed_at.is_(None))
        .values(state=state, due_at=due_at)
    )


_STILL_OPEN = (
    update(DIALOGUE)
    .where(DIALOGUE.c.id == bindparam("one"), DIALOGUE.c.closed_at.is_(None))
    .values(options=bindparam("shown"))
)
_SHOW = Ready(_STILL_OPEN)
_SHOW_AT = Ready(_STILL_OPEN.where(DIALOGUE.c.version == bindparam("at")))


def set_options(
    tx: Connection, dialogue_id: int, options: Sequence[Option], *, version: int | None = None
) -> None:
    """Keep what may be answered now, so that a bare word finds its question.

    With a version only while the dialogue stands there: a question said late asks nothing.
    """
    shown = _packed(options)
    if version is None:
        _SHOW.do(tx, one=dialogue_id, shown=shown)
    else:
        _SHOW_AT.do(tx, one=dialogue_id, shown=shown, at=version)


def close(tx: Connection, dialogue_id: int, now: datetime) -> bool:
    """End a dialogue; False when it had ended already."""
    done = tx.execute(
        update(DIALOGUE)
        .where(DIALOGUE.c.id == dialogue_id, DIALOGUE.c.closed_at.is_(None))
        .values(closed_at=now, due_at=None, options="[]", version=DIALOGUE.c.version + 1)
    )
    return int(done.rowcount) == 1


def close_about_plant(tx: Connection, plant_id: int, now: datetime) -> None:
    """End whatever is open about a plant that is no longer there."""
    tx.execute(
        update(DIALOGUE)
        .where(DIALOGUE.c.plant_id == plant_id, DIALOGUE.c.closed_at.is_(None))
        .values(closed_at=now, due_at=None, options="[]", version=DIALOGUE.c.version + 1)
    )


_GET = Ready(select(*_COLUMNS).where(DIALOGUE.c.id == bindparam("one")))


def get(tx: Connection, dialogue_id: int) -> Talk | None:
    """A dialogue by its id, closed ones too."""
    row = _GET.first(tx, one=dialogue_id)
    return _talk(row) if row else None


_ALL_OPEN = (
    select(*_COLUMNS)
    .where(DIALOGUE.c.household_id == bindparam("household"), DIALOGUE.c.closed_at.is_(None))
    .order_by(DIALOGUE.c.id)
)
_OPEN = Ready(_ALL_OPEN)
_OPEN_ABOUT = Ready(_ALL_OPEN.where(DIALOGUE.c.subject == bindparam("subject")))


def open_about(tx: Connection, household_id: int, subject: str) -> list[Talk]:
    """Every open dialogue of a household on a subject, oldest first."""
    found = _OPEN_ABOUT.all(tx, household=household_id, subject=subject)
    return [_talk(row) for row in found]


def open_any(tx: Connection, household_id: int, subjects: Container[str]) -> list[Talk]:
    """The same on some subjects."""
    found = _OPEN.all(tx, household=household_id)
    return [_talk(row) for row in found if row.subject in subjects]


def ever_about(tx: Connection, household_id: int, subject: str) -> list[Talk]:
    """The same with those that have ended."""
    rows = tx.execute(
        select(*_COLUMNS)
        .where(DIALOGUE.c.household_id == household_id, DIALOGUE.c.subject == subject)
        .order_by(DIALOGUE.c.id)
    )
    return [_talk(row) for row in rows]


@dataclass(frozen=True, slots=True)
class Due:
    """An open dialogue whose time has come."""

    id: int
    household_id: int


def due(tx: Connection, now: datetime, limit: int = 50) -> list[Due]:
    """What is due, in order; to be moved on one by one, each with its household locked."""
    rows = tx.execute(
        select(DIALOGUE.c.id, DIALOGUE.c.household_id)
        .where(DIALOGUE.c.closed_at.is_(None), DIALOGUE.c.due_at <= now)
        .order_by(DIALOGUE.c.due_at, DIALOGUE.c.id)
        .limit(limit)
    )
    return [Due(*row) for row in rows]


def still_due(tx: Connection, dialogue_id: int, now: datetime) -> Talk | None:
    """A dialogue as it stands now, unless somebody moved it on meanwhile."""
    row = tx.execute(
        select(*_COLUMNS).where(
            DIALOGUE.c.id == dialogue_id, DIALOGUE.c.closed_at.is_(None), DIALOGUE.c.due_at <= now
        )
    ).first()
    return _talk(row) if row else None


def set_aside(tx: Connection, dialogue_id: int) -> None:
    """Leave a dialogue open without a moment: a person may still answer it."""
    tx.execute(update(DIALOGUE).where(DIALOGUE.c.id == dialogue_id).values(due_at=None))


_NEXT_DUE = select(func.min(DIALOGUE.c.due_at)).where(DIALOGUE.c.closed_at.is_(None))


def next_due(tx: Connection) -> datetime | None:
    """When the next open dialogue is due."""
    due_at: datetime | None = tx.execute(_NEXT_DUE).scalar()
    return due_at
