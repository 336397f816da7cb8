"""What a time zone tells of a place, by whichever of its names."""

from __future__ import annotations

import pytest

from core.actions.places import guess_settings, place_of
from core.care.season import Hemisphere
from core.care.units import System


@pytest.mark.parametrize(
    ("zone", "units", "half"),
    [
        ("America/Chicago", System.US, Hemisphere.NORTH),
        ("US/Central", System.US, Hemisphere.NORTH),
        ("Singapore", System.METRIC, Hemisphere.TROPICS),
        ("NZ", System.METRIC, Hemisphere.SOUTH),
        ("Australia/ACT", System.METRIC, Hemisphere.SOUTH),
        ("Europe/Oslo", System.METRIC, Hemisphere.NORTH),
        ("Etc/UTC", System.METRIC, Hemisphere.NORTH),
    ],
)
def test_other_names_of_zones_are_as_good(zone: str, units: System, half: Hemisphere) -> None:
    """Latitudes of the IANA table zone.tab: Chicago 41 N, Singapore 1 N, Auckland 36 S (SEEN)."""
    guessed = guess_settings(zone)
    assert (guessed.units, guessed.hemisphere) == (units, half)
    assert (place_of(zone) is None) == (zone == "Etc/UTC")
