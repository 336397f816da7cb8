"""A courier's post for tests: parcels, and a mailroom with no database behind it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

from bot.talk.message import Reply
from core.store.outbox import REMINDER, Parcel

AT = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)


class Mail:
    """A mailroom whose database answers, or not."""

    def __init__(self) -> None:
        self.marked: list[int] = []
        self.renewed: list[Sequence[int]] = []
        self.given_back: list[int] = []
        self.gave_up: list[int] = []

    async def renew(self, rows: Sequence[int]) -> None:
        self.renewed.append(rows)

    async def with_stored(self, _parcel: Parcel, reply: Reply) -> Reply:
        return reply

    async def put_back(self, rows: Sequence[int], _until: datetime) -> None:
        self.given_back += rows

    async def hold(self, _chat: int, rows: Sequence[int], _until: datetime) -> None:
        self.given_back += rows

    async def failed(self, row: int, _at: datetime) -> None:
        self.gave_up.append(row)

    def sent(self, row: int, _at: datetime, _shown: object, _posted: str | None) -> None:
        self.marked.append(row)


def parcel(row: int, chat: int = 1, kind: str = REMINDER) -> Parcel:
    """A row of a chat's outbox."""
    return Parcel(
        row, 1, chat, kind, "x", "{}", None, AT, "loopback", "a", f"chat {chat}",
        direct=True, zone="UTC", settings="{}",
    )  # fmt: skip
