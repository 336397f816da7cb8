"""What falls due without being asked: each sweep looks at a few indexed columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from bot.duty.steps import STEPS, Step
from bot.logs import Log
from core.store import outbox
from core.store.dialogues import Due
from core.store.engine import Store, StoreFailedError, lock_household

log = Log(__name__)

# What can't be moved on so many times running is set aside: the others go on.
MOST_ATTEMPTS = 3
# So much is looked up together, and on SQLite, where one writes at a time, done in one commit:
# whoever says something meanwhile waits for no more than this.
AT_ONCE = 20


@dataclass(frozen=True, slots=True)
class Sweeper:
    """Moves on whatever has come due."""

    store: Store
    steps: tuple[Step, ...] = STEPS

    def next_due(self, network: str) -> datetime | None:
        """The next moment at which anything has to happen."""
        with self.store.read() as tx:
            moments = [step.next_due(tx) for step in self.steps]
            moments.append(outbox.next_due(tx, network))
        return min((moment for moment in moments if moment is not None), default=None)

    def sweep(self, now: datetime) -> int:
        """Handle what is due, up to a heap of each kind; how many there were."""
        with self.store.read() as tx:
            found = [(step, step.due(tx, now, AT_ONCE)) for step in self.steps]
        for step, dues in found:
            for some in self._heaps(dues):
                self._handle(step, some, now)
        if any(dues and step.deletes for step, dues in found):
            self.store.scrub()
        return sum(len(dues) for _, dues in found)

    def _heaps(self, dues: Sequence[Due]) -> list[Sequence[Due]]:
        """On a server each household is held by itself, lest two workers wait for each other."""
        if self.store.engine.dialect.name == "sqlite":
            return [dues] if dues else []
        return [[one] for one in dues]

    def _handle(self, step: Step, dues: Sequence[Due], now: datetime) -> None:
        """Several in one commit; if one fails, each by itself."""
        if len(dues) > 1:
            try:
                return self._move_on(step, dues, now)
            except StoreFailedError:
                raise
            except Exception:  # noqa: BLE001 - whose fault it is shows when each is by itself
                log.warning("what is due is done one by one", due=[one.id for one in dues])
        for one in dues:
            self._alone(step, one, now)
        return None

    def _alone(self, step: Step, one: Due, now: datetime) -> None:
        for _ in range(MOST_ATTEMPTS):
            try:
                return self._move_on(step, [one], now)
            except StoreFailedError:
                raise
            except Exception:
                log.exception("what is due could not be done", kind=type(step).__name__, due=one.id)
        with self.store.write() as tx:
            step.set_aside(tx, one, now)
        return None

    def _move_on(self, step: Step, dues: Sequence[Due], now: datetime) -> None:
        with self.store.write() as tx:
            for one in dues:
                lock_household(tx, one.household_id)
            step.move_all_on(tx, dues, now)
