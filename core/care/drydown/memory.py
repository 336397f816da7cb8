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
from core.care.drydown.state import Told

_KEPT: Final = 512  # grids of nine kilobytes


@lru_cache(maxsize=_KEPT)
def found_in(reference: float, told: tuple[Told, ...]) -> Floats:
    """Likelihood of some reports at each node; not to be written to."""
    if not told:
        found = np.ones(grid.SIZE)
    else:
        last = told[-1]
        found = found_in(reference, told[:-1]) * grids.one(reference, last.demand, last.report)
    found.flags.writeable = False
    return found
