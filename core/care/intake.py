"""What this pot has shown it drinks: after three waterings that replaces the mix's share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import Final

from core.care.potshape import Pot
from core.care.substrate import dryness

# Three recorded waterings before a pot is believed over the table (ours).
_ENOUGH: Final = 3
# A pot that was hardly dry says little about a dry one: the error is divided by the dryness (G).
_DRY_ENOUGH: Final = 0.25
# Nothing refills by less than a tenth or more than four fifths of its volume (G, after the
# widest published container capacities: 0.25 of gritty mix, 0.87 of pure peat).
_LEAST, _MOST = 0.1, 0.8


@dataclass(frozen=True, slots=True)
class Drink:
    """One recorded watering: litres in, litres run off, mean reading before (1 to 10).

    `full`: water showed below or the meter read wet, so it was given all it could take.
    """

    poured_l: float
    run_off_l: float
    reading: float
    full: bool


@dataclass(frozen=True, slots=True)
class OwnIntake:
    """Litres this pot takes up from dry right through, and how many waterings say so."""

    full_l: float
    count: int


def own_intake(pot: Pot, drinks: Sequence[Drink]) -> OwnIntake | None:
    """The pot's own intake from its recorded waterings, None before three of them tell.

    A watering that filled the pot says what was missing. One that didn't says only "at least
    this much", so it counts when it beats what the others say: a pot that is always given its
    dose and never runs off must not confirm the dose.
    """
    telling = [drink for drink in drinks if dryness(drink.reading) >= _DRY_ENOUGH]
    full = [_from_dry(drink) for drink in telling if drink.full]
    if len(full) < _ENOUGH:
        return None
    typical = median(full)
    beaten = [_from_dry(drink) for drink in telling if not drink.full]
    counted = full + [litres for litres in beaten if litres > typical]
    most, least = _MOST * pot.filled_l, _LEAST * pot.filled_l
    return OwnIntake(min(most, max(least, median(counted))), len(counted))


def _from_dry(drink: Drink) -> float:
    return (drink.poured_l - drink.run_off_l) / dryness(drink.reading)
