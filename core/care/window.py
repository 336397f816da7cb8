"""When to probe next, as a span of time; how it is found is in interval.py."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

_DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class ProbeWindow:
    """When to probe next, counted from now: 0 <= earliest <= expected <= latest."""

    earliest: timedelta
    expected: timedelta
    latest: timedelta

    def at(self, now: datetime) -> tuple[datetime, datetime, datetime]:
        """The same three as moments."""
        return now + self.earliest, now + self.expected, now + self.latest


def about(expected: timedelta) -> ProbeWindow:
    """A window a quarter to either side, never under a day away."""
    early, late = max(_DAY, expected * 0.75), max(_DAY, expected * 1.25)
    return ProbeWindow(early, max(_DAY, expected), late)
