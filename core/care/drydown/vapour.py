"""How thirsty the air of a room is: vapour pressure and its deficit (FAO-56, eq. 11)."""

from __future__ import annotations

from math import exp
from typing import Final

# Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56, equation 11.
_KPA: Final = 0.6108
_SLOPE: Final = 17.27
_OFFSET_C: Final = 237.3
_PER_CENT: Final = 100.0


def saturation_kpa(celsius: float) -> float:
    """Vapour pressure of saturated air, kPa, at a temperature in °C (FAO-56 eq. 11)."""
    return _KPA * exp(_SLOPE * celsius / (celsius + _OFFSET_C))


def deficit_kpa(celsius: float, humidity: float) -> float:
    """Vapour pressure deficit, kPa, of air at °C and a relative humidity of 0 to 100 %.

    Raises ValueError for a humidity outside that range.
    """
    if not 0 <= humidity <= _PER_CENT:
        raise ValueError(f"a relative humidity lies between 0 and 100 %, not at {humidity}")
    return saturation_kpa(celsius) * (1 - humidity / _PER_CENT)


def deficit_of_day_kpa(low_c: float, high_c: float, humidity: float) -> float:
    """Deficit over a day with these extremes, kPa (FAO-56 eq. 12 and 19)."""
    saturated = (saturation_kpa(low_c) + saturation_kpa(high_c)) / 2
    return saturated * (1 - humidity / _PER_CENT)
