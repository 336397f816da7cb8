"""Loads the sizes of pots the trade knows: container classes, shape names, head space."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class HeadSpace:
    """Bare wall above the mix, in metres, by the width of the pot."""

    small_m: float
    small_up_to_m: float
    large_m: float
    large_from_m: float
    most_share: float

    def above(self, width_m: float, depth_m: float) -> float:
        """Metres left empty in a pot this wide and deep; never more than `most_share` of it."""
        span = self.large_from_m - self.small_up_to_m
        along = min(1.0, max(0.0, (width_m - self.small_up_to_m) / span))
        wanted = self.small_m + along * (self.large_m - self.small_m)
        return min(wanted, self.most_share * depth_m)


@dataclass(frozen=True, slots=True)
class PotSizes:
    """Litres by container class, depth by shape name, shares that fill in what wasn't said.

    `guess` holds `rim_share`, `base_share` and the depths `shallow`, `usual`, `deep`;
    `can` holds `depth_share` and `base_share` of a nursery can. All shares are of the width.
    """

    trade_l: Mapping[str, float]
    depth_share: Mapping[str, float]
    guess: Mapping[str, float]
    can: Mapping[str, float]
    head_space: HeadSpace


def _table(raw: Mapping[str, object], name: str) -> Mapping[str, float]:
    table = raw.get(name)
    if not isinstance(table, dict) or not table:
        raise ValueError(f"potsizes: no table {name!r}")
    for key, value in table.items():
        if not isinstance(value, int | float) or value <= 0:
            raise ValueError(f"potsizes: {name}.{key} must be a number above 0")
    return MappingProxyType({str(key): float(value) for key, value in table.items()})


def load_pot_sizes(text: str) -> PotSizes:
    """Read a TOML text of pot sizes. Raises ValueError when a table or number is missing."""
    raw = tomllib.loads(text)
    trade, shapes, guess, can, head = (
        _table(raw, name) for name in ("trade_l", "depth_share", "guess", "can", "head_space")
    )
    return PotSizes(trade, shapes, guess, can, HeadSpace(**head))


@cache
def pot_sizes() -> PotSizes:
    """The sizes that come with the program, read once."""
    return load_pot_sizes(files(__package__).joinpath("potsizes.toml").read_text("utf-8"))
