"""Which plants great heat and scorching sun endanger, and why. Heat is no reason to water."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from typing import Final

from core.care.sun import Shine
from core.knowledge.types import LightClass

# Late-afternoon west sun and all-day south sun through glass scorch (common practice, no source).
# On days of 30 C and more, for two hours from noon on, within a metre of the pane, under a sky that
# is half clear (ours).
HOT_C: Final = 30.0
_LEAST_SUN: Final = timedelta(hours=2)
_NEAR_M: Final = 1.0
_MOST_CLOUD: Final = 50.0
# Outdoors leaves of shade plants burn and pots heat through from here on (ours).
SWELTERING_C: Final = 34.0


class Threat(StrEnum):
    """What the day may do to a plant."""

    SUN = "sun"  # through the glass, in heat
    OUTDOORS = "outdoors"  # in the open, not made for full sun


@dataclass(frozen=True, slots=True)
class Stand:
    """A spot as the sun sees it: in the open, or so far from a pane. `veiled`: by a curtain."""

    outdoors: bool = False
    distance_m: float | None = None
    veiled: bool = False


@dataclass(frozen=True, slots=True)
class Burn:
    """What is to be feared, and when the sun does it; None outdoors."""

    threat: Threat
    shine: Shine | None = None


def burn(
    likes: LightClass,
    stand: Stand,
    high_c: float,
    sun: Sequence[Shine] = (),
    cloud: float | None = None,
) -> Burn | None:
    """What a day with this outdoor high does to a plant; None where nothing need be said.

    `sun`: when it shines on the pane from noon on; `cloud`: the mean of those hours, 0 to 100 %,
    None where nobody told, which counts as clear: such heat comes with a clear sky as a rule.
    """
    if likes is LightClass.SUNNY or (cloud is not None and cloud > _MOST_CLOUD):
        return None
    if stand.outdoors:
        return Burn(Threat.OUTDOORS) if high_c >= SWELTERING_C else None
    near = stand.distance_m is not None and stand.distance_m <= _NEAR_M
    longest = max(sun, key=lambda one: one.length, default=None)
    if high_c < HOT_C or stand.veiled or not near or longest is None:
        return None
    return Burn(Threat.SUN, longest) if longest.length >= _LEAST_SUN else None
