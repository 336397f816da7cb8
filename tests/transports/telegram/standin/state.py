"""What the stand-in remembers of each bot: chats, updates not yet confirmed, calls, faults."""

from __future__ import annotations

import asyncio
from collections import defaultdict, deque
from dataclasses import dataclass, field
from typing import Any


@dataclass(slots=True)
class Chat:
    """A chat and what became of it. `threads` are its topics besides General."""

    about: dict[str, Any]
    threads: set[int] = field(default_factory=set)
    blocked: str = ""
    moved_to: int | None = None
    last_id: int = 0


@dataclass(slots=True)
class Bot:
    """One token's world."""

    token: str
    chats: dict[int, Chat] = field(default_factory=dict)
    updates: deque[dict[str, Any]] = field(default_factory=deque)
    last_update: int = 1000
    calls: list[dict[str, Any]] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)
    faults: dict[str, deque[dict[str, Any]]] = field(default_factory=lambda: defaultdict(deque))
    webhook: dict[str, Any] = field(default_factory=dict)
    settings: dict[str, Any] = field(default_factory=dict)
    files: dict[str, bytes] = field(default_factory=dict)
    privacy: bool = True
    poll: int = 0
    changed: asyncio.Event = field(default_factory=asyncio.Event)

    @property
    def me(self) -> dict[str, Any]:
        """What getMe says."""
        return {
            "id": int(self.token.partition(":")[0]), "is_bot": True, "first_name": "Potside",
            "username": "PotsideTestBot", "can_join_groups": True,
            "can_read_all_group_messages": not self.privacy, "supports_inline_queries": False,
        }  # fmt: skip

    def wake(self) -> None:
        """Tell whoever waits for something that something happened."""
        self.changed.set()
        self.changed = asyncio.Event()

    def add_update(self, update: dict[str, Any]) -> dict[str, Any]:
        """Give an update its id and keep it until it is confirmed."""
        self.last_update += 1
        whole = {"update_id": self.last_update, **update}
        for about in _chats_in(update):
            self.chats.setdefault(about["id"], Chat(about)).about = about
        self.updates.append(whole)
        self.wake()
        return whole

    def confirm(self, offset: int) -> None:
        """Forget every update before this one, as the real server does."""
        while self.updates and self.updates[0]["update_id"] < offset:
            self.updates.popleft()

    def fault(self, method: str, values: dict[str, Any]) -> dict[str, Any] | None:
        """The next fault that this call runs into, if any."""
        waiting = self.faults[method]
        for n, one in enumerate(waiting):
            chat = one.get("chat")
            if chat is not None and str(chat) != str(values.get("chat_id")):
                continue
            if one.get("skip", 0) > 0:
                one["skip"] -= 1
                continue
            one["times"] = one.get("times", 1) - 1
            if one["times"] <= 0:
                del waiting[n]
            return one
        return None


def _chats_in(thing: Any) -> list[dict[str, Any]]:
    found = []
    if isinstance(thing, dict):
        for key, value in thing.items():
            if key == "chat":
                found.append(value)
            else:
                found += _chats_in(value)
    return found
