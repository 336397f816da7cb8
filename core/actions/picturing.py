"""Pictures of plants: expected with their message, kept when they are here, taken away again.

A picture is kept and its event written in one transaction; only then is that said.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from sqlalchemy import Connection

from core.journal import ledger, plants, record
from core.journal.events import Pictured
from core.journal.ledger import Entry, Teller
from core.journal.plants import Plant
from core.journal.portrait import Home
from core.store import outbox, photos
from core.store.engine import lock_household
from core.store.outbox import Fact
from core.store.photos import ASKED, COMING, KEPT, Row, Sent

TOPIC = "photo"
MOST_FETCHED = 20_000_000
"""Bytes of one picture as it is sent: what Telegram gives out to bots, the same everywhere."""
MOST_KEPT = 50_000_000
"""Bytes of all pictures of a household as they are kept, some 200 to 400 of them (ours)."""
MOST_COMING = 20
"""So many pictures of a household may be on their way at a time (ours)."""
ASKED_KEPT = timedelta(days=7)
"""So long a picture waits for somebody to say of which plant it is (ours)."""
# Pictures that were sent together are spoken of together, once those behind had time to come.
ALBUM_PAUSE = timedelta(seconds=3)


class Refused(StrEnum):
    """Why a picture isn't kept."""

    LARGE = "large"  # more bytes than we fetch
    PIXELS = "pixels"  # more pixels than we look at
    FULL = "full"  # the household has no room left
    MANY = "many"  # too many on their way
    STRANGE = "strange"  # no picture, or of a kind we can't read
    LOST = "lost"  # its network doesn't have it, or not any more
    PLANT = "plant"  # its plant was taken back meanwhile
    NO_PLANTS = "no-plants"  # there is none that it could be of


def expect(
    tx: Connection, sent: Sent, plant_id: int | None, announced: int | None = None
) -> int | Refused:
    """A message brought a picture, of so many bytes if that was announced; its id, or why not."""
    if announced is not None and announced > MOST_FETCHED:
        return Refused.LARGE
    taken, coming = photos.used(tx, sent.household_id)
    if taken >= MOST_KEPT:
        return Refused.FULL
    return Refused.MANY if coming >= MOST_COMING else photos.put(tx, sent, plant_id)


def refuse(tx: Connection, sent: Sent, why: Refused) -> None:
    """One of several sent together can't be kept: that is said once for all of them."""
    _say(tx, sent, {"what": why.value, "plant": None}, sent.told_at)


def left_of(tx: Connection, chat_id: int, album: str) -> int:
    """How many of the pictures that were sent together are kept, or may be yet."""
    return len(photos.of_album(tx, chat_id, album))


def keep(tx: Connection, photo_id: int, content: bytes, now: datetime) -> None:
    """A picture is here, shrunk and stripped: keep it, and say so if its plant is known."""
    row = _expected(tx, photo_id)
    if row is None:
        return
    taken, _ = photos.used(tx, row.household_id)
    if taken + len(content) > MOST_KEPT:
        _lose(tx, row, Refused.FULL, now)
        return
    if row.plant_id is None:
        photos.arrive(tx, row.id, content, ASKED, now + ASKED_KEPT)
        return
    plant = plants.get(tx, row.plant_id)
    if not plant.name:
        _lose(tx, row, Refused.PLANT, now)
        return
    photos.arrive(tx, row.id, content, KEPT, None)
    teller = Teller(row.household_id, row.person_id, row.told_at, row.inbox_id)
    teller.ordinal = ledger.last_ordinal(tx, row.inbox_id)
    _tell(tx, teller, record.home_of(tx, row.household_id), row, plant)
    _say(tx, row, {"what": KEPT, "plant": plant.id, "photo": row.id}, now)


def lose(tx: Connection, photo_id: int, why: Refused, now: datetime) -> None:
    """A picture can't be had or can't be read: say so; nothing else of its message is touched."""
    row = _expected(tx, photo_id)
    if row is not None:
        _lose(tx, row, why, now)


def _expected(tx: Connection, photo_id: int) -> Row | None:
    row = photos.find(tx, photo_id)
    if row is None:
        return None
    if lock_household(tx, row.household_id):
        row = photos.find(tx, photo_id)
    return row if row is not None and row.state == COMING else None


def _lose(tx: Connection, row: Row, why: Refused, now: datetime) -> None:
    photos.drop(tx, row.id)
    _say(tx, row, {"what": why.value, "plant": row.plant_id, "photo": row.id}, now)


def _say(tx: Connection, row: Row | Sent, facts: dict[str, object], now: datetime) -> None:
    """Tell the sender where they are waiting; of an album each thing once, and a little later."""
    of_all = facts["plant"] if facts["what"] == KEPT else facts["what"]
    facts |= {"thread": row.thread, "answers": row.answers}
    if row.album:
        facts |= {"album": row.album, "chat": row.chat_id}
    outbox.put_fact(
        tx,
        Fact(
            household_id=row.household_id,
            chat_id=row.chat_id,
            person_id=row.person_id,
            kind=outbox.REPLY,
            occasion=f"photo.{row.album}.{of_all}" if row.album else f"photo.{facts['photo']}",
            topic=TOPIC,
            facts=json.dumps(facts),
            due_at=now + ALBUM_PAUSE if row.album else now,
        ),
    )


def _tell(tx: Connection, teller: Teller, home: Home, row: Row, plant: Plant) -> None:
    record.tell(tx, teller, home, plant, Pictured(row.id, row.note), row.told_at)


def together(tx: Connection, household_id: int, photo_id: int, plant_id: int) -> int:
    """How many pictures sent together with one, itself included, are kept with a plant."""
    album = photos.with_its_album(tx, household_id, photo_id)
    return sum(one.state == KEPT and one.plant_id == plant_id for one in album)


@dataclass(frozen=True, slots=True)
class Named:
    """What became of pictures when somebody said of which plant they are."""

    kept: int = 0
    coming: int = 0


def name(tx: Connection, teller: Teller, home: Home, photo_id: int, plant: Plant) -> Named:
    """Somebody says of which plant a picture is, and those sent with it; none: it isn't here.

    Those that are still on their way are kept, and that is said, when they come.
    """
    waiting = [
        row
        for row in photos.with_its_album(tx, teller.household_id, photo_id)
        if row.plant_id is None
    ]
    for row in waiting:
        photos.name(tx, row.id, plant.id, here=row.state == ASKED)
        if row.state == ASKED:
            _tell(tx, teller, home, row, plant)
    here = sum(row.state == ASKED for row in waiting)
    return Named(here, len(waiting) - here)


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture of a plant that is kept, as the journal tells of it."""

    id: int
    entry: Entry
    note: str


def of_plant(tx: Connection, plant_id: int, limit: int) -> list[Picture]:
    """The newest pictures of a plant, newest first."""
    return [
        Picture(one.body.photo, one, one.body.note)
        for one in ledger.of_plant_and_kind(tx, plant_id, Pictured.kind, limit)
        if isinstance(one.body, Pictured)
    ]


def counts(tx: Connection, household_id: int) -> dict[int, int]:
    """How many pictures there are of each plant of a household, the most first."""
    return ledger.counts_of_kind(tx, household_id, Pictured.kind)


def drop_taken_back(tx: Connection, entries: Sequence[Entry]) -> None:
    """A picture whose event was taken back is removed for good."""
    for entry in entries:
        if isinstance(entry.body, Pictured):
            photos.drop(tx, entry.body.photo)


def give_up(tx: Connection, photo_id: int) -> None:
    """Nobody said in time of which plant a picture is: it goes."""
    row = photos.find(tx, photo_id)
    if row is not None and row.state == ASKED:
        photos.drop(tx, photo_id)
