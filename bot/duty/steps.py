"""The kinds of things that fall due, each found in one indexed column.

A sweep asks each kind for what is due, locks the household of each and has them moved on. To
add a kind, write a class of `Step` with these methods and put it into `STEPS`.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from bot.logs import Log
from bot.talk import answers
from core.actions import coldwatch, heatwatch, picturing, pouring, rounds, watch, windows
from core.store import dialogues, forecasts, forgetting, outbox, photos, sweeping
from core.store import rounds as kept_rounds
from core.store.dialogues import Due
from core.store.engine import Transaction

log = Log(__name__)


class Step(Protocol):
    """One kind of thing that falls due. `deletes`: what it moves on is to leave no copies."""

    deletes: bool = False

    def next_due(self, tx: Transaction) -> datetime | None:
        """When the next of its things is due: one indexed read."""

    def due(self, tx: Transaction, now: datetime, limit: int) -> Sequence[Due]:
        """What is due, the longest first."""

    def move_on(self, tx: Transaction, one: Due, now: datetime) -> None:
        """Do what is due, in a transaction that holds its household.

        It looks again whether it still is: another worker may have been quicker. Afterwards it
        is due no more.
        """

    def move_all_on(self, tx: Transaction, dues: Sequence[Due], now: datetime) -> None:
        """The same for several that share a transaction."""
        for one in dues:
            self.move_on(tx, one, now)

    def set_aside(self, tx: Transaction, one: Due, now: datetime, /) -> None:
        """It could not be done, several times running: it is due no more, or later."""


class Talks(Step):
    """Dialogues whose time has come: a pour, an old question, an evening, a cold night over."""

    def next_due(self, tx: Transaction) -> datetime | None:
        """When the next open dialogue is due."""
        return dialogues.next_due(tx)

    def due(self, tx: Transaction, now: datetime, limit: int) -> Sequence[Due]:
        """Dialogues that are due."""
        return dialogues.due(tx, now, limit)

    def move_on(self, tx: Transaction, one: Due, now: datetime) -> None:
        """Only as it stands now."""
        talk = dialogues.still_due(tx, one.id, now)
        if talk is None:
            return
        if talk.subject == answers.QUESTION:
            dialogues.close(tx, talk.id, now)
        elif talk.subject == pouring.SUBJECT:
            pouring.time_up(tx, talk, now)
        elif talk.subject == rounds.SUBJECT:
            rounds.evening(tx, talk, now)
        elif talk.subject == coldwatch.SUBJECT:
            coldwatch.time_up(tx, talk, now)
        elif talk.subject == heatwatch.SUBJECT:
            heatwatch.time_up(tx, talk, now)
        elif talk.subject == windows.SUBJECT:
            windows.time_up(tx, talk, now)
        else:
            log.error(
                "a dialogue of an unknown kind is due", dialogue=talk.id, subject=talk.subject
            )
            dialogues.close(tx, talk.id, now)

    def set_aside(self, tx: Transaction, one: Due, _now: datetime, /) -> None:
        """It stays open without a moment: a person may still answer it."""
        dialogues.set_aside(tx, one.id)


class Mornings(Step):
    """Households whose morning round is due."""

    def next_due(self, tx: Transaction) -> datetime | None:
        """When the next household's round is due."""
        return kept_rounds.next_due(tx)

    def due(self, tx: Transaction, now: datetime, limit: int) -> Sequence[Due]:
        """Households whose round is due, or was planned by a clock that ran ahead."""
        return kept_rounds.due(tx, now, now + rounds.FURTHEST, limit)

    def move_on(self, tx: Transaction, one: Due, now: datetime) -> None:
        """Say the round, if there is one, and plan the next."""
        self.move_all_on(tx, [one], now)

    def move_all_on(self, tx: Transaction, dues: Sequence[Due], now: datetime) -> None:
        """Households that have their morning together are read and planned together."""
        rounds.mornings(tx, [one.household_id for one in dues], now)

    def set_aside(self, tx: Transaction, one: Due, now: datetime, /) -> None:
        """Today's round can't be made: tomorrow's may."""
        rounds.plan(tx, one.household_id, now)


class Watches(Step):
    """Households whose nights and days to come are to be looked at."""

    def next_due(self, tx: Transaction) -> datetime | None:
        """When the next household is to be looked after."""
        return forecasts.next_watch(tx)

    def due(self, tx: Transaction, now: datetime, limit: int) -> Sequence[Due]:
        """Households whose watch is due, or was planned by a clock that ran ahead."""
        found = forecasts.watches_due(tx, now, now + watch.FURTHEST, limit)
        return [Due(one, one) for one in found]

    def move_on(self, tx: Transaction, one: Due, now: datetime) -> None:
        """Warn if something is to be done, and plan the next look."""
        watch.due(tx, one.household_id, now)

    def set_aside(self, tx: Transaction, one: Due, now: datetime, /) -> None:
        """This look can't be made: the next may."""
        watch.plan(tx, one.household_id, now)


class Unnamed(Step):
    """Photos of which nobody said in time of which plant they are."""

    def next_due(self, tx: Transaction) -> datetime | None:
        """When the next of them has waited long enough."""
        return photos.next_overdue(tx)

    def due(self, tx: Transaction, now: datetime, limit: int) -> Sequence[Due]:
        """Those that have."""
        return photos.overdue(tx, now, limit)

    def move_on(self, tx: Transaction, one: Due, _now: datetime) -> None:
        """Remove it for good, unless somebody has just said."""
        picturing.give_up(tx, one.id)

    def set_aside(self, tx: Transaction, one: Due, _now: datetime, /) -> None:
        """There is nothing else to try."""
        picturing.give_up(tx, one.id)


class OldWords(Step):
    """What was heard and said a month ago, word by word."""

    deletes = True

    def next_due(self, tx: Transaction) -> datetime | None:
        """At the end of the day on which the next of it is old enough."""
        return sweeping.next_due(tx)

    def due(self, tx: Transaction, now: datetime, _limit: int) -> Sequence[Due]:
        """One message that stands for all that are old enough."""
        return sweeping.due(tx, now)

    def move_on(self, tx: Transaction, _one: Due, now: datetime) -> None:
        """Let some of it go; more of it is due again."""
        sweeping.forget(tx, now)

    def set_aside(self, tx: Transaction, one: Due, now: datetime, /) -> None:
        """The next message stands for them then."""
        outbox.mark(tx, one.id, outbox.FAILED, now)


class Deleted(Step):
    """Households that were deleted: their last rows, once everybody has heard of it."""

    deletes = True

    def next_due(self, tx: Transaction) -> datetime | None:
        """When the next of them is to go."""
        return forgetting.next_due(tx)

    def due(self, tx: Transaction, now: datetime, limit: int) -> Sequence[Due]:
        """Those that are."""
        return forgetting.due(tx, now, limit)

    def move_on(self, tx: Transaction, one: Due, now: datetime) -> None:
        """Delete what is named nowhere else."""
        forgetting.let_go(tx, one.id, now)

    def set_aside(self, tx: Transaction, one: Due, now: datetime, /) -> None:
        """It is tried again another day; nothing that was told is in it."""
        forgetting.put_off(tx, one.id, now + forgetting.LAST)


STEPS: tuple[Step, ...] = (Talks(), Mornings(), Watches(), Unnamed(), OldWords(), Deleted())
