"""What passes between the house and a network: what comes in, what goes out, what goes wrong.

A network turns its events into these and raises these errors and no others, so that the house
treats all networks alike.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING, Protocol, TypeAlias

from bot.talk.message import Attachment, Message, Reply
from core.store.bookmarks import Bookmark
from core.store.outbox import Parcel

if TYPE_CHECKING:
    from aiohttp.web import RouteDef

# --- what comes in --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Press:
    """A button that was pressed: which one (from 0) of which outbox row. `message` lacks a text.

    `said`: the message that showed it, as `Port.send` tells of it.
    """

    message: Message
    row: int
    index: int
    said: str = ""


@dataclass(frozen=True, slots=True)
class Place:
    """A chat of one of our accounts on a network, as the store keeps it."""

    network: str
    account: str
    chat: str


@dataclass(frozen=True, slots=True)
class Gone:
    """We can't speak in a chat any more: blocked, removed, deleted."""

    place: Place


@dataclass(frozen=True, slots=True)
class Back:
    """We can speak again in a chat that may have been gone."""

    place: Place


@dataclass(frozen=True, slots=True)
class Renamed:
    """A group is called something else now. `title` is made by `as_title`."""

    place: Place
    title: str


LONGEST_TITLE = 40


def as_title(said: str | None) -> str:
    """A group's title as a household may be called by: on one line, and not too long."""
    return " ".join((said or "").split())[:LONGEST_TITLE].strip()


# Letters that show nothing, by which some go: fillers of Hangul, and Braille without a dot.
_UNSEEN = frozenset("\u115f\u1160\u2800\u3164\uffa0")


def as_name(*told: str | None) -> str:
    """The first of somebody's names in which there is something to be seen; "" for none."""
    return next((one.strip() for one in told if one and any(map(_seen, one))), "")


def _seen(char: str) -> bool:
    return unicodedata.category(char)[0] not in "CZM" and char not in _UNSEEN


@dataclass(frozen=True, slots=True)
class Moved:
    """A chat goes on under another address on the same network."""

    place: Place
    to: str


@dataclass(frozen=True, slots=True)
class Pick:
    """A number (from 1) that may name a choice of the newest message with choices in its chat.

    It was said as a letter where a bare number would have been an answer itself.
    """

    message: Message
    number: int
    letter: bool = False


Incoming: TypeAlias = Message | Press | Pick | Gone | Back | Moved | Renamed


class Office(Protocol):
    """What the house does with what comes in."""

    async def take_in(
        self, came: Sequence[Incoming], mark: Bookmark | None = None
    ) -> Sequence[str]:
        """Commit it, and how far was heard; the chats that now have something to be worked on."""

    async def attend(self, chat: str) -> None:
        """Work on a chat's line to its end."""

    async def my_turn(self) -> bool:
        """Whether it is for us, of several workers, to ask a network that only one may ask.

        Raises StoreFailedError when nobody can know.
        """

    async def last_mark(self, account: str) -> Bookmark | None:
        """How far one of our accounts was heard, where its network tells that by a token."""


# --- what goes out --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Choice:
    """A button: what it says, and the short id that comes back when it is pressed."""

    label: str
    id: str


@dataclass(frozen=True, slots=True)
class Piece:
    """One message to be sent: a whole reply, or a part of one that is too long for the network."""

    text: str
    choices: tuple[Choice, ...] = ()
    file: Attachment | None = None
    thread: str | None = None
    answers: str | None = None
    row: int = 0
    part: int = 0
    """Which part of which outbox row: the same again is the same message."""

    def in_words(self) -> Piece | None:
        """The same with words in the place of a file of ours; None where there are none."""
        if self.file is None or not self.file.of_ours:
            return None
        words = "\n".join(filter(None, (self.text, self.file.instead))) or self.file.alt
        return replace(self, text=words, file=None) if words else None


@dataclass(frozen=True, slots=True)
class Limits:
    """How fast a network lets us speak.

    `overall` messages a second on the whole; in one chat `per_second` with `burst` at once; in a
    group also `group_per_minute` in any minute.
    """

    overall: float = 30
    per_second: float = 1
    burst: int = 5
    group_per_minute: int = 20


class Port(Protocol):
    """What a network offers to the outbox."""

    @property
    def network(self) -> str:
        """Its name, as the store keeps it."""

    @property
    def limits(self) -> Limits:
        """How fast we may speak there."""

    @property
    def fades(self) -> bool:
        """Whether the choices of a message can be taken away again."""

    def cut(self, parcel: Parcel, reply: Reply) -> Sequence[Piece]:
        """A reply as the messages it becomes, in order; one when it fits into one."""

    async def send(self, chat: str, piece: Piece) -> str | None:
        """Say it; where it was said and as what, with a space between.

        By that its choices are taken away, and it is known where one is taken or it is replied to.
        Raises a DeliveryError and nothing else.
        """

    async def take_away(self, said: str) -> None:
        """Take the choices of a message away, by what `send` told of it. Raises DeliveryError.

        A chat that moved numbers its messages anew, so that the chat is part of it.
        """

    async def fetch(self, ref: str, most: int) -> bytes:
        """The bytes of a picture that came with a message, deciphered, by its own `ref`.

        Raises UnreachedError for one that may come yet, TooLargeError for more than `most` bytes
        (which are not read on), RefusedError for one that never will.
        """


@dataclass(frozen=True, slots=True)
class Health:
    """Whether a network is heard well, and what there is to say about it."""

    well: bool
    facts: dict[str, object]


class NotAdmittedError(Exception):
    """The network doesn't let us in, now or later; the message says it to the operator."""


class Network(Protocol):
    """One of our accounts on a network: `connect` it, then `listen` until `stop`."""

    @property
    def network(self) -> str:
        """Its name, as the store keeps it."""

    @property
    def port(self) -> Port:
        """Its way out."""

    async def connect(self) -> None:
        """Sign in, however long the network is away. Raises NotAdmittedError."""

    async def listen(self, office: Office) -> None:
        """Begin to hear and to work; returns when that is under way. Raises NotAdmittedError."""

    async def stop(self) -> None:
        """Hear no more, finish what is in hand."""

    async def disconnect(self) -> None:
        """Close the connections; after the last message was sent."""

    def health(self) -> Health:
        """How it is with it now."""

    def route(self) -> RouteDef | None:
        """A route for our web server, where the network calls us."""


# --- what goes wrong ------------------------------------------------------------------------


class DeliveryError(Exception):
    """A message could not be delivered, or not for sure."""


class UnreachedError(DeliveryError):
    """It never left us, or the network said that it did nothing: trying again is safe."""


class UncertainError(DeliveryError):
    """It may have arrived: sending again could say it twice."""


class RefusedError(DeliveryError):
    """The network will not take this, now or later."""


class TooLargeError(RefusedError):
    """It holds more bytes than we take."""


class GoneError(DeliveryError):
    """Nobody is there any more."""


class LimitedError(DeliveryError):
    """Too much in a short time; `after` is how long to wait."""

    def __init__(self, after: timedelta) -> None:
        super().__init__(f"asked to wait {after}")
        self.after = after


class MovedError(DeliveryError):
    """The chat goes on under the address `to`."""

    def __init__(self, to: str) -> None:
        super().__init__(f"moved to {to}")
        self.to = to
