"""Simulated pots, households and the people who probe them; parameters: docs/drydown-protocol.md.

Two layers by two sides of a pot, in steps of six hours. Every array is over plants first; cells
are [plant, layer (top, bottom), side] and hold a share of the water the cell can hold.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.knowledge.types import Habit, LightClass

Floats = NDArray[np.float64]

STEP = 0.25  # days
HORIZON = 150.0  # days: no truth is longer
PLANTS = 8

READY = {
    Habit.NEVER_DRY: 6.0,
    Habit.TOP_DRY: 5.0,
    Habit.HALF_DRY: 4.0,
    Habit.MOSTLY_DRY: 3.0,
    Habit.DRY_THROUGH: 1.0,
}
THIRST = dict(zip(READY, (2.0, 1.3, 1.2, 0.6, 0.5), strict=True))
LIGHT = dict(zip(LightClass, (0.35, 0.7, 1.0, 1.4), strict=True))
HABITS, LIGHTS = list(READY), list(LightClass)


@dataclass(frozen=True, slots=True)
class Event:
    """One thing told. `day` from the start; kinds: poured, reading, word, vpd."""

    day: float
    plant: int
    kind: str
    value: Any
    truth: float | None = None  # true mean reading at that moment, before what the event does


@dataclass(slots=True)
class Household:
    """Plants of one seed, their parameters, the weather of their room, and its own dice."""

    seed: int
    dice: np.random.Generator
    start_doy: int
    habit: list[Habit]
    light: list[LightClass]
    terracotta: NDArray[np.bool_]
    height_cm: Floats
    words: NDArray[np.bool_]
    tells_vpd: bool
    vpd: Floats  # per step, season included
    p: dict[str, Floats]
    meter_power: float
    meter_gain: float

    @property
    def ready(self) -> Floats:
        """Readings at which the plants are ready."""
        return np.array([READY[habit] for habit in self.habit])

    @property
    def target(self) -> Floats:
        """Targets of the forecast."""
        return self.ready + 0.5


def _lognormal(dice: np.random.Generator, sd: float, n: int) -> Floats:
    return np.exp(dice.normal(0.0, sd, n))


def _weather(dice: np.random.Generator, doy: int, steps: int) -> Floats:
    """Room VPD, kPa: log AR(1) with a lag of five days around a level, and a season."""
    keep = np.exp(-STEP / 5.0)
    shocks = dice.normal(0.0, 0.25 * np.sqrt(1 - keep**2), steps)
    log = np.empty(steps)
    log[0] = dice.normal(0.0, 0.25)
    for k in range(1, steps):
        log[k] = keep * log[k - 1] + shocks[k]
    season = 1 - 0.2 * np.cos(2 * np.pi * (doy + STEP * np.arange(steps) - 15) / 365)
    found: Floats = dice.uniform(0.6, 1.3) * np.exp(log) * season
    return found


def household(seed: int, days: float = 365.0, n: int = PLANTS) -> Household:
    """Draw a household of `n` plants."""
    dice = np.random.default_rng(seed)
    doy = int(dice.integers(1, 366))
    habit = [HABITS[k] for k in dice.integers(0, len(HABITS), n)]
    light = [LIGHTS[k] for k in dice.integers(0, len(LIGHTS), n)]
    common = float(np.exp(dice.normal(0.0, 0.3)))
    height = dice.uniform(8.0, 28.0, n)
    clay = dice.random(n) < 0.2
    thirst = np.array([THIRST[h] * LIGHT[w] for h, w in zip(habit, light, strict=True)])
    p = {
        "held": 2.6 * height * _lognormal(dice, 0.2, n),  # mm in the whole pot
        "soil": 0.8 * common * _lognormal(dice, 0.25, n),
        "plant": thirst * common * _lognormal(dice, 0.35, n),
        "threshold": dice.uniform(0.45, 0.8, n),
        "exponent": dice.uniform(1.0, 3.0, n),
        "stress": dice.uniform(0.15, 0.5, n),
        "top_roots": dice.uniform(0.3, 0.7, n),
        "vpd_power": dice.uniform(0.5, 1.0, n),
        "rise": dice.uniform(0.02, 0.25, n),
        "lateral": dice.uniform(0.005, 0.08, n),
        "wall": np.where(clay, 0.3, 0.0),
        "growth": dice.uniform(-0.2, 0.6, n),
    }
    tells = bool(dice.random() < 0.25)
    words = dice.random(n) < 0.25
    power, gain = float(dice.uniform(0.65, 1.15)), float(dice.normal(1.0, 0.1))
    vpd = _weather(dice, doy, int((days + HORIZON + 2) / STEP))
    return Household(
        seed, dice, doy, habit, light, clay, height, words, tells, vpd, p, power, gain
    )  # fmt: skip


def step(cells: Floats, p: dict[str, Floats], vpd: Floats, day: Floats, speed: Floats) -> Floats:
    """The cells six hours later. `speed` scales all that takes water out of the pot."""
    cell_mm = (p["held"] / 4)[:, None]
    top = cells[:, 0, :]
    dryness = np.minimum(1.0, top / p["threshold"][:, None]) ** p["exponent"][:, None]
    out = np.empty_like(cells)
    soil = (p["soil"] * vpd * speed * STEP)[:, None] * dryness / 2
    drinks = p["plant"] * vpd ** p["vpd_power"] * np.exp(p["growth"] * day / 365) * speed * STEP
    share = np.stack([p["top_roots"], 1 - p["top_roots"]], axis=1)[:, :, None] / 2
    held_back = np.minimum(1.0, cells / p["stress"][:, None, None])
    out[:] = drinks[:, None, None] * share * held_back
    out += (p["wall"] * vpd * speed * STEP)[:, None, None] * cells / 4
    out[:, 0, :] += soil
    new = np.maximum(cells - out / cell_mm[:, :, None], 0.0)
    rise = (p["rise"] * STEP)[:, None] * (new[:, 1, :] - new[:, 0, :])
    new[:, 0, :] += rise
    new[:, 1, :] -= rise
    over = (p["lateral"] * STEP)[:, None] * (new[:, :, 0] - new[:, :, 1])
    new[:, :, 0] -= over
    new[:, :, 1] += over
    spill = np.maximum(new[:, 0, :] - 1.0, 0.0)
    new[:, 0, :] -= spill
    new[:, 1, :] = np.minimum(new[:, 1, :] + spill, 1.0)
    return new


def by_side(cells: Floats, power: Floats, gain: Floats) -> Floats:
    """The noise-free reading of each side, [plant, side], 1 to 10 where the meter ends."""
    wet = np.clip(0.25 * cells[:, 0, :] + 0.75 * cells[:, 1, :], 0.0, 1.0)
    return np.clip(1 + 9 * gain[:, None] * wet ** power[:, None], 1.0, 10.0)
