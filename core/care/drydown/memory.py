"""What the reports of a cycle say of each node, remembered while the pot is in use.

The grid is never stored: it follows from the reports, which are, in their order.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from core.care.drydown import cycle as grids
from core.care.drydown import grid
from core.care.drydown.grid import Floats
from core.care.drydown.state import Plant, Told

_KEPT: Final = 512  # grids of nine kilobytes
_JUST_NOW: Final = 32  # a check asks several times, and the next one builds on what is kept above

# Reports of one cycle share the errors of its curve. While the pot's own shape is unknown each
# counts as three quarters of one (by simulation, see docs/drydown.md).
_SHAPE_KNOWN_AFTER: Final = 2


def evidence(plant: Plant, told: tuple[Told, ...]) -> Floats:
    """What reports of a pot's open cycle say of each node; not to be written to."""
    known = plant.cycles >= _SHAPE_KNOWN_AFTER
    return found_in(plant.reference, told) if known else _three_quarters(plant.reference, told)


@lru_cache(maxsize=_JUST_NOW)
def _three_quarters(reference: float, told: tuple[Told, ...]) -> Floats:
    found = found_in(reference, told)
    found = np.sqrt(found * np.sqrt(found))
    found.flags.writeable = False
    return found


@lru_cache(maxsize=_KEPT)
def found_in(reference: float, told: tuple[Told, ...]) -> Floats:
    """Likelihood of some reports at each node; not to be written to."""
    if not told:
        found = np.ones(grid.SIZE)
    else:
        found = found_in(reference, told[:-1]) * grids.one(reference, told[-1])
    found.flags.writeable = False
    return found
