"""The two ends of a pot's weight, learned from the journal: nobody dries a fern to weigh it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Final

# Run-off has stopped within the hour and little has dried within half a day: what a pot weighs
# then is its wet weight (ours).
_STILL_WET: Final = timedelta(hours=12)
# Deep readings at or under this are the dry end: the pot as dry as this plant lets it get (ours).
_DRY_AT_MOST: Final = 2.0


@dataclass(frozen=True, slots=True)
class Ends:
    """Weights in kg as far as they are known."""

    wet_kg: float | None = None
    dry_kg: float | None = None


def learn(
    ends: Ends, weight_kg: float, *, since_watering: timedelta | None, deep: float | None
) -> Ends:
    """The ends after one weighing.

    `since_watering`: time since a watering right through, None when there was none; `deep`: the
    deepest reading told with the weight. A wet end only grows and a dry one only shrinks, until a
    repot forgets both.
    """
    if since_watering is not None and since_watering <= _STILL_WET:
        return replace(ends, wet_kg=max(weight_kg, ends.wet_kg or 0.0))
    if deep is not None and deep <= _DRY_AT_MOST:
        return replace(ends, dry_kg=min(weight_kg, ends.dry_kg or weight_kg))
    return ends
