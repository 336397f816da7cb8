"""The people of the simulation: they probe, tell, water, go away; and what would have been."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from tests.drydown.simulator import HORIZON, STEP, Event, Floats, Household, by_side, step


@dataclass(slots=True)
class Snapshot:
    """A moment from which the counterfactual runs: no more water."""

    house: int
    plant: int
    step: int
    cells: Floats
    what: str  # watered, probed
    cycle: int
    speed: float = 1.0
    watered_day: float = 0.0
    naive: float = 7.0
    truth: float = np.nan


@dataclass(slots=True)
class Life:
    """What happened in one household."""

    house: Household
    events: list[Event] = field(default_factory=list)
    snapshots: list[Snapshot] = field(default_factory=list)
    too_wet: list[bool] = field(default_factory=list)
    late_days: float = 0.0
    probes: int = 0
    waterings: list[list[float]] = field(default_factory=list)


# When to probe next: (house, plant, day) -> days; called after the visit was told.
Policy = Callable[[int, int, float], float]
Tell = Callable[[int, Event], None]


def _usual(house: Household) -> float:
    """Days to the next probe of a person who probes about every three days, and goes away."""
    away = house.dice.random() < 3 / 60
    return float(house.dice.gamma(3.0, 1.0) + (house.dice.uniform(5, 14) if away else 0.0))


def probe(house: Household, sides: Floats) -> tuple[str, Any, float]:
    """What a person finds and tells: kind, value, and the reading they act on."""
    dice = house.dice

    def one(true: float) -> int:
        if dice.random() < 0.04:
            return int(dice.integers(1, 11))
        return int(np.clip(np.round(true + dice.normal(0.0, 0.55)), 1, 10))

    order = dice.permutation(2)
    found = [one(float(sides[order[0]]))]
    if dice.random() < 0.15:
        found.append(one(float(sides[order[1]])))
    return "reading", found, float(np.mean(found))


def in_word(reading: float) -> str:
    """The word for a reading."""
    return "dry" if reading <= 3.5 else "moist" if reading <= 7.5 else "wet"


def _waters(house: Household, i: int, word: str | None, reading: float) -> bool:
    ready = float(house.ready[i])
    if word is None:
        return reading <= ready
    if word == "moist":
        return bool(house.dice.random() < (0.6 if ready > 3 else 0.15))
    return word == "dry"


def _wet(house: Household, cells: Floats) -> tuple[Floats, str]:
    """Water one pot: its cells afterwards, and how it is told."""
    dice = house.dice
    if dice.random() >= 0.28:
        return np.maximum(cells, dice.uniform(0.85, 1.0, (2, 2))), "true"
    share, lean = dice.uniform(0.3, 0.8), dice.uniform(0.6, 1.4)
    sides = np.clip(share * np.array([lean, 2 - lean]), 0, 1)
    return cells + (1 - cells) * sides[None, :], "half" if dice.random() < 0.5 else "true"


class World:
    """Households living side by side, all pots in one set of arrays."""

    def __init__(self, houses: list[Household], policy: Policy | None, tell: Tell | None) -> None:
        self.lives = [Life(h, waterings=[[] for _ in h.habit]) for h in houses]
        self.where = [(a, i) for a, h in enumerate(houses) for i in range(len(h.habit))]
        self.of = np.array([a for a, _ in self.where])
        self.houses, self.policy, self.tell = houses, policy, tell
        self.p = {key: np.concatenate([h.p[key] for h in houses]) for key in houses[0].p}
        self.power = np.array([houses[a].meter_power for a in self.of])
        self.gain = np.array([houses[a].meter_gain for a in self.of])
        self.target = np.concatenate([h.target for h in houses])
        self.vpd = np.stack([h.vpd for h in houses])
        n = len(self.where)
        self.cells = np.stack([houses[a].dice.uniform(0.85, 1.0, (2, 2)) for a in self.of])
        self.speed, self.due = np.ones(n), np.zeros(n)
        self.cycle = np.zeros(n, dtype=np.int64)
        self.next_vpd = np.zeros(len(houses))

    def run(self, days: float, slow_from: float | None) -> None:
        """Live for so many days; from `slow_from` on every other plant at half speed."""
        half = np.array([0.5 if i % 2 == 0 else 1.0 for _, i in self.where])
        for at in range(int(days / STEP)):
            day = at * STEP
            if slow_from is not None and day >= slow_from:
                self.speed = half
            if at:
                vpd, moment = self.vpd[self.of, at], np.full(len(self.where), day)
                self.cells = step(self.cells, self.p, vpd, moment, self.speed)
            self._day(day, at)

    def _day(self, day: float, at: int) -> None:
        sides = by_side(self.cells, self.power, self.gain)
        late = (sides.mean(axis=1) < self.target - 0.5) & (self.cycle > 0)
        for k in np.flatnonzero(late).tolist():
            self.lives[self.of[k]].late_days += STEP
        self._tell_vpd(day, at)
        for k in np.flatnonzero(self.due <= day).tolist():
            a, i = self.where[k]
            self._visit(k, day, at, sides[k])
            wait = _usual(self.houses[a]) if self.policy is None else self.policy(a, i, day)
            self.due[k] = day + max(wait, STEP)
        self._water_unreported()

    def _visit(self, k: int, day: float, at: int, sides: Floats) -> None:
        """Water a pot for the first time, or probe it and water it if it is ready."""
        (a, i), true = self.where[k], float(sides.mean())
        house, life = self.houses[a], self.lives[a]
        if not self.cycle[k]:
            self._water(k, day, at, true)
            return
        kind, found, reading = probe(house, sides)
        word = in_word(reading) if house.words[i] else None
        life.probes += 1
        self._told(k, Event(day, i, "word" if word else kind, word or found, true))
        acts_on = word if self.policy is None else None  # a policy goes by the reading itself
        if _waters(house, i, acts_on, reading):
            life.too_wet.append(bool(true > self.target[k] + 1.0))
            self._water(k, day, at, true)
        else:
            life.snapshots.append(self._snapshot(k, at, "probed"))

    def _water(self, k: int, day: float, at: int, true: float) -> None:
        a, i = self.where[k]
        self.cells[k], how = _wet(self.houses[a], self.cells[k])
        self.cycle[k] += 1
        self.lives[a].waterings[i].append(day)
        self._told(k, Event(day, i, "poured", how, true))
        self.lives[a].snapshots.append(self._snapshot(k, at, "watered"))

    def _snapshot(self, k: int, at: int, what: str) -> Snapshot:
        a, i = self.where[k]
        poured = self.lives[a].waterings[i]
        naive = float(np.mean(np.diff(poured))) if len(poured) > 1 else 7.0
        return Snapshot(
            a, i, at, self.cells[k].copy(), what, int(self.cycle[k]),
            float(self.speed[k]), poured[-1], naive,
        )  # fmt: skip

    def _told(self, k: int, event: Event) -> None:
        self.lives[self.of[k]].events.append(event)
        if self.tell is not None:
            self.tell(int(self.of[k]), event)

    def _tell_vpd(self, day: float, at: int) -> None:
        for a, house in enumerate(self.houses):
            if house.tells_vpd and day >= self.next_vpd[a]:
                self.next_vpd[a] += 7.0
                seen = float(house.vpd[at] * np.exp(house.dice.normal(0, 0.1)))
                self._told(int(np.flatnonzero(self.of == a)[0]), Event(day, -1, "vpd", seen))

    def _water_unreported(self) -> None:
        for a, house in enumerate(self.houses):
            for i in np.flatnonzero(house.dice.random(len(house.habit)) < 0.004 * STEP):
                k = int(np.flatnonzero(self.of == a)[i])
                if self.cycle[k]:
                    self.cells[k] = np.maximum(self.cells[k], house.dice.uniform(0.85, 1.0, (2, 2)))


def live(
    houses: list[Household],
    days: float = 365.0,
    policy: Policy | None = None,
    tell: Tell | None = None,
    slow_from: float | None = None,
) -> list[Life]:
    """Let households live. With a `policy` it says when to probe; `tell` hears every event.

    `slow_from`: from that day plants of even number run at half speed.
    """
    world = World(houses, policy, tell)
    world.run(days, slow_from)
    return world.lives


def find_truths(lives: list[Life]) -> None:
    """Fill in the truth of every snapshot: days until the target if no more water comes."""
    shots = [shot for life in lives for shot in life.snapshots]
    houses = [life.house for life in lives]
    house = np.array([s.house for s in shots])
    plant = np.array([s.plant for s in shots])
    first = np.concatenate([[0], np.cumsum([len(h.habit) for h in houses])])[house] + plant
    p = {key: np.concatenate([h.p[key] for h in houses])[first] for key in houses[0].p}
    target = np.concatenate([h.target for h in houses])[first]
    power = np.array([h.meter_power for h in houses])[house]
    gain = np.array([h.meter_gain for h in houses])[house]
    vpd = np.stack([h.vpd for h in houses])
    at = np.array([s.step for s in shots])
    cells = np.stack([s.cells for s in shots])
    speed = np.array([s.speed for s in shots])
    truth = np.full(len(shots), HORIZON)
    before = by_side(cells, power, gain).mean(axis=1)
    truth[before <= target] = 0.0
    going = np.flatnonzero(before > target)
    for k in range(1, int(HORIZON / STEP)):
        if not len(going):
            break
        now = np.minimum(at[going] + k, vpd.shape[1] - 1)
        part = {key: value[going] for key, value in p.items()}
        cells[going] = step(cells[going], part, vpd[house[going], now], now * STEP, speed[going])
        after = by_side(cells[going], power[going], gain[going]).mean(axis=1)
        dry = after <= target[going]
        fallen = np.maximum(before[going] - after, 1e-9)
        share = np.clip((before[going] - target[going]) / fallen, 0, 1)
        truth[going[dry]] = ((k - 1 + share) * STEP)[dry]
        before[going] = after
        going = going[~dry]
    for shot, days in zip(shots, truth, strict=True):
        shot.truth = float(days)
