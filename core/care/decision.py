"""What a verdict says: what to do, why, what else to look at, when to probe again."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Final

from core.care.reading import Layer
from core.care.rest import Column
from core.care.window import ProbeWindow
from core.knowledge.types import WaitGroup


class Decision(StrEnum):
    """What to do now."""

    WATER = "water"
    WAIT = "wait"
    DRY_WAIT = "dry-wait"  # dry, but wait until a day
    DRY_SIDE = "dry-side"  # a little on the dry side only
    SOAK_LATE = "soak-late"  # it got drier than it likes
    TOO_WET = "too-wet"  # look at drainage, air, roots
    CANT_TELL = "cant-tell"
    SOAK = "soak"  # bark, moss, air plants: minutes, not millilitres
    FILL = "fill"  # a tray, a glass, a reservoir
    LEAVE = "leave"  # no water, and not because it is still wet enough


GIVES_WATER: Final = frozenset(
    {Decision.WATER, Decision.SOAK_LATE, Decision.SOAK, Decision.FILL, Decision.DRY_SIDE}
)


class Reason(StrEnum):
    """Why; each has its sentence in the catalogues. In brackets the facts it brings along."""

    # water
    READY = "ready"  # at or under the line (layer, reading, line)
    SURFACE_READY = "surface-ready"  # the surface is dry, and that is what counts (reading, line)
    REST_OVER = "rest-over"  # dry right through and the wait has passed (days, group, column)
    DRY_NO_WAIT = "dry-no-wait"  # dry right through, and this plant takes no wait
    WINTER_SIP = "winter-sip"  # a cactus in a warm winter room: a sip a month (days)
    WRINKLED_DRY = "wrinkled-dry"  # wrinkled on a dry pot: no wait
    WICK_DRY = "wick-dry"  # reservoir or not, the middle is dry: once from the top (reading)
    # soak, late
    DRIER_THAN_LIKES = "drier-than-likes"  # (layer, reading, line)
    SLACK_DRY = "slack-dry"  # slack leaves on a dry pot
    DRY_FOR_A_WEEK = "dry-for-a-week"  # (days)
    # soak, bark and air plants
    ROOTS_SILVERY = "roots-silvery"
    POT_LIGHT = "pot-light"  # (reading)
    LEAVES_THIRSTY = "leaves-thirsty"  # an air plant limp or curled
    WEEKLY_SOAK = "weekly-soak"  # an air plant dry, its last soak about a week ago
    # fill
    LEVEL_EMPTY = "level-empty"
    LEVEL_LOW = "level-low"  # also: wait, it is still drinking
    STALE_WATER = "stale-water"  # it smells: change the water
    RESERVOIR_DRY = "reservoir-dry"  # (reading, line)
    # wait
    ABOVE_LINE = "above-line"  # (layer, reading, line)
    SURFACE_MOIST = "surface-moist"  # (reading, line)
    POT_HEAVY = "pot-heavy"  # (reading)
    ROOTS_GREEN = "roots-green"  # orchids: roots that are wet are green (common practice)
    SOAKED_LATELY = "soaked-lately"  # an air plant dries within hours; that is no thirst
    LIMP_MOIST = "limp-moist"  # limp, but not from drought (reading, line)
    WRINKLED_MOIST = "wrinkled-moist"
    UNEVEN_NOT_DRY = "uneven-not-dry"  # no place is dry yet (dry, wet)
    RESERVOIR_AIRING = "reservoir-airing"  # let it stand empty some days (until)
    # dry, but wait
    RESTING_UNTIL = "resting-until"  # (days, group, column)
    WINTER_REST = "winter-rest"  # a cactus in a cool winter: until about March
    STONES_CALENDAR = "stones-calendar"  # living stones take nothing in these months
    TOO_DARK = "too-dark"  # a desert cactus in low light: wait, and move it (days)
    # a little on the dry side
    UNEVEN = "uneven"  # (dry, wet)
    # too wet
    WET_TOO_LONG = "wet-too-long"  # (reading, days)
    LIMP_WET = "limp-wet"  # (reading)
    SMELL = "smell"
    # leave
    UNEVEN_ONE_WET = "uneven-one-wet"  # find out why one place is wet (dry, wet)
    SMELL_DRY = "smell-dry"  # sour or soft on a dry pot: look at the roots before any water
    NOON_WILT = "noon-wilt"  # outdoors, limp and wet: look again in the evening
    DORMANT = "dormant"
    TERRARIUM = "terrarium"  # no dose: open it when it fogs
    LEVEL_FULL = "level-full"
    STANDING_WATER = "standing-water"  # in saucer or outer pot: tip it out
    # can't tell
    BARK = "no-meter-in-bark"
    NO_SOIL = "no-soil"  # an air plant has nothing to put a meter into
    COARSE_MIX = "coarse-mix"
    SALTY_MIX = "salty-mix"
    WICKING = "wicking"
    SURFACE_ABOVE = "surface-above"  # a dry surface over a reservoir (reading, line)
    FRESH_REPOT = "fresh-repot"
    JUST_WATERED = "just-watered"
    HOW_FELT = "how-felt"
    SURFACE_ONLY = "surface-only"  # a dry surface, and this plant goes by what is below
    MIDDLE_ONLY = "middle-only"
    SIGN_ALONE = "sign-alone"  # limp can be too dry or too wet: the probe separates them
    NOTHING_FOUND = "nothing-found"
    WEIGHT_UNKNOWN = "weight-unknown"  # a weight without this pot's dry and wet weight
    LEVEL_UNKNOWN = "level-unknown"


class Ask(StrEnum):
    """What else would help to tell."""

    HOW_FELT = "how-felt"  # by finger, by stick, by lifting?
    PROBE = "probe"
    PROBE_MIDDLE = "probe-middle"  # or feel the surface
    PROBE_DEEP = "probe-deep"
    MIDDLE = "middle"  # over a reservoir whose surface is dry
    LIFT = "lift"  # lift it or weigh it
    ROOTS = "roots"  # lift it, look at the roots: silvery, green, brown?
    LEAVES = "leaves"  # an air plant: limp, curled, or only dry?
    LEVEL = "level"
    IN_LEAF = "in-leaf"  # by the calendar it is dormant: has it leaves?
    WEIGH = "weigh"  # a pot this small is better weighed


@dataclass(frozen=True, slots=True)
class Facts:
    """What a reason's sentence may name; readings on the scale 1 to 10, spans in days."""

    layer: Layer | None = None
    reading: float | None = None
    line: float | None = None
    dry: float | None = None
    wet: float | None = None
    days: float | None = None
    group: WaitGroup | None = None
    column: Column | None = None

    def as_args(self) -> dict[str, str | float]:
        """Those that are known, by name, as plain values."""
        values = {name: getattr(self, name) for name in self.__slots__}
        return {
            name: str(value) if isinstance(value, StrEnum) else value
            for name, value in values.items()
            if value is not None
        }


@dataclass(frozen=True, slots=True)
class Verdict:
    """The outcome of one check.

    `facts`: what the reason's sentence may name. `middle` and `deep`: the medians that were used,
    1 to 10. `all_dry`: dry right through; `not_dry`: some place under the surface reads 3 or more
    (neither: in between, or nothing believed). `until`: the day up to which a dry pot waits.
    `restarted`: a reading of 3 or more voided the clock of the extra wait. `ask`: what else would
    help. `next_probe`: None where water comes first. `side_dose`: it goes on the dry side only.
    """

    decision: Decision
    reason: Reason
    facts: Facts = field(default_factory=Facts)
    middle: float | None = None
    deep: float | None = None
    all_dry: bool = False
    not_dry: bool = False
    until: datetime | None = None
    restarted: bool = False
    ask: Ask | None = None
    next_probe: ProbeWindow | None = None

    @property
    def side_dose(self) -> bool:
        """Whether the water goes on the dry side only."""
        return self.decision is Decision.DRY_SIDE

    @property
    def gives_water(self) -> bool:
        """Whether anything is poured now."""
        return self.decision in GIVES_WATER
