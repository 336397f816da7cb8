"""One person's turn to speak: all that a command needs to do its work and word its answer."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from bot.talk.catalogue import Catalogue
from bot.talk.message import Message, Option, Reply, Step
from core.journal.ledger import Teller
from core.journal.portrait import Home
from core.journal.settings import Settings
from core.store.engine import Transaction
from core.store.people import Present


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

    @property
    def home(self) -> Home:
        """What of the household bears on care."""
        return Home(self.settings.hemisphere)

    def name_of(self, person_id: int | None) -> str:
        """How to speak of a person: "you" for the one who is speaking."""
        if person_id == self.who.person_id:
            return self.words("common-you")
        if not self.people:
            from core.store.people import names  # noqa: PLC0415 - only when somebody is named

            self.people = names(self.tx, self.who.household_id)
        return self.people.get(person_id or 0) or self.words("common-someone")


def answer(*lines: str, buttons: tuple[Option, ...] = (), step: Step | None = None) -> Reply:
    """A reply of short lines; empty ones are left out."""
    return Reply("\n".join(line for line in lines if line), buttons=buttons, step=step)
