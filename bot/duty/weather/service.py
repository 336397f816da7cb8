"""What a weather service is to us: a question for an area, and the reading of its answer.

A service does no I/O. Whoever asks sends the question with our name and what the service gave us
to send back, and honours what its answer says of when to ask again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from core.actions.weather import Service
from core.care.outlook import Hour


@dataclass(frozen=True, slots=True)
class Question:
    """An address to get, with its query. `forecast`: its answer is one, not a way to it."""

    url: str
    query: Mapping[str, str] = field(default_factory=dict)
    forecast: bool = True


@dataclass(frozen=True, slots=True)
class Pointed:
    """The answer isn't the forecast but says where that is."""

    link: str


class UnreadableError(ValueError):
    """An answer that isn't what the service documents; the message says what was wrong."""


class WeatherService(Protocol):
    """One open public service."""

    name: Service

    def question(self, north: float, east: float, link: str | None) -> Question:
        """What to ask about an area, in degrees; `link` is what it pointed at earlier."""

    def read(self, question: Question, body: bytes) -> tuple[Hour, ...] | Pointed:
        """The hours of an answer, in order, C. Raises UnreadableError."""


class Shape(BaseModel):
    """Part of an answer as documented: types as they stand, what we don't use ignored."""

    model_config = ConfigDict(strict=True, frozen=True, extra="ignore", allow_inf_nan=False)


Read = TypeVar("Read", bound=Shape)


def shaped(shape: type[Read], body: bytes) -> Read:
    """An answer in its documented shape. Raises UnreadableError."""
    try:
        return shape.model_validate_json(body)
    except ValidationError as error:
        first = error.errors(include_input=False, include_url=False)[0]
        where = ".".join(str(part) for part in first["loc"])
        raise UnreadableError(f"{where or 'the answer'}: {first['msg']}") from error


def in_unit(name: str, unit: str | None, wanted: str) -> None:
    """Nothing is guessed of a unit that isn't the one we know. Raises UnreadableError."""
    if unit != wanted:
        raise UnreadableError(f"{name} is told in {unit!r}, not in {wanted!r}")


def degrees(value: float) -> str:
    """Degrees for an address, without zeros at the end, for which a service may redirect us."""
    return f"{value:.4f}".rstrip("0").rstrip(".")
