"""What a picture is to show, from what was found out about the pots."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from bot.talk.charts.recipe import Labels, Panel, Point, Recipe
from core.actions.sketching import LOOK_AHEAD, Sketch
from core.care.drydown.curve import Band

_DAY = timedelta(days=1)


def panel(found: Sketch, amounts: Sequence[str]) -> Panel:
    """A sketch as values to draw; `amounts` what is written at each watering."""

    def days(moment: datetime) -> float:
        return round((moment - found.now) / _DAY, 3)

    def points(bands: Iterable[Band]) -> tuple[Point, ...]:
        return tuple(
            (days(band.at), round(band.low, 2), round(band.middle, 2), round(band.high, 2))
            for band in bands
        )

    probe = None if found.probe is None else max(0.0, days(found.probe.expected))
    return Panel(
        title=found.name,
        line=found.line,
        seen=tuple((days(one.at), one.low, round(one.mean, 2), one.high) for one in found.seen),
        poured=tuple((days(one.at), text) for one, text in zip(found.gave, amounts, strict=True)),
        curve=points(found.curve),
        past=tuple(points(one) for one in found.past),
        ready=tuple(min(days(moment), LOOK_AHEAD / _DAY) for moment in found.ready),
        probe=None if probe is None or probe > LOOK_AHEAD / _DAY else probe,
    )


def recipe(panels: Sequence[Panel], labels: Labels, now: datetime, zone: ZoneInfo) -> Recipe:
    """Panels on one scale of days, from the first thing shown to the last."""
    days = [0.0]
    for one in panels:
        days += [seen[0] for seen in one.seen]
        days += [poured[0] for poured in one.poured]
        days += [point[0] for curve in (one.curve, *one.past) for point in curve]
        days += [*one.ready, one.probe or 0.0]
    first, last = min(*days, -3.0) - 0.5, max(*days, 3.0) + 0.5
    return Recipe(tuple(panels), labels, _ticks(first, last, now, zone), first, last)


_TICKS = 5


def _ticks(
    first: float, last: float, now: datetime, zone: ZoneInfo
) -> tuple[tuple[float, str], ...]:
    """Midnights of some days, about five, as `12 Mar`."""
    step = max(1, round((last - first) / _TICKS))
    midnight = now.astimezone(zone).replace(hour=0, minute=0, second=0, microsecond=0)
    found: list[tuple[float, str]] = []
    for n in range(int(first) - 1, int(last) + 2):
        day = midnight + timedelta(days=n)
        place = (day - now) / _DAY
        if n % step == 0 and first <= place <= last:
            found.append((round(place, 3), f"{day.day} {day:%b}"))
    return tuple(found)
