"""The demand clock: days stretched by season and by the air of the room.

One demand-day is a day in the middle of the seasons at a vapour pressure deficit of 1 kPa.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from math import cos, exp, log, pi, sin
from typing import Final, Self

_DAY_S: Final = 86400.0
_TURN: Final = 2 * pi / 365.2425  # a day's share of the year, as an angle
# Least is asked in mid-January, most in mid-July (north). A sixth up and down at 50° of latitude,
# none at the equator (ours; 35 g a day in winter and 68 in summer were measured in one office,
# Berger et al. 2024, where heating and blinds had their part).
_LEAST_DOY: Final = 15
_SWING: Final = 0.15
_SWING_AT: Final = 50.0
_SWING_MOST: Final = 0.2
# A measured deficit already holds part of the season: what is left is light (ours).
_SWING_LEFT: Final = 0.5

# Leaves close in dry air, so a pot loses less than in proportion to the deficit (ours: between the
# square root found for leaves and the straight line of a wet surface).
_POWER: Final = 0.8
_LEAST_KPA, _MOST_KPA = 0.1, 6.0
# Air returns to what is usual in some days, and what is usual follows the season (ours).
_LAG: Final = 4.0
_USUAL: Final = 25.0
_ROUNDS: Final = 2


def in_days(moment: datetime) -> float:
    """Days since 1970. Raises ValueError for a naive datetime."""
    if moment.tzinfo is None:
        raise ValueError("a moment needs its zone")
    return moment.timestamp() / _DAY_S


@dataclass(frozen=True, slots=True)
class Clock:
    """Demand in one room. `at` in days since 1970; `total` demand-days up to then.

    `swing` is the share by which the season moves demand, negative in the south; `factor` what
    the room's air asked for when it was last measured, against 1 kPa; `usual` what it asks for
    as a rule; `measured` how often that was told (0: the air is unknown and counts as usual);
    `varies` the variance of the log of what it asks for.
    """

    swing: float
    at: float
    total: float = 0.0
    factor: float = 1.0
    usual: float = 1.0
    measured: int = 0
    varies: float = 0.0

    @classmethod
    def start(cls, moment: datetime, latitude: float = 50.0) -> Self:
        """A clock for a place: degrees north, negative in the south."""
        share = max(-_SWING_MOST, min(_SWING_MOST, _SWING * latitude / _SWING_AT))
        return cls(share, in_days(moment))

    def demand(self, at: float) -> float:
        """Demand-days on the clock at a time (days since 1970)."""
        return self.total + self.ahead(at - self.at)

    def ahead(self, days: float) -> float:
        """Demand-days in so many days after `at`; a time before counts backwards."""
        if days == 0:
            return 0.0
        swing = self.swing * (_SWING_LEFT if self.measured else 1.0)
        first = _TURN * (self.at + 1 - _LEAST_DOY)
        season = 1 - swing * (sin(first + _TURN * days) - sin(first)) / (_TURN * days)
        if not self.measured:
            return season * days
        faded = _LAG * (1 - exp(-days / _LAG)) if days > 0 else days
        return season * (self.usual * days + (self.factor - self.usual) * faded)

    def days(self, at: float, demands: Iterable[float]) -> list[float]:
        """Days from a time until so much demand has passed, to a thousandth or so."""
        gone, rate = at - self.at, self.rate(at)
        begun = self.ahead(gone)
        days = []
        for demand in demands:
            found = demand / rate
            for _ in range(_ROUNDS):
                passed = self.ahead(gone + found) - begun
                if passed <= 0:
                    break
                found *= demand / passed
            days.append(found)
        return days

    def rate(self, at: float) -> float:
        """Demand-days a day at a time not before `at`."""
        swing = self.swing * (_SWING_LEFT if self.measured else 1.0)
        season = 1 - swing * cos(_TURN * (at + 1 - _LEAST_DOY))
        left = exp(-max(0.0, at - self.at) / _LAG)
        return season * (self.usual + (self.factor - self.usual) * left)

    def moved_to(self, at: float) -> Self:
        """The same clock, read at a later time."""
        left = exp(-(at - self.at) / _LAG)
        factor = self.usual + (self.factor - self.usual) * left
        return replace(self, at=at, total=self.demand(at), factor=factor)

    def measured_at(self, moment: datetime, deficit_kpa: float) -> Self:
        """The clock once the room's deficit is known at a moment."""
        now = self.moved_to(in_days(moment))
        factor = min(max(deficit_kpa, _LEAST_KPA), _MOST_KPA) ** _POWER
        count = self.measured + 1
        weight = max(1 / count, 1 - exp(-(now.at - self.at) / _USUAL))
        usual = now.usual + weight * (factor - now.usual)
        off = log(factor / now.usual) ** 2 if self.measured else 0.0
        varies = now.varies + weight * (off - now.varies)
        return replace(now, factor=factor, usual=usual, measured=count, varies=varies)

    def weather(self, days: float) -> float:
        """Variance of the log of the demand in so many days to come, as air goes up and down."""
        return self.varies * 2 * _LAG / (max(days, 0.0) + 2 * _LAG)
