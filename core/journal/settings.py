"""How a household wants to be spoken to and where it lives, as kept beside its row."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

from pydantic import TypeAdapter

from core.care.season import Hemisphere
from core.care.units import System


@dataclass(frozen=True, slots=True)
class Settings:
    """Units for volumes and sizes, language, half of the world.

    `hemisphere` decides which months are winter; it is taken from the time zone until told.
    """

    units: System = System.METRIC
    language: str = "en"
    hemisphere: Hemisphere = Hemisphere.NORTH


@cache
def _adapter() -> TypeAdapter[Settings]:
    return TypeAdapter(Settings)


@lru_cache(maxsize=256)
def read(text: str) -> Settings:
    """Settings from a household's JSON text."""
    return _adapter().validate_json(text)


def write(settings: Settings) -> str:
    """Settings as JSON text."""
    return _adapter().dump_json(settings).decode()
