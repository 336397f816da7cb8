"""Every table, as SQLModel classes over one metadata with named constraints.

Times are aware UTC (SQLModel maps a plain `datetime` to a type that refuses naive values).
JSON bodies are text written and read by the module that owns their shape, so that the
store never interprets them. Statements on the hot path are SQLAlchemy Core on
`table_of(Model)`, the hottest of them made ready (`ready.py`): measured, SQLModel objects cost
several times as much.
"""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from sqlalchemy import BigInteger, Index, LargeBinary, MetaData, Table, Text, UniqueConstraint, text
from sqlmodel import Field, SQLModel

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class Base(SQLModel):
    """Root of all tables; its metadata names every constraint, so that migrations can drop them."""

    metadata: ClassVar[MetaData] = MetaData(naming_convention=NAMING)


class Household(Base, table=True):
    """People who look after the same plants. `zone` is an IANA name; `settings` is JSON.

    `drying` is JSON: what the drying of its pots has in common, derived from the journal.

    `round_at` is when its next morning round is due, `round_rule` the hour and zone that this was
    worked out from; NULL: never.

    `area` is the place rounded, as "52.5,13.4", that `area_for`, a weather service, may be told;
    `watch_at` is when the nights and days to come are looked at next.

    `forget_at`: it was deleted and holds nothing any more; its row and those that lead to it go
    then. NULL: it lives.
    """

    __table_args__ = (
        Index("ix_household_round_due", "round_at"),
        Index("ix_household_area", "area_for", "area"),
        Index("ix_household_watch_due", "watch_at"),
        Index("ix_household_forget_due", "forget_at"),
        # Whatever still names one that was deleted never means another.
        {"sqlite_autoincrement": True},
    )
    id: int | None = Field(default=None, primary_key=True)
    name: str
    zone: str
    settings: str = Field(default="{}", sa_type=Text)
    drying: str = Field(default="{}", sa_type=Text)
    home_chat_id: int | None = Field(default=None)
    created_at: datetime
    round_at: datetime | None = None
    round_rule: str | None = None
    area: str | None = None
    area_for: str | None = None
    watch_at: datetime | None = None
    forget_at: datetime | None = None


class Person(Base, table=True):
    """Someone who speaks; the name is what others see."""

    id: int | None = Field(default=None, primary_key=True)
    name: str
    created_at: datetime
    left_at: datetime | None = None


class Identity(Base, table=True):
    """(network, account, address) -> person. `account` is which of our bots was spoken to."""

    __table_args__ = (UniqueConstraint("network", "account", "address"),)
    id: int | None = Field(default=None, primary_key=True)
    network: str
    account: str
    address: str
    person_id: int = Field(foreign_key="person.id", index=True)


class Membership(Base, table=True):
    """A person's part in a household: keeper, member, or sitter between two dates.

    `asked` is the dialogue of the question that this person was asked last and hasn't moved
    on from: the one that a bare "no" answers.
    """

    __table_args__ = (UniqueConstraint("household_id", "person_id"),)
    id: int | None = Field(default=None, primary_key=True)
    household_id: int = Field(foreign_key="household.id", index=True)
    person_id: int = Field(foreign_key="person.id", index=True)
    role: str
    since: datetime
    until: datetime | None = None
    asked: int | None = None


class Chat(Base, table=True):
    """(network, account, address) -> household; `direct` with one person, or a group.

    The household of a private chat is the one that its person speaks of there, of several.
    `title` is what a group is called on its network.
    """

    __table_args__ = (UniqueConstraint("network", "account", "address"),)
    id: int | None = Field(default=None, primary_key=True)
    network: str
    account: str
    address: str
    direct: bool = False
    household_id: int = Field(foreign_key="household.id", index=True)
    person_id: int | None = Field(default=None, foreign_key="person.id", index=True)
    title: str = ""
    gone_at: datetime | None = None
    created_at: datetime


class Invite(Base, table=True):
    """A code that makes one person part of a household, once; only its digest is kept.

    `since` and `until` are those of a sitter's time.
    """

    __table_args__ = (UniqueConstraint("digest"),)
    id: int | None = Field(default=None, primary_key=True)
    household_id: int = Field(foreign_key="household.id", index=True)
    person_id: int = Field(foreign_key="person.id")
    digest: str
    role: str
    since: datetime | None = None
    until: datetime | None = None
    expires_at: datetime
    used_at: datetime | None = None


class Guess(Base, table=True):
    """A code that was none: who tried it, in whose chat, when. Kept as long as it counts."""

    __table_args__ = (
        Index("ix_guess_sender", "sender", "at"),
        Index("ix_guess_household", "household_id", "at"),
    )
    id: int | None = Field(default=None, primary_key=True)
    sender: str
    household_id: int = Field(foreign_key="household.id")
    at: datetime


class Plant(Base, table=True):
    """What the journal says of one plant now: derived, can always be rebuilt from events.

    `state` is JSON; the columns beside it are those that are searched or swept.
    """

    __table_args__ = (
        Index(
            "uq_plant_living_name",
            "household_id",
            "name_key",
            unique=True,
            sqlite_where=text("left_at IS NULL"),
            postgresql_where=text("left_at IS NULL"),
        ),
        Index("ix_plant_household_left", "household_id", "left_at"),
        Index("ix_plant_probe_due", "probe_at"),
    )
    id: int | None = Field(default=None, primary_key=True)
    household_id: int = Field(foreign_key="household.id")
    name: str
    name_key: str
    room: str = ""
    probe_at: datetime | None = None
    left_at: datetime | None = None
    state: str = Field(default="{}", sa_type=Text)


class Inbox(Base, table=True):
    """A message as it came, committed before it is confirmed to its network."""

    __table_args__ = (
        UniqueConstraint("network", "account", "chat", "message", "edit"),
        Index("ix_inbox_open", "state", "id"),
    )
    id: int | None = Field(default=None, primary_key=True)
    network: str
    account: str
    chat: str
    message: str
    edit: int = Field(default=0, sa_type=BigInteger)
    payload: str = Field(sa_type=Text)
    told_at: datetime
    state: str = "new"  # new, done, poison
    attempts: int = 0


class Bookmark(Base, table=True):
    """How far one of our accounts has heard a network that tells it by a token.

    `device` is the login that the token belongs to; `kept` is JSON of the transport's own, as what
    it couldn't read yet.
    """

    __table_args__ = (UniqueConstraint("network", "account", "device"),)
    id: int | None = Field(default=None, primary_key=True)
    network: str
    account: str
    device: str
    token: str = Field(sa_type=Text)
    kept: str = Field(default="{}", sa_type=Text)
    set_at: datetime


class Event(Base, table=True):
    """One fact of the journal. (inbox_id, ordinal) makes a repeated message harmless.

    `undone_by` is derived from the undo event it names.
    """

    __table_args__ = (
        UniqueConstraint("inbox_id", "ordinal"),
        Index("ix_event_plant_order", "plant_id", "happened_at", "id"),
        Index("ix_event_household_id", "household_id", "id"),
    )
    id: int | None = Field(default=None, primary_key=True)
    household_id: int = Field(foreign_key="household.id")
    plant_id: int | None = Field(default=None, foreign_key="plant.id")
    person_id: int | None = Field(default=None, foreign_key="person.id")
    kind: str
    version: int = 1
    happened_at: datetime
    told_at: datetime
    body: str = Field(sa_type=Text)
    inbox_id: int | None = Field(default=None, foreign_key="inbox.id")
    ordinal: int = 0
    undone_by: int | None = Field(default=None, foreign_key="event.id")


class Mark(Base, table=True):
    """What a household's journal came to up to one event, to read it again from there. Derived.

    `rules` stands for the program that left it; `common` is JSON, `plants` JSON packed by zlib.
    """

    __table_args__ = (UniqueConstraint("household_id", "happened_at", "event_id"),)
    id: int | None = Field(default=None, primary_key=True)
    household_id: int = Field(foreign_key="household.id")
    happened_at: datetime
    event_id: int = Field(foreign_key="event.id")
    rules: str
    common: str = Field(sa_type=Text)
    plants: bytes = Field(sa_type=LargeBinary)


class Dialogue(Base, table=True):
    """An open question or a job in stages. A tap names id and version; a stale one is refused.

    `thread` is the topic of its chat in which it goes on.
    """

    __table_args__ = (
        Index("ix_dialogue_due", "closed_at", "due_at"),
        Index("ix_dialogue_open", "household_id", "closed_at", "subject"),
        # A button shown long ago never answers another question, once the rows between are gone.
        {"sqlite_autoincrement": True},
    )
    id: int | None = Field(default=None, primary_key=True)
    household_id: int = Field(foreign_key="household.id")
    chat_id: int = Field(foreign_key="chat.id")
    person_id: int | None = Field(default=None, foreign_key="person.id")
    plant_id: int | None = Field(default=None, foreign_key="plant.id")
    thread: str | None = None
    subject: str
    stage: str
    version: int = 1
    state: str = Field(default="{}", sa_type=Text)
    options: str = Field(default="[]", sa_type=Text)
    due_at: datetime | None = None
    opened_at: datetime
    closed_at: datetime | None = None


class Outbox(Base, table=True):
    """What is to be said: a reply with its text, or facts that are worded when first claimed.

    (chat_id, kind, occasion) is unique: the same occasion is never announced twice. `said_as` is
    how its network knows a message whose buttons are still shown, chat and all; `posted` the same
    of one that a reply to may leave its plant unsaid.
    """

    __table_args__ = (
        UniqueConstraint("chat_id", "kind", "occasion"),
        Index("ix_outbox_due", "state", "due_at", "id"),
        Index(
            "ix_outbox_buttons",
            "chat_id",
            sqlite_where=text("said_as IS NOT NULL"),
            postgresql_where=text("said_as IS NOT NULL"),
        ),
        Index(
            "ix_outbox_posted",
            "posted",
            sqlite_where=text("posted IS NOT NULL"),
            postgresql_where=text("posted IS NOT NULL"),
        ),
        # Networks know a message by its number: the buttons under it, and that it was sent once.
        {"sqlite_autoincrement": True},
    )
    id: int | None = Field(default=None, primary_key=True)
    household_id: int = Field(foreign_key="household.id")
    chat_id: int = Field(foreign_key="chat.id")
    person_id: int | None = Field(default=None, foreign_key="person.id")
    kind: str  # reply, reminder, warning
    occasion: str
    topic: str = ""
    facts: str = Field(default="{}", sa_type=Text)
    body: str | None = Field(default=None, sa_type=Text)
    inbox_id: int | None = Field(default=None, foreign_key="inbox.id")
    due_at: datetime
    state: str = "waiting"  # waiting, claimed, sent, uncertain, failed, parked
    attempts: int = 0
    claimed_at: datetime | None = None
    sent_at: datetime | None = None
    said_as: str | None = None
    posted: str | None = None


class Photo(Base, table=True):
    """A picture that somebody sent: coming, asked about (of which plant?), or kept.

    `due_at` is when it is fetched next, or dropped if nobody says of which plant it is. `ref` is
    how its network finds it, until it is here; `thread` and `answers` say where its sender waits.
    """

    __table_args__ = (
        UniqueConstraint("inbox_id"),
        Index("ix_photo_due", "state", "due_at"),
        Index("ix_photo_household_state", "household_id", "state"),
        # The number of one that was removed never becomes another's: buttons and events hold it.
        {"sqlite_autoincrement": True},
    )
    id: int | None = Field(default=None, primary_key=True)
    household_id: int = Field(foreign_key="household.id")
    chat_id: int = Field(foreign_key="chat.id")
    person_id: int | None = Field(default=None, foreign_key="person.id")
    plant_id: int | None = Field(default=None, foreign_key="plant.id")
    inbox_id: int | None = Field(default=None, foreign_key="inbox.id")
    album: str = ""
    thread: str | None = None
    answers: str | None = None
    note: str = Field(default="", sa_type=Text)
    told_at: datetime
    state: str = "coming"  # coming, asked, kept
    due_at: datetime | None = None
    attempts: int = 0
    ref: str = Field(default="", sa_type=Text)
    size: int = 0
    content: bytes | None = Field(default=None, sa_type=LargeBinary)


class Forecast(Base, table=True):
    """What a weather service said last of an area, and when it may be asked again.

    `hours` is JSON; `etag` and `modified` are sent back to it, `link` is an address it gave us;
    `trouble` says why it could not be had the last `failures` times.
    """

    __table_args__ = (UniqueConstraint("service", "area"), Index("ix_forecast_due", "next_at"))
    id: int | None = Field(default=None, primary_key=True)
    service: str
    area: str
    next_at: datetime | None = None
    fetched_at: datetime | None = None
    etag: str | None = None
    modified: str | None = None
    link: str | None = None
    hours: str = Field(default="[]", sa_type=Text)
    failures: int = 0
    trouble: str = ""


class Sensor(Base, table=True):
    """An instrument in a room that tells us of its air; only the digest of its secret is kept.

    `state` is JSON: what it told last, and what was told since the journal heard of it.
    """

    __table_args__ = (UniqueConstraint("digest"),)
    id: int | None = Field(default=None, primary_key=True)
    household_id: int = Field(foreign_key="household.id", index=True)
    room: str
    digest: str
    created_at: datetime
    heard_at: datetime | None = None
    state: str = Field(default="{}", sa_type=Text)


def table_of(model: type[Base]) -> Table:
    """The Core table behind a model."""
    return Base.metadata.tables[model.__name__.lower()]
