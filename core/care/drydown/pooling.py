"""What a pot should do by what it, its house-mates and the last weeks have shown.

log of days = guess + household + pot + spell + this cycle. Given the household, pots are
independent, so each tells the household one number and the sums are all that is kept. The spell
(heating, a grey month) is common to all and returns to nothing by itself.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import exp
from typing import Final

from core.care.drydown.state import Belief, House, Plant

# Standard deviations of logs. Between pots of one kind and treatment 0.24 to 0.30 was measured on
# rice, pot by day 0.11 to 0.13; kinds differ more, and guesses of homes are off by a factor.
HOUSEHOLD_SD: Final = 0.8
POT_SD: Final = 0.42
CYCLE_SD: Final = 0.15
SPELL_SD: Final = 0.12
SPELL_LAG: Final = 25.0  # days
POT_WANDERS: Final = 0.0005  # variance a day: growth, roots, mix
_SOFT: Final = 9.0  # an innovation beyond three sd is softened


@dataclass(frozen=True, slots=True)
class Expected:
    """The log of days of a cycle: mean and variance; `pot_variance` without spell and cycle."""

    mean: float
    variance: float
    pot_mean: float
    pot_variance: float


def spell_at(house: House, at: float) -> tuple[float, float]:
    """Mean and variance of the spell at a time."""
    left = exp(-max(0.0, at - house.spell_at) / SPELL_LAG)
    variance = SPELL_SD**2 + (house.spell_variance - SPELL_SD**2) * left**2
    return house.spell * left, variance


def expected(plant: Plant, house: House, at: float) -> Expected:
    """What the next or open cycle of a pot should take, by all but the open cycle's reports."""
    others = house.pooled - plant.share
    variance = 1 / (HOUSEHOLD_SD**-2 + max(0.0, others.precision))
    mean = others.weight * variance
    prior = 1 / (variance + POT_SD**2)
    own = own_at(plant, at)
    precision = prior + own.precision
    pot = (mean * prior + own.weight) / precision
    spell, unsure = spell_at(house, at)
    whole = 1 / precision + unsure + CYCLE_SD**2
    return Expected(plant.guess + pot + spell, whole, pot, 1 / precision)


def own_at(plant: Plant, at: float) -> Belief:
    """What closed cycles of the pot say at a later time."""
    return plant.own.faded(POT_WANDERS * max(0.0, at - plant.own_at))


def learn(plant: Plant, house: House, at: float, found: Belief) -> tuple[Plant, House]:
    """Close a cycle: `found` is what its reports say of the log of its days."""
    if not found.precision:
        return plant, house
    before = expected(plant, house, at)
    spell, unsure = spell_at(house, at)
    noise = 1 / found.precision + CYCLE_SD**2
    off = found.mean - before.mean
    total = before.pot_variance + unsure + noise
    if off**2 > _SOFT * total:
        noise += off**2 / _SOFT - total
        total = off**2 / _SOFT
    gain = unsure / total
    house = replace(
        house, spell=spell + gain * off, spell_variance=unsure * (1 - gain), spell_at=at
    )
    told = 1 / (noise + unsure)
    own = own_at(plant, at) + Belief(told, told * (found.mean - plant.guess - spell))
    return replace(plant, own=own, own_at=at, cycles=plant.cycles + 1), house


def share(plant: Plant, house: House, at: float, found: Belief) -> tuple[Belief, House]:
    """Tell the household anew what this pot says, its open cycle (`found`) included; what it is."""
    own = own_at(plant, at)
    if found.precision:
        spell, unsure = spell_at(house, at)
        told = 1 / (1 / found.precision + CYCLE_SD**2 + unsure)
        own = own + Belief(told, told * (found.mean - plant.guess - spell))
    if not own.precision:
        return plant.share, house
    precision = 1 / (POT_SD**2 + 1 / own.precision)
    said = Belief(precision, precision * own.mean)
    return said, replace(house, pooled=house.pooled - plant.share + said)
