"""A small journal of one household as JSON lines, replayed through the drying model.

The form of the lines is told in `docs/drydown.md`. Nothing here needs a database.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from typing import Any, Final

from bot.talk.grammar.numbers import Refusal
from bot.talk.grammar.pots import read_pot
from core.care.drydown import filter as drying
from core.care.drydown import prior
from core.care.drydown.alarm import Alarm, alarm
from core.care.drydown.clock import Clock, in_days
from core.care.drydown.forecast import Forecast, forecast
from core.care.drydown.reports import Report, of_values, of_weight, of_word
from core.care.drydown.state import House, Plant
from core.care.pots import PotUnclearError, resolve
from core.care.potsaid import Material
from core.care.potshape import Pot
from core.care.reading import Instrument, Wetness
from core.care.situation import Extent, Situation
from core.care.units import System
from core.knowledge.mixes import find_mix
from core.knowledge.types import Habit, LightClass

_LOWEST, _HIGHEST = 1.0, 10.0
_TARGETS: Final = (1.1, 9.5)
_MOST_KPA: Final = 12.0
_START: Final = datetime(1970, 1, 1, tzinfo=UTC)

Warn = Callable[[str], None]
Row = Mapping[str, Any]


class BadLineError(ValueError):
    """A line that can't be taken in; the text says which and why."""


@dataclass(slots=True)
class Resident:
    """A plant of the file: what was said of it, what it has shown, and its room's clock."""

    situation: Situation
    target: float
    plant: Plant
    declared_kpa: float | None = None
    clock: Clock | None = None
    dry: float | None = None
    wet: float | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """What was asked and what came out."""

    at: datetime
    plant: str
    forecast: Forecast
    alarm: Alarm | None


@dataclass(slots=True)
class Replay:
    """One household as its file tells it, line by line."""

    warn: Warn
    latitude: float = 50.0
    residents: dict[str, Resident] = field(default_factory=dict)
    house: House | None = None
    room_kpa: float | None = None
    last: datetime = _START

    def lines(self, lines: Iterable[str]) -> Iterator[Answer]:
        """Take in lines, in time order, and give the answers. Raises BadLineError."""
        for number, line in enumerate(lines, start=1):
            if not line.strip():
                continue
            try:
                answer = self.take(_row(line))
            except (ValueError, KeyError, TypeError, AttributeError) as error:
                raise BadLineError(f"line {number}: {_reason(error)}") from error
            if answer is not None:
                yield answer

    def take(self, row: Row) -> Answer | None:
        """Take in one object; an answer if it asked. Raises ValueError."""
        if "at" not in row:
            self._declare(str(row["plant"]), row)
            return None
        moment = self._moment(str(row["at"]))
        if "plant" not in row:
            self._measure_room(moment, _kpa(row["vpd_kpa"]))
            return None
        name = str(row["plant"])
        resident = self.resident(name, moment)
        if "vpd_kpa" in row:
            resident.clock = _clock(resident).measured_at(moment, _kpa(row["vpd_kpa"]))
        self._happened(resident, moment, row)
        if row.get("ask"):
            return self.answer(name, moment)
        return None

    def answer(self, name: str, moment: datetime) -> Answer:
        """The forecast of a plant at a moment, and whether it dries unlike itself."""
        resident = self.resident(name, moment)
        raised = alarm(resident.plant, self._around(resident, moment), in_days(moment))
        return Answer(moment, name, self.ask(resident, moment), raised)

    def ask(self, resident: Resident, moment: datetime) -> Forecast:
        """The forecast of a plant at a moment."""
        through = resident.situation.habit is Habit.DRY_THROUGH
        house = self._around(resident, moment)
        return forecast(
            resident.plant, house, moment, resident.target, dries_through=through
        )  # fmt: skip

    def _around(self, resident: Resident, moment: datetime) -> House:
        """The household by the clock of a plant's own room."""
        return replace(self._house(moment), clock=_clock(resident))

    def resident(self, name: str, moment: datetime) -> Resident:
        """The plant of this name; one never declared is taken as a usual one."""
        if name not in self.residents:
            self._declare(name, {})
        found = self.residents[name]
        if found.clock is None:
            found.clock = Clock.start(moment, self.latitude)
            known = found.declared_kpa or self.room_kpa
            if known is not None:
                found.clock = found.clock.measured_at(moment, known)
        return found

    def _declare(self, name: str, row: Row) -> None:
        situation = _situation(row, self.warn)
        target = prior.target(situation) if row.get("target") is None else float(row["target"])
        target = min(max(target, _TARGETS[0]), _TARGETS[1])
        plant = drying.new_plant(prior.log_days(situation, target), target)
        kpa = None if row.get("vpd_kpa") is None else _kpa(row["vpd_kpa"])
        known = self.residents.get(name)
        if known is None:
            self.residents[name] = Resident(situation, target, plant, kpa)
            return
        known.situation, known.target = situation, target
        if self.house is not None and known.clock is not None:
            house = replace(self.house, clock=known.clock)
            known.plant, self.house = drying.moved(known.plant, house, self.last, plant.guess)

    def _moment(self, text: str) -> datetime:
        moment = datetime.fromisoformat(text)
        moment = moment if moment.tzinfo else moment.replace(tzinfo=UTC)
        if moment < self.last:
            raise ValueError(f"{text} is before the line above it")
        self.last = moment
        return moment

    def _house(self, moment: datetime) -> House:
        if self.house is None:
            self.house = drying.new_house(moment, self.latitude)
        return self.house

    def _measure_room(self, moment: datetime, kpa: float) -> None:
        self.room_kpa = kpa
        for resident in self.residents.values():
            if resident.clock is not None:
                resident.clock = resident.clock.measured_at(moment, kpa)
            elif resident.declared_kpa is None:
                resident.clock = Clock.start(moment, self.latitude).measured_at(moment, kpa)

    def _happened(self, resident: Resident, moment: datetime, row: Row) -> None:
        house = replace(self._house(moment), clock=_clock(resident))
        report = report_of(row, resident)
        if report is not None:
            seen = drying.observe(resident.plant, house, moment, report)
            resident.plant, house = seen.plant, seen.house
        if row.get("repotted"):
            guess = resident.plant.guess
            resident.plant, house = drying.repotted(resident.plant, house, moment, guess)
        if row.get("moved"):
            guess = resident.plant.guess
            resident.plant, house = drying.moved(resident.plant, house, moment, guess)
        if row.get("poured"):
            extent = Extent.THROUGH if row["poured"] is True else Extent(row["poured"])
            resident.plant, house = drying.watered(resident.plant, house, moment, extent)
        self.house = house


def _clock(resident: Resident) -> Clock:
    if resident.clock is None:
        raise ValueError("a plant's clock starts with its first moment")
    return resident.clock


def _row(line: str) -> Row:
    row = json.loads(line)
    if not isinstance(row, dict):
        raise TypeError("a line is one JSON object")
    return row


def _reason(error: Exception) -> str:
    return f"{error.args[0]!r} is missing" if isinstance(error, KeyError) else str(error)


def _kpa(value: object) -> float:
    found = float(str(value))
    if not 0 <= found <= _MOST_KPA:
        raise ValueError(f"a deficit of {found} kPa can't be")
    return found


def _situation(row: Row, warn: Warn) -> Situation:
    habit = Habit(row.get("habit") or Habit.HALF_DRY)
    light = LightClass(row["light"]) if row.get("light") else None
    mix = find_mix(str(row["soil"])) if row.get("soil") else None
    if row.get("soil") and mix is None:
        warn(f"no mix is called {row['soil']!r}; taken as ordinary potting mix")
    situation = Situation(habit=habit, light=light, mix=mix)
    pot = _pot(str(row["pot"]), warn) if row.get("pot") else None
    if pot is None:
        return situation
    clay = pot.material is Material.TERRACOTTA
    return replace(situation, fill_depth_m=pot.fill_depth_m, top_m=pot.width_m, terracotta=clay)


def _pot(text: str, warn: Warn) -> Pot | None:
    said = read_pot(text, System.METRIC)
    try:
        if not isinstance(said, Refusal):
            return resolve(said)
    except PotUnclearError:
        pass
    warn(f"no pot can be made of {text!r}; taken as a usual one of 15 cm")
    return None


def report_of(row: Row, resident: Resident) -> Report | None:
    """What a row says of the deep reading; None if it tells none. Raises ValueError."""
    if row.get("reading") is not None:
        given = row["reading"] if isinstance(row["reading"], list) else [row["reading"]]
        return of_values([min(max(float(value), _LOWEST), _HIGHEST) for value in given])
    if row.get("word"):
        instrument = Instrument(row.get("instrument") or Instrument.METER)
        word = str(row["word"]).strip().casefold().replace("-", " ")
        return of_word(Wetness(word), instrument)
    return _weighed(row, resident) if row.get("weight_g") is not None else None


def _weighed(row: Row, resident: Resident) -> Report | None:
    """A weight, by the ends told with it or before."""
    resident.dry = float(row.get("dry_g") or resident.dry or 0.0)
    resident.wet = float(row.get("wet_g") or resident.wet or 0.0)
    if not 0 < resident.dry < resident.wet:
        raise ValueError("a weight needs dry_g and wet_g, the wet one above the dry one")
    return of_weight(float(row["weight_g"]), resident.dry, resident.wet)
