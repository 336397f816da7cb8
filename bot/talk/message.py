"""What passes between a chat network and the conversation, the same for all networks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Annotated, Any, TypeVar

from pydantic import Field, TypeAdapter

from core.store.dialogues import Option
from core.store.inbox import Key
from core.store.people import Address

__all__ = [
    "Attachment",
    "Message",
    "Option",
    "Picture",
    "Quote",
    "Reply",
    "Step",
    "bare",
    "read",
    "write",
]


# Signs that show nothing and that keyboards and copies bring along: directions of writing, joints.
_MARKS = (
    "\xad\u061c\u200b\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2060\u2066\u2067\u2068\u2069\ufeff"
)
_SIGNS = dict.fromkeys(map(ord, _MARKS))


def bare(text: str) -> str:
    """What somebody typed, without signs that nobody types and without space around it."""
    return text.translate(_SIGNS).strip()


@dataclass(frozen=True, slots=True)
class Step:
    """Which stage of which dialogue a tap answers; a stale one is told so."""

    dialogue: int
    version: int


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture that came with a message.

    `ref` is all that its network needs to fetch it again, keys included; `size` its bytes, where
    they were announced; `album` the same for pictures that were sent together.
    """

    ref: str
    size: int | None = None
    album: str = ""


@dataclass(frozen=True, slots=True)
class Quote:
    """Which message of ours somebody replied to: its outbox row, or what its network calls it."""

    row: int = 0
    said: str = ""


@dataclass(frozen=True, slots=True)
class Message:
    """One thing that somebody said. `addressed`: it is sure to be meant for us.

    `thread` is the topic of the chat it was said in, where a network has such; `quoted` asks that
    the reply points back at it; `overhears` is false where we hear only what is meant for us;
    `unread`: it came encrypted, and its key never; `quotes`: what of ours it replies to;
    `passed_on`: it isn't in the words of whoever sent it, and may be old.
    """

    address: Address
    id: str
    text: str
    at: datetime
    edit: int = 0
    addressed: bool = True
    step: Step | None = None
    photo: Picture | None = None
    thread: str | None = None
    quoted: bool = False
    overhears: bool = True
    unread: bool = False
    quotes: Quote | None = None
    passed_on: bool = False

    @property
    def key(self) -> Key:
        """What makes a second delivery of the same message the same."""
        where = self.address
        return Key(where.network, where.account, where.chat, self.id, self.edit)


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file that goes with a reply: at `path`, drawn by a recipe, a photo we keep, the journal.

    `alt` is the same in words, for those who hear instead of see; `instead` is said in its place
    where it can't be had. Whoever delivers the reply of a household looks up the bytes of its
    photo or of its `journal` there; they are never written with the reply.
    """

    name: str
    path: str = ""
    type: str = "application/octet-stream"
    alt: str = ""
    instead: str = ""
    recipe: dict[str, Any] | None = None
    photo: int | None = None
    journal: bool = False
    data: Annotated[bytes | None, Field(exclude=True)] = None

    @property
    def of_ours(self) -> bool:
        """Whether it is made of what we keep: without it the words still hold."""
        return self.recipe is not None or self.stored

    @property
    def stored(self) -> bool:
        """Whether its bytes are looked up in the store."""
        return self.photo is not None or self.journal


@dataclass(frozen=True, slots=True)
class Reply:
    """What we say: text in short lines, ways to answer, files.

    A command in the text carries COMMAND_MARK; each transport writes its own mark there.
    `thread` is the topic of the chat it belongs to, `answers` the message that it points back at.
    With `numbers`, a bare number is an answer by itself, so that it can't name a choice. `about` is
    the plant that a reply to it is about.
    """

    text: str
    buttons: tuple[Option, ...] = ()
    files: tuple[Attachment, ...] = ()
    step: Step | None = None
    thread: str | None = None
    answers: str | None = None
    numbers: bool = False
    about: int | None = None


# Stands for the mark before a command ("/" or "!"), which only the transport knows.
COMMAND_MARK = "\u2060/"
# Stands on both sides of what could be typed; "*" where a transport has nothing better.
TYPE_MARK = "\u2060*"

Thing = TypeVar("Thing", Message, Reply)


@cache
def _adapter(shape: str) -> TypeAdapter[Any]:
    return TypeAdapter({"Message": Message, "Reply": Reply}[shape])


def write(thing: Message | Reply) -> str:
    """A message or reply as JSON text, for the inbox or the outbox."""
    return _adapter(type(thing).__name__).dump_json(thing, exclude_defaults=True).decode()


def read(shape: type[Thing], text: str) -> Thing:
    """The same, read back."""
    thing: Thing = _adapter(shape.__name__).validate_json(text)
    return thing
