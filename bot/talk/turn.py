"""One person's turn to speak: all that a command needs to do its work and word its answer."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, TypeVar

from bot.talk.catalogue import Catalogue
from bot.talk.message import Message, Option, Reply, Step
from core.journal import ledger, plants, settings
from core.journal.ledger import Teller
from core.journal.plants import Named
from core.journal.portrait import Home
from core.journal.settings import Settings
from core.store.engine import Transaction
from core.store.people import Present

Found = TypeVar("Found")


@dataclass(frozen=True, slots=True)
class Means:
    """What the house can do here besides talking; empty: it can't.

    `weather`: the service that may be asked; `sensors`: where rooms' sensors send, less the secret.
    """

    weather: str = ""
    sensors: str = ""


NO_MEANS = Means()


@dataclass(slots=True)
class Turn:
    """The open transaction, who speaks and when, and the household's ways."""

    tx: Transaction
    message: Message
    who: Present
    now: datetime
    settings: Settings
    words: Catalogue
    teller: Teller
    people: dict[int, str] = field(default_factory=dict)
    happened_at: datetime | None = None  # a correction keeps the moment of what it corrects
    means: Means = NO_MEANS
    spoken: set[int] = field(default_factory=set)  # plants that were found in what was said

    # What was looked up, with how many events had been told by then: a later one may change it.
    looked_up: dict[tuple[Hashable, int], Any] = field(default_factory=dict)

    def speak_of(self, who: Present) -> None:
        """Go on in another household, or as the person one turned out to be: its ways hold now."""
        self.who = who
        self.adopt(settings.read(who.settings))
        self.teller.household_id = who.household_id
        self.teller.person_id = who.person_id
        self.people.clear()
        self.looked_up.clear()
        self.spoken.clear()

    def adopt(self, ways: Settings) -> None:
        """What holds from here on: other measures are said at once."""
        self.settings = ways
        self.words = Catalogue(ways.language, ways.units)

    def names(self) -> list[Named]:
        """Names of all living plants, in the order in which they came."""
        return self.once("names", lambda: plants.names(self.tx, self.who.household_id))

    def once(self, what: Hashable, look_up: Callable[[], Found]) -> Found:
        """What a look-up finds; nothing is looked up twice until something is told."""
        asked = (what, self.teller.ordinal)
        if asked not in self.looked_up:
            self.looked_up[asked] = look_up()
        found: Found = self.looked_up[asked]
        return found

    def told_of(self) -> set[int]:
        """Plants of which this message told something that stands."""
        if not self.teller.ordinal:
            return set()
        told = ledger.told_by_message(self.tx, self.who.household_id, [self.teller.inbox_id or 0])
        return {one.plant_id for one in told if one.plant_id is not None}

    @property
    def home(self) -> Home:
        """What of the household bears on care."""
        return Home.of(self.settings)

    def is_you(self, person_id: int | None) -> bool:
        """Whether to say "you" to a person: whoever speaks, where nobody else reads it."""
        mine = person_id == self.who.person_id
        return mine and (self.who.direct or len(self._everybody()) < 2)

    def name_of(self, person_id: int | None) -> str:
        """How to speak of a person."""
        if self.is_you(person_id):
            return self.words("common-you")
        return self._everybody().get(person_id or 0) or self.words("common-someone")

    def _everybody(self) -> dict[int, str]:
        """Everybody who ever belonged to the household, by name."""
        if not self.people:
            from core.store.people import names  # noqa: PLC0415 - only when somebody is named

            self.people = names(self.tx, self.who.household_id)
        return self.people


def answer(*lines: str, buttons: tuple[Option, ...] = (), step: Step | None = None) -> Reply:
    """A reply of short lines; empty ones are left out."""
    return Reply("\n".join(line for line in lines if line), buttons=buttons, step=step)
