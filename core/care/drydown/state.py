"""What is kept of a pot and of its household: small, versioned, plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple, Self

from core.care.drydown.clock import Clock
from core.care.drydown.reports import Report

_VERSION: Final = 1

# How the shapes of the grid weigh before a pot has shown its own, as counts of cycles (ours).
SHAPE_COUNTS: Final = (0.3, 0.9, 1.3, 1.2)
# Towards the dry end every pot slows: leaves close and bare mix dries from inside. On measured pots
# the loss fell as a power 0.6 to 0.96 of the water left, over whole curves.
TO_THE_END_COUNTS: Final = (0.1, 0.2, 0.9, 2.6)
TO_THE_END: Final = 2.0  # reference readings under this


def shape_counts(reference: float) -> tuple[float, ...]:
    """How the shapes weigh for a pot not seen yet."""
    return TO_THE_END_COUNTS if reference < TO_THE_END else SHAPE_COUNTS


# A good watering leaves a deep reading of 10, and often some days' worth more (ours: the floor of
# a pot is its wettest layer, and reads 8 to 10 for days).
SOAKED_COUNTS: Final = (0.16, 0.18, 0.5, 2.6, 0.56)  # of the grid's starts, as waterings


class Told(NamedTuple):
    """One report of the open cycle, `demand` after its watering: four numbers, kept as they are.

    A tuple: what is known of a cycle is looked up by all that it was told.
    """

    demand: float
    low: float
    high: float
    sd: float

    @property
    def report(self) -> Report:
        """The report, whenever it was told."""
        return Report(self.low, self.high, self.sd)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycle:
    """Since the last watering.

    `began` days since 1970, `origin` the room's demand then; `start` the wetness the watering
    left, about, or None after one like this pot's others.
    """

    began: float
    origin: float
    start: float | None = None
    told: tuple[Told, ...] = ()


@dataclass(frozen=True, slots=True)
class Belief:
    """A normal likelihood of one number: `precision`, and precision times mean in `weight`."""

    precision: float = 0.0
    weight: float = 0.0

    @property
    def mean(self) -> float:
        """Where it lies; 0 when nothing is known."""
        return self.weight / self.precision if self.precision else 0.0

    def __add__(self, other: Belief) -> Belief:
        return Belief(self.precision + other.precision, self.weight + other.weight)

    def __sub__(self, other: Belief) -> Belief:
        return Belief(self.precision - other.precision, self.weight - other.weight)

    def faded(self, variance: float) -> Belief:
        """The same, once what it is about has wandered with this variance."""
        share = 1 / (1 + self.precision * variance)
        return Belief(self.precision * share, self.weight * share)


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """The pot against its own past: log-likelihood ratios summed over cycles.

    `excused`: cycles still to pass without an alarm. `expected` and `found`: the last cycle's log
    of demand-days.
    """

    slow: float = 0.0
    fast: float = 0.0
    excused: int = 0
    expected: float = 0.0
    found: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Plant:
    """One pot. `guess` is the prior's log of days, `reference` the reading it leads to.

    `own` is what closed cycles say of its difference from the guess, as of day `own_at`; `share`
    what the household was told of it; `shapes` counts of the grid's shapes, `soaked` of the
    wetness its waterings leave; `cycles` how many closed ones taught something.
    """

    guess: float
    reference: float
    own: Belief = Belief()
    own_at: float = 0.0
    share: Belief = Belief()
    shapes: tuple[float, ...] = SHAPE_COUNTS
    soaked: tuple[float, ...] = SOAKED_COUNTS
    cycles: int = 0
    probed: float | None = None
    cycle: Cycle | None = None
    watch: Watch = Watch()

    def to_json(self) -> dict[str, Any]:
        """Plain values; `v` tells the layout."""
        data = {"v": _VERSION, **_by_name(self)}
        data["own"] = [self.own.precision, self.own.weight]
        data["share"] = [self.share.precision, self.share.weight]
        data["shapes"], data["soaked"] = list(self.shapes), list(self.soaked)
        data["watch"] = _by_name(self.watch)
        if self.cycle is not None:
            data["cycle"] = {**_by_name(self.cycle), "told": list(map(list, self.cycle.told))}
        return data

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Self:
        """The plant `to_json` wrote. Raises ValueError for another layout."""
        fields = _fields(data)
        cycle = fields["cycle"]
        if cycle is not None:
            told = tuple(map(Told._make, cycle["told"]))
            fields["cycle"] = Cycle(**cycle | {"told": told})
        fields["watch"] = Watch(**fields["watch"])
        fields["own"], fields["share"] = Belief(*fields["own"]), Belief(*fields["share"])
        fields["shapes"], fields["soaked"] = tuple(fields["shapes"]), tuple(fields["soaked"])
        return cls(**fields)


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """What the pots of one household have in common.

    `pooled` sums what each plant's cycles say of the household's difference from the guesses;
    `spell` is how much slower everything dries lately (log), with its variance, as of `spell_at`.
    `clock` keeps the demand of the rooms.
    """

    clock: Clock
    pooled: Belief = Belief()
    spell: float = 0.0
    spell_variance: float = field(default=0.0)
    spell_at: float = 0.0

    def to_json(self) -> dict[str, Any]:
        """Plain values; `v` tells the layout."""
        data = {"v": _VERSION, **_by_name(self)}
        data["clock"] = _by_name(self.clock)
        data["pooled"] = [self.pooled.precision, self.pooled.weight]
        return data

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Self:
        """The household `to_json` wrote. Raises ValueError for another layout."""
        fields = _fields(data)
        fields["clock"], fields["pooled"] = Clock(**fields["clock"]), Belief(*fields["pooled"])
        return cls(**fields)


def _by_name(kept: Plant | House | Cycle | Watch | Clock) -> dict[str, Any]:
    """Its fields as they are; `asdict` would take ten times as long to copy them all the way."""
    return {name: getattr(kept, name) for name in kept.__slots__}


def _fields(data: Mapping[str, Any]) -> dict[str, Any]:
    fields = dict(data)
    if fields.pop("v", None) != _VERSION:
        raise ValueError(f"drying layout {data.get('v')!r} is not known here")
    return fields
