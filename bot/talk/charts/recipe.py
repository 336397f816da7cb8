"""A picture as plain values, fit to be kept in the outbox: days from today, readings, words.

Drawing needs nothing else, so it happens after the transaction and in another process, which loads
this and nothing of the core.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from pydantic import TypeAdapter

Point = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Labels:
    """The words in a picture, worded with the reply."""

    dry: str
    wet: str
    today: str
    line: str
    ready: str
    watered: str


@dataclass(frozen=True, slots=True)
class Panel:
    """One pot. Times in days from today; readings 1 to 10.

    `seen`: (day, lowest, mean, highest); `poured`: (day, what is written there); `curve`: (day,
    10, 50, 90 % point), `past` the same of cycles that are over; `ready`: 10, 25, 75 and 90 %
    points; `probe`: when to probe.
    """

    title: str
    line: float
    seen: tuple[tuple[float, float, float, float], ...] = ()
    poured: tuple[tuple[float, str], ...] = ()
    curve: tuple[Point, ...] = ()
    past: tuple[tuple[Point, ...], ...] = ()
    ready: tuple[float, ...] = ()
    probe: float | None = None


@dataclass(frozen=True, slots=True)
class Recipe:
    """A picture: one pot large, or several small. `ticks`: (day, date as it is written)."""

    panels: tuple[Panel, ...]
    labels: Labels
    ticks: tuple[tuple[float, str], ...]
    first: float
    last: float


@cache
def _adapter() -> TypeAdapter[Recipe]:
    return TypeAdapter(Recipe)


def to_values(made: Recipe) -> dict[str, Any]:
    """A recipe as plain values."""
    values: dict[str, Any] = _adapter().dump_python(made, mode="json")
    return values


def from_values(values: dict[str, Any]) -> Recipe:
    """The recipe that `to_values` wrote. Raises ValueError for anything else."""
    return _adapter().validate_python(values)
