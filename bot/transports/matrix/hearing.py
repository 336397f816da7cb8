"""Events of a room as the messages that the house understands.

With one person in a room, all they say there is meant for us. With more, only what surely is:
commands, our name in front, replies to us. Other talk is dropped here and kept nowhere.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any

from nio import (
    Event,
    ReactionEvent,
    RoomMessage,
    RoomMessageNotice,
    RoomNameEvent,
    StickerEvent,
)

from bot.port import Incoming, Pick, Place, Press, Renamed, as_title
from bot.talk.message import Message, Quote
from bot.talk.registry import ALIASES, COMMANDS
from bot.transports.matrix.cutting import LETTERS
from bot.transports.matrix.media import picture_in
from core.store.people import Address

NETWORK = "matrix"
# A message older than this waited somewhere; a younger one was said just now.
WAITED = timedelta(minutes=1)

_COMMAND = re.compile(r"[!/](?P<name>[A-Za-z0-9_]+)(?=\s|$)")
_PICK = re.compile(r"(?:(?P<number>[1-9])|(?P<letter>[a-j]))[.)]?", re.IGNORECASE)
# A digit as reactions write it: with a variation selector and the key's frame, or bare.
_KEYCAP = re.compile(r"(?P<number>[1-9])\ufe0f?\u20e3?")


@dataclass(frozen=True, slots=True)
class Room:
    """A room as far as hearing needs it. `others` counts the people beside us."""

    id: str
    others: int
    title: str
    names: Callable[[str], str]

    @property
    def direct(self) -> bool:
        """Whether it is a private chat: with one person, and without a name."""
        return self.others <= 1 and not self.title


@dataclass(frozen=True, slots=True)
class Ear:
    """Hears for one account. `allowed`: ids of people and rooms, or None for everybody."""

    user: str
    now: Callable[[], datetime]
    allowed: frozenset[str] | None = None

    def place(self, room: str) -> Place:
        """A room as the store keeps it."""
        return Place(NETWORK, self.user, room)

    def may_speak(self, sender: str, room: str) -> bool:
        """Whether somebody may use us there."""
        if self.allowed is None:
            return True
        server = sender.partition(":")[2]
        names = {sender.casefold(), room.casefold(), f":{server}".casefold()}
        return bool(names & self.allowed)

    def address(self, room: Room, sender: str) -> Address:
        """Somebody in a room."""
        name = room.names(sender)
        return Address(NETWORK, self.user, room.id, sender, name, room.direct, room.title)

    def hears(self, event: object, room: Room) -> bool:
        """Whether an event is somebody's whom we listen to: not ours, not another bot's notice.

        What isn't shaped as the protocol wants it is nobody's.
        """
        if not isinstance(event, Event) or isinstance(event, RoomMessageNotice):
            return False
        if event.sender == self.user:
            return False
        return self.may_speak(event.sender, room.id)

    def hear(self, event: Event, room: Room, refers: int | None = None) -> Sequence[Incoming]:
        """What an event means for us. `refers`: the row of the message of ours that it is about.

        It is 0 for one of ours without a row, None when it is about none of ours.
        """
        if not self.hears(event, room):
            return ()
        if isinstance(event, ReactionEvent):
            return self._reaction(event, room, refers)
        if isinstance(event, RoomMessage | StickerEvent):
            return self._message(event, room, refers)
        if isinstance(event, RoomNameEvent):
            return (Renamed(self.place(room.id), as_title(event.name)),)
        return ()

    def _reaction(self, event: ReactionEvent, room: Room, refers: int | None) -> Sequence[Incoming]:
        number = _KEYCAP.fullmatch(event.key.strip())
        if number is None or not refers:
            return ()
        message = self._as_message(event, room, event.event_id, "")
        said = f"{room.id} {event.reacts_to}"
        return (Press(message, refers, int(number["number"]) - 1, said),)

    def _message(
        self, event: RoomMessage | StickerEvent, room: Room, refers: int | None
    ) -> Sequence[Incoming]:
        content, relation = event.source["content"], relation_of(event)
        id_, edit = event.event_id, 0
        if relation.get("rel_type") == "m.replace":
            id_, edit = str(relation.get("event_id")), event.server_timestamp
            content = content.get("m.new_content") or {}
        said = body_of(content, quotes=in_reply_to(relation) is not None)
        text = self._meant(said, content, room, ours=refers is not None)
        if text is None:
            return ()
        message = self._as_message(event, room, id_, text, edit)
        if not edit:
            message = replace(message, photo=picture_in(content))
        if refers:
            said = "" if edit else f"{room.id} {in_reply_to(relation)}"
            message = replace(message, quotes=Quote(refers, said))
        picked = _PICK.fullmatch(text)
        if picked is None or edit:
            return (message,)
        if picked["number"]:
            return (Pick(message, int(picked["number"])),)
        return (Pick(message, LETTERS.index(picked["letter"].lower()) + 1, letter=True),)

    def _as_message(self, event: Event, room: Room, id_: str, text: str, edit: int = 0) -> Message:
        address = self.address(room, event.sender)
        return Message(
            address,
            id_,
            text,
            self.moment(event),
            edit=edit,
            thread=thread_of(event),
            quoted=room.others > 1,
            overhears=room.others <= 1,
        )

    def unread(self, event: Event, room: Room) -> Message:
        """A message that couldn't be read, so that its sender hears that."""
        return replace(self._as_message(event, room, event.event_id, ""), unread=True)

    def moment(self, event: Event) -> datetime:
        """When it was said: just now, unless it waited for us."""
        now = self.now()
        said = datetime.fromtimestamp(event.server_timestamp / 1000, UTC)
        return said if now - said > WAITED else now

    def _meant(self, said: str, content: dict[str, Any], room: Room, *, ours: bool) -> str | None:
        """The text as far as it is meant for us; None when it isn't."""
        alone = room.others <= 1
        called = self._without_name(said, room)
        text = said if called is None else called
        command = _COMMAND.match(text)
        if command is not None:
            known = command["name"].casefold() in COMMANDS or command["name"].casefold() in ALIASES
            meant = known or alone or called is not None
            return f"/{text[1:]}" if meant else None
        if called is not None:
            return called or "/help"
        mentioned = self.user in (content.get("m.mentions") or {}).get("user_ids", ())
        if alone:
            return text
        return text if (ours or mentioned) and (text or picture_in(content)) else None

    def _without_name(self, said: str, room: Room) -> str | None:
        """What follows our name at the beginning; None when it doesn't begin with it."""
        local = self.user[1:].partition(":")[0]
        for name in (self.user, room.names(self.user), local):
            called = re.match(rf"@?{re.escape(name)}(?=[\s,:]|$)[\s,:]*", said, re.IGNORECASE)
            if name and called is not None:
                return str(said[called.end() :]).strip()
        return None


def relation_of(event: Event) -> dict[str, Any]:
    """How an event relates to another; empty when it doesn't."""
    relation = event.source.get("content", {}).get("m.relates_to")
    return relation if isinstance(relation, dict) else {}


def in_reply_to(relation: dict[str, Any]) -> str | None:
    """The event that is replied to; in a thread one may be named for old clients alone."""
    named = relation.get("m.in_reply_to")
    if not isinstance(named, dict) or relation.get("is_falling_back"):
        return None
    return str(named.get("event_id") or "") or None


def thread_of(event: Event) -> str | None:
    """The thread that it was said in, by its first event."""
    relation = relation_of(event)
    return str(relation.get("event_id")) if relation.get("rel_type") == "m.thread" else None


def about(event: Event) -> str | None:
    """The earlier event that matters to what this one means: replied to, reacted to."""
    if isinstance(event, ReactionEvent):
        return str(event.reacts_to)
    return in_reply_to(relation_of(event))


def body_of(content: dict[str, Any], *, quotes: bool) -> str:
    """The words of a message: without what it quotes of another; of a file, its caption."""
    body = content.get("body")
    if not isinstance(body, str):
        return ""
    if content.get("msgtype") not in {"m.text", "m.emote"}:
        named = content.get("filename")
        return body.strip() if isinstance(named, str) and named != body else ""
    return (without_quote(body) if quotes else body).strip()


def without_quote(body: str) -> str:
    """A reply without the lines that its client quotes before it.

    They begin with "> "; an empty line ends them. A message that is all quote stays as it is.
    """
    lines = body.split("\n")
    quoted = 0
    while quoted < len(lines) and lines[quoted].startswith(">"):
        quoted += 1
    if not quoted:
        return body
    rest = "\n".join(lines[quoted:]).strip("\n")
    return rest or body
