"""What the drying of a household's pots has in common, as kept beside the household's row."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Annotated

from pydantic import PlainSerializer, PlainValidator, TypeAdapter

from core.care.drydown.state import House

# Kept in the layout that the drying model has for it.
Shared = Annotated[House, PlainValidator(House.from_json), PlainSerializer(House.to_json)]


@dataclass(frozen=True, slots=True)
class Common:
    """`house` of the drying model after all events up to `upto` (aware UTC); None before any."""

    house: Shared | None = None
    upto: datetime | None = None

    def knows_newer(self, moment: datetime) -> bool:
        """Whether events after a moment are in it already."""
        return self.upto is not None and self.upto > moment


@lru_cache(maxsize=1)
def _adapter() -> TypeAdapter[Common]:
    return TypeAdapter(Common)


def read_common(text: str) -> Common:
    """From its JSON text."""
    return _adapter().validate_json(text)


def write_common(common: Common) -> str:
    """As JSON text."""
    return _adapter().dump_json(common, exclude_defaults=True).decode()
