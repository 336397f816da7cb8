"""A clock for a served house whose timers a test doesn't wait for."""

from __future__ import annotations

from datetime import datetime, timedelta

from bot.clock import RealClock


class Ahead(RealClock):
    """The real clock, set forward as the test lets time pass."""

    ahead = timedelta()

    def now(self) -> datetime:
        """The moment it is, and as far ahead as was set."""
        return super().now() + self.ahead
