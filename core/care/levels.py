"""Plants that drink from a level of water: trays, glasses, clay pebbles, reservoirs."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from types import MappingProxyType
from typing import Final

from core.care.case import Case, give
from core.care.decision import Ask, Decision, Facts, Reason, Verdict
from core.care.reading import Layer, Level, Sign
from core.care.situation import Situation
from core.knowledge.types import Habit, Method

_LEVEL_MIXES: Final = frozenset({"water", "clay-pebbles"})

# A reservoir stands empty 2-7 days before the next fill (an interior landscaper's published
# practice, tdplants.com 2015); who gets how much of that is ours.
_AIRING: Final[Mapping[Habit, timedelta]] = MappingProxyType(
    {
        Habit.NEVER_DRY: timedelta(days=2),
        Habit.TOP_DRY: timedelta(days=2),
        Habit.HALF_DRY: timedelta(days=4),
        Habit.MOSTLY_DRY: timedelta(days=7),
    }
)


def kept_by_level(situation: Situation, habit: Habit) -> bool:
    """Whether the level of water counts and no reading does."""
    mix = situation.mix is not None and situation.mix.id in _LEVEL_MIXES
    return habit is Habit.STAND_WET or situation.method is Method.IN_WATER or mix


def by_level(case: Case) -> Verdict | None:
    """Trays, glasses and reservoirs; and water that stands where none should."""
    if kept_by_level(case.situation, case.habit):
        return _tray(case)
    if case.situation.wicking(case.past, case.now):
        return _reservoir(case)
    if case.found.level is Level.FULL and not case.evidence.below:
        return Verdict(Decision.LEAVE, Reason.STANDING_WATER)
    return None


def _tray(case: Case) -> Verdict:
    """Bog plants are filled asleep or awake, and a wet pot is no alarm."""
    level = case.found.level
    if level is None:
        return Verdict(Decision.CANT_TELL, Reason.LEVEL_UNKNOWN, ask=Ask.LEVEL)
    if level is Level.EMPTY:
        return Verdict(Decision.FILL, Reason.LEVEL_EMPTY)
    if Sign.SMELL in case.found.signs:
        return Verdict(Decision.FILL, Reason.STALE_WATER)
    if level is Level.LOW:
        return Verdict(Decision.FILL, Reason.LEVEL_LOW)
    return Verdict(Decision.LEAVE, Reason.LEVEL_FULL)


def _reservoir(case: Case) -> Verdict | None:
    """Read the middle: the floor is always wet. None when there is nothing to go by."""
    level, line = case.found.level, case.lines.middle.at(slow=case.slow)
    middle = case.evidence.middle_median or case.evidence.deep_median  # in a shallow pot the same
    if middle is not None:
        facts = Facts(Layer.MIDDLE, middle, line)
        if middle > line:
            return Verdict(Decision.WAIT, Reason.ABOVE_LINE, facts)
        late = case.lines.late_middle
        if level is Level.FULL or (late is not None and middle <= late):
            return give(case, Decision.WATER, Reason.WICK_DRY, facts)
        return give(case, Decision.FILL, Reason.RESERVOIR_DRY, facts)
    return _by_feel(case) if level is None else _by_gauge(case, level)


def _by_feel(case: Case) -> Verdict | None:
    """A dry surface is as it should be above a reservoir; a moist one tells enough."""
    surface, line = case.evidence.surface_median, case.lines.surface.at(slow=case.slow)
    if surface is None:
        return None
    facts = Facts(Layer.SURFACE, surface, line)
    if surface > line:
        return Verdict(Decision.WAIT, Reason.SURFACE_MOIST, facts)
    return Verdict(Decision.CANT_TELL, Reason.SURFACE_ABOVE, facts, ask=Ask.MIDDLE)


def _by_gauge(case: Case, level: Level) -> Verdict:
    if level is Level.FULL:
        return Verdict(Decision.LEAVE, Reason.LEVEL_FULL)
    if level is Level.LOW:
        return Verdict(Decision.WAIT, Reason.LEVEL_LOW)
    since = case.past.empty_since or case.now
    until = since + _AIRING.get(case.habit, _AIRING[Habit.HALF_DRY])
    if case.now < until:
        return Verdict(Decision.WAIT, Reason.RESERVOIR_AIRING, until=until)
    return give(case, Decision.FILL, Reason.LEVEL_EMPTY)
