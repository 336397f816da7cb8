"""Forecasts of one pot beside what came, as soon as it is known.

A pot counts as ready half way between its last reading over the target and the first at or under
it. Watered, or at the journal's end, before that, it is known not to have been ready yet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from statistics import mean
from typing import Final

from core.care.drydown.reports import Report
from core.care.drydown.scoring import Case

_DAY: Final = timedelta(days=1)
_USUAL: Final = 7.0
_FIRST_CYCLES: Final = 2


@dataclass(frozen=True, slots=True)
class Kind:
    """Where in a pot's life a forecast was made."""

    watered: bool  # right after a watering; else after a probe
    first: bool  # in the pot's first two cycles

    def __str__(self) -> str:
        """As a row of the table is named."""
        what = "just watered" if self.watered else "after a probe"
        return f"{what}, {'first two' if self.first else 'later'}"


Judged = tuple[Kind, Case]


@dataclass(frozen=True, slots=True)
class _Waiting:
    """A forecast whose truth is still to come."""

    at: datetime
    kind: Kind
    days: Mapping[int, float]
    naive: float
    fixed: float

    def came(self, truth: timedelta, *, cut: bool) -> Judged:
        """The forecast beside its truth."""
        days = max(0.0, truth / _DAY)
        return self.kind, Case(self.days, days, self.naive, self.fixed, cut)


@dataclass(slots=True)
class Hindsight:
    """One pot's open forecasts, and what the simple rules go by."""

    _waiting: list[_Waiting] = field(default_factory=list)
    _poured: datetime | None = None
    _not_dry: datetime | None = None
    _intervals: list[float] = field(default_factory=list)
    _cycle: int = 0

    @property
    def begun(self) -> bool:
        """Whether a watering is known: before it nothing is judged."""
        return self._poured is not None

    def asked(self, moment: datetime, days: Mapping[int, float], *, watered: bool) -> None:
        """Keep a forecast until its truth is known, with what the simple rules would say."""
        if self._poured is None:
            return
        gone = (moment - self._poured) / _DAY
        usual = mean(self._intervals) if self._intervals else _USUAL
        kind = Kind(watered=watered, first=self._cycle <= _FIRST_CYCLES)
        naive, fixed = max(0.0, usual - gone), max(0.0, _USUAL - gone)
        self._waiting.append(_Waiting(moment, kind, days, naive, fixed))

    def found(self, moment: datetime, report: Report, target: float) -> Iterator[Judged]:
        """A reading: what it says of the forecasts before it."""
        if report.middle > target:
            self._not_dry = moment
            return
        for one in self._waiting:
            since = max(one.at, self._not_dry or one.at)
            yield one.came(since + (moment - since) / 2 - one.at, cut=False)
        self._waiting = []

    def poured(self, moment: datetime) -> Iterator[Judged]:
        """A watering: it ends the cycle and begins the next."""
        yield from self.ended()
        if self._poured is not None:
            self._intervals.append((moment - self._poured) / _DAY)
        self._poured, self._not_dry = moment, None
        self._cycle += 1

    def ended(self) -> Iterator[Judged]:
        """Nothing more comes: it was not ready until its last reading."""
        for one in self._waiting:
            if self._not_dry is not None and self._not_dry > one.at:
                yield one.came(self._not_dry - one.at, cut=True)
        self._waiting = []
