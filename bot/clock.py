"""The two clocks: the real one, and one that stands still until it is told to move."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Protocol


class Clock(Protocol):
    """Tells the time as aware UTC."""

    def now(self) -> datetime:
        """The moment it is."""


class RealClock:
    """The machine's clock."""

    def now(self) -> datetime:
        """The moment it is."""
        return datetime.now(UTC)


class StandingClock:
    """Stands at a moment and moves only when set; never backwards."""

    def __init__(self, at: datetime) -> None:
        self._at = at.astimezone(UTC)

    def now(self) -> datetime:
        """The moment it stands at."""
        return self._at

    def move_to(self, at: datetime) -> None:
        """Move forward to a moment; an earlier one leaves it where it is."""
        self._at = max(self._at, at.astimezone(UTC))
