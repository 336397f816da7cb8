"""The rest of the week: when to turn, wipe, look for pests, feed and rinse.

Each is due a while after it was last done, or after the plant came; nothing of it while it would
do harm: no feed out of season, on dry or fresh mix, or to a plant that is unwell.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final

from core.care.situation import Situation
from core.knowledge.types import Leaf, LightClass, Method


class Errand(StrEnum):
    """What may be due besides probing; `DUST` is what hairy and waxy leaves get."""

    SCOUT = "scout"
    TURN = "turn"
    WIPE = "wipe"
    DUST = "dust"
    FEED = "feed"
    RINSE = "rinse"


ACTS: Final[Mapping[Errand, str]] = {one: one.value for one in Errand} | {Errand.DUST: "wipe"}
"""What is told once it is done, as the journal keeps it."""

# Light from one side: every other week (common practice: at each watering, more often from one
# side; the number is ours).
_TURN: Final = timedelta(weeks=2)
# Both sides with a moist cloth every 3-4 weeks (common practice, no source).
_WIPE: Final = timedelta(weeks=4)
# Every other week, with the dusting (common practice); after a find, and while a new plant stands
# apart, every week. Apart for three weeks: Cranshaw, Colorado State Extension 5.595 (SEEN).
_SCOUT: Final = timedelta(weeks=2)
_SCOUT_AGAIN: Final = timedelta(weeks=1)
_APART: Final = timedelta(weeks=3)
# The label's dose every two or three months of growth: Clemson HGIC 1450 (SEEN); in low light
# every four to six: Univ. of Hawaii SCM-7, of dracaenas (SEEN).
_FEED: Final = timedelta(weeks=9)
_FEED_IN_LOW_LIGHT: Final = timedelta(weeks=18)
# No feed for four to eight weeks after a repot (common practice, no source).
_FED_BY_MIX: Final = timedelta(weeks=6)
# Against salts every four to six months (extension practice, FROM MEMORY).
_RINSE: Final = timedelta(weeks=22)
_DRY: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Upkeep:
    """A plant as far as its errands go. `last`: when each act was last done.

    `from_one_side`: it stands at a window; `deep`: its last reading, None after a watering;
    `unwell`: waterlogged, or somebody found pests.
    """

    situation: Situation
    leaf: Leaf
    since: datetime
    last: Mapping[str, datetime]
    from_one_side: bool
    still_in_bud: bool = False
    repotted_at: datetime | None = None
    pests_at: datetime | None = None
    deep: float | None = None
    unwell: bool = False


def due(plant: Upkeep, now: datetime) -> dict[Errand, datetime]:
    """What is due by `now` (aware, the household's zone), and since when."""
    found: dict[Errand, datetime] = {}
    for errand, rule in _RULES.items():
        interval = rule(plant, now)
        if interval is None:
            continue
        act = ACTS[errand]
        done = max(plant.last.get(act, plant.since), _counted_from(plant, errand))
        at = max(done + interval, plant.last.get(later(act), done))
        if at <= now:
            found[errand] = at
    return found


def later(act: str) -> str:
    """Under which name is kept until when an act was put off."""
    return f"{act} later"


def _counted_from(plant: Upkeep, errand: Errand) -> datetime:
    """Fresh mix holds no salts yet."""
    fresh = errand is Errand.RINSE and plant.repotted_at is not None
    return plant.repotted_at if fresh and plant.repotted_at else plant.since


def _turn(plant: Upkeep, _now: datetime) -> timedelta | None:
    stays = plant.still_in_bud or plant.situation.outdoors or not plant.from_one_side
    return None if stays else _TURN


def _wipe(plant: Upkeep, _now: datetime) -> timedelta | None:
    return _WIPE if plant.leaf is Leaf.SMOOTH and not plant.situation.outdoors else None


def _dust(plant: Upkeep, _now: datetime) -> timedelta | None:
    return _WIPE if plant.leaf is not Leaf.SMOOTH and not plant.situation.outdoors else None


def _scout(plant: Upkeep, now: datetime) -> timedelta | None:
    looked = plant.last.get("scout")
    found = plant.pests_at is not None and plant.pests_at == looked
    return _SCOUT_AGAIN if found or now - plant.since < _APART else _SCOUT


def _feed(plant: Upkeep, now: datetime) -> timedelta | None:
    dry = plant.deep is not None and plant.deep <= _DRY
    fresh = plant.repotted_at is not None and now - plant.repotted_at < _FED_BY_MIX
    if dry or fresh or plant.unwell or not plant.situation.growing(now):
        return None
    return _FEED_IN_LOW_LIGHT if plant.situation.light is LightClass.LOW else _FEED


def _rinse(plant: Upkeep, _now: datetime) -> timedelta | None:
    """Only what drains, stands in soil and drinks from the top."""
    here = plant.situation
    rinsed = here.hole and not here.self_watering and here.method is Method.SOIL
    return _RINSE if rinsed and not plant.unwell and not here.outdoors else None


_RULES: Final[Mapping[Errand, Callable[[Upkeep, datetime], timedelta | None]]] = {
    Errand.SCOUT: _scout,
    Errand.TURN: _turn,
    Errand.WIPE: _wipe,
    Errand.DUST: _dust,
    Errand.FEED: _feed,
    Errand.RINSE: _rinse,
}
