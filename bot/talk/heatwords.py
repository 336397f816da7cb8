"""Whom great heat and scorching sun endanger and what to do, in words; asked for or not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Self
from zoneinfo import ZoneInfo

from bot.talk import say
from bot.talk.catalogue import Catalogue
from core.actions.highs import Threatened
from core.care.heat import Threat

MOST_SHOWN = 3


@dataclass(frozen=True, slots=True)
class Shown:
    """A plant in danger, as it is told: its window and the hours of sun, where those do it."""

    name: str
    facing: str = ""
    begin: datetime | None = None
    end: datetime | None = None

    @classmethod
    def of(cls, one: Threatened) -> Self:
        """As it stands now."""
        shine, facing = one.burn.shine, one.plant.state.spot.facing
        if one.burn.threat is Threat.OUTDOORS or shine is None:
            return cls(one.plant.name)
        return cls(one.plant.name, facing, shine.begin, shine.end)

    @classmethod
    def read(cls, told: dict[str, Any]) -> Self:
        """As it was kept to be said."""
        if told["threat"] == Threat.OUTDOORS.value or told["from"] is None:
            return cls(told["name"])
        begin, end = (datetime.fromisoformat(told[key]) for key in ("from", "to"))
        return cls(told["name"], told["facing"], begin, end)


def dangers(words: Catalogue, zone: ZoneInfo, head: str, found: Sequence[Shown]) -> list[str]:
    """Behind its head, who is in danger: window by window, what to do, then what stands outside."""
    if not found:
        return [head, words("heat-nobody")]
    facings = list(dict.fromkeys(one.facing for one in found if one.facing))
    windows = [[one for one in found if one.facing == facing] for facing in facings]
    lines = [f"{head} {words('heat-in-danger', n=len(found))}"]
    lines += [_at_window(words, zone, here) for here in windows]
    if windows:
        lines[-1] = f"{lines[-1]} {words('heat-window-do')}"
    outside = [one.name for one in found if not one.facing]
    if outside:
        lines.append(
            words("heat-outdoors", plants=say.some(words, outside, MOST_SHOWN), n=len(outside))
        )
    return [*lines, words("heat-no-thirst")]


def _at_window(words: Catalogue, zone: ZoneInfo, found: Sequence[Shown]) -> str:
    first = found[0]
    hours = [f"{at.astimezone(zone):%H:%M}" for at in (first.begin, first.end) if at is not None]
    return words(
        "heat-window",
        plants=say.some(words, [one.name for one in found], MOST_SHOWN),
        facing=words(f"spot-facing-{first.facing.lower()}"),
        begin=hours[0],
        end=hours[-1],
        n=len(found),
    )
