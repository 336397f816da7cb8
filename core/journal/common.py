"""What the drying of a household's pots has in common, as kept beside the household's row."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime

from core.care.drydown.state import House


@dataclass(frozen=True, slots=True)
class Common:
    """`house` of the drying model after all events up to `upto` (aware UTC); None before any."""

    house: House | None = None
    upto: datetime | None = None

    def knows_newer(self, moment: datetime) -> bool:
        """Whether events after a moment are in it already."""
        return self.upto is not None and self.upto > moment


def read_common(text: str) -> Common:
    """From its JSON text."""
    data = json.loads(text)
    house, upto = data.get("house"), data.get("upto")
    return Common(
        None if house is None else House.from_json(house),
        None if upto is None else datetime.fromisoformat(upto),
    )


def write_common(common: Common) -> str:
    """As JSON text."""
    data: dict[str, object] = {}
    if common.house is not None:
        data["house"] = common.house.to_json()
    if common.upto is not None:
        data["upto"] = common.upto.astimezone(UTC).isoformat()
    return json.dumps(data, separators=(",", ":"), sort_keys=True)
