"""The last verdict as it is kept with a plant, and what follows from its kind."""

from __future__ import annotations

from typing import Final

from core.care.decision import Decision, Reason, Verdict
from core.journal.state import Judged

# Decisions that end a dry-down: the pot has reached the line of its habit.
AT_THE_LINE: Final = frozenset({Decision.WATER, Decision.SOAK_LATE, Decision.DRY_WAIT})
UNEVEN: Final = frozenset({Reason.UNEVEN, Reason.UNEVEN_ONE_WET, Reason.UNEVEN_NOT_DRY})


def summary(verdict: Verdict) -> Judged:
    """A verdict in short, fit to be kept."""
    return Judged(
        decision=verdict.decision.value,
        reason=verdict.reason.value,
        args={
            name: value if isinstance(value, str) else float(value)
            for name, value in verdict.facts.as_args().items()
        },
        until=verdict.until,
    )
