"""What the journal makes of one plant: the sum of its events, kept as JSON beside its row."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import lru_cache
from typing import Annotated

from pydantic import PlainSerializer, PlainValidator, TypeAdapter

from core.care.drydown.state import Plant
from core.care.intake import Drink
from core.care.potsaid import PotSaid
from core.care.reading import Found
from core.journal.events import Spot

# A plant whose arrival was taken back never was; this moment keeps it out of every list.
NEVER = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Judged:
    """The last verdict in short: what to do, why, and until when."""

    decision: str
    reason: str
    args: Mapping[str, str | float] = field(default_factory=dict)
    until: datetime | None = None


@dataclass(frozen=True, slots=True)
class Watered:
    """The last watering: when, by whom, how much (None: nobody said), how far it went."""

    at: datetime
    by: int | None
    litres: float | None
    extent: str = "through"


@dataclass(frozen=True, slots=True)
class Probed:
    """The last check: when, by whom, what was found."""

    at: datetime
    by: int | None
    found: Found


@dataclass(frozen=True, slots=True)
class ProbeWindow:
    """When to probe next: probably between `earliest` and `last`. Never a date to water.

    `latest` stays that of the pot when a person chooses another day, which may lie beyond it.
    """

    earliest: datetime
    expected: datetime
    latest: datetime

    @property
    def last(self) -> datetime:
        """The end of the range that is told."""
        return max(self.expected, self.latest)


# Kept in the layout that the drying model has for it.
Drying = Annotated[Plant, PlainValidator(Plant.from_json), PlainSerializer(Plant.to_json)]


@dataclass(frozen=True, slots=True)
class PlantState:
    """One plant as its standing events add up. Moments are aware UTC."""

    name: str
    species_id: str = ""
    species_said: str = ""
    pot: PotSaid | None = None
    depth: str = ""  # shallow, usual, deep: once that question was answered
    hole: bool | None = None
    outer: bool | None = None
    self_watering: bool | None = None
    mix: str = ""
    spot: Spot = field(default_factory=Spot)
    wet_kg: float | None = None
    dry_kg: float | None = None
    resting: bool | None = None
    terrarium: bool | None = None
    arrived_at: datetime = NEVER
    bought_at: datetime | None = None
    repotted_at: datetime | None = None
    probed: Probed | None = None
    judged: Judged | None = None
    watered: Watered | None = None
    last_not_dry_at: datetime | None = None
    first_dry_at: datetime | None = None
    deep_one_since: datetime | None = None
    empty_since: datetime | None = None
    ready_at: datetime | None = None  # first reading of this cycle that asked for water
    reading_before: float | None = None  # mean of the readings that led to the last watering
    drydowns_d: tuple[float, ...] = ()  # days from a watering to its reading at the line
    drinks: tuple[Drink, ...] = ()
    uneven: int = 0
    probe: ProbeWindow | None = None
    drying: Drying | None = None  # what the pot has shown of it; None for one that isn't probed
    tended: Mapping[str, datetime] = field(default_factory=dict)
    drained_at: datetime | None = None
    left_at: datetime | None = None
    left_because: str = ""

    @property
    def probe_at(self) -> datetime | None:
        """When to probe next; None for a plant that left."""
        if self.left_at is not None or self.probe is None:
            return None
        return self.probe.expected


UNBORN = PlantState(name="", left_at=NEVER)
"""A plant of which nothing stands: one whose arrival was undone never was."""


@lru_cache(maxsize=1)
def _adapter() -> TypeAdapter[PlantState]:
    return TypeAdapter(PlantState)


def read_state(text: str) -> PlantState:
    """A state from its JSON text."""
    return _adapter().validate_json(text)


def write_state(state: PlantState) -> str:
    """A state as JSON text; defaults are left out, so equal states give equal texts."""
    return _adapter().dump_json(state, exclude_defaults=True).decode()
