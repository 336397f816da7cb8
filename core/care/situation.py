"""All that bears on a verdict besides the reading: plant, pot, place, season, what went before."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final, Self

from core.care.potsaid import Material
from core.care.potshape import Pot
from core.care.season import Hemisphere, grows, sleeps
from core.knowledge.types import Habit, LightClass, Method, Mix, Species, WaitGroup

_LIGHT_ORDER: Final = tuple(LightClass)
_NORTHERN_GROWTH: Final = frozenset(range(3, 10))

# Under 16 °C a plant drinks as in a dim place; under 12 °C in its resting months the winter is
# a cool one (numbers ours, an experienced guess).
COOL_C: Final = 16.0
COOL_WINTER_C: Final = 12.0

# In fills up to about 10 cm middle and deep are one reading, and under 8 cm of width a scale tells
# more than a meter (common practice, no source). A finger reaches 6 cm at most.
_ONE_READING_M: Final = 0.105
_FINGER_M: Final = 0.06
_WEIGH_UNDER_M: Final = 0.08

# Two weeks in which the old root ball and the new mix are two things, and six in which a
# self-watering pot is watered from the top (common practice, no source).
FRESH: Final = timedelta(days=14)
_ROOTING_IN: Final = timedelta(weeks=6)
_HAIR_M: Final = 0.0005


class Extent(StrEnum):
    """How far a watering went."""

    SIP = "sip"
    HALF = "half"
    THROUGH = "through"


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """What this pot has shown before. All moments aware.

    `last_not_dry_at`: last reading of 3 or more; `first_dry_at`: first all-dry reading after it;
    `deep_one_since`: first of an unbroken row of deep readings of 1; `empty_since`: when the
    tray or reservoir was first found empty; `usual_drydown`: from a watering to the line, in
    this pot; `finished_cycles`: how often that was seen; `dry_by_drying`: when this cycle came to
    its line, by all that the pot has shown.
    """

    last_watered_at: datetime | None = None
    extent: Extent = Extent.THROUGH
    last_probe_at: datetime | None = None
    repotted_at: datetime | None = None
    arrived_at: datetime | None = None
    last_not_dry_at: datetime | None = None
    first_dry_at: datetime | None = None
    deep_one_since: datetime | None = None
    empty_since: datetime | None = None
    usual_drydown: timedelta | None = None
    finished_cycles: int = 0
    dry_by_drying: datetime | None = None

    def watered_within(self, span: timedelta, now: datetime) -> bool:
        """Whether it was watered less than `span` ago."""
        return self.last_watered_at is not None and now - self.last_watered_at < span

    def repotted_within(self, span: timedelta, now: datetime) -> bool:
        """Whether it was repotted less than `span` ago."""
        return self.repotted_at is not None and now - self.repotted_at < span


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """The plant, its pot and its place. Lengths in metres, temperature in °C, months northern.

    `wait` None: the trade's ordinary wait for a plant that is to dry through; `mix` None:
    ordinary potting mix; `dim` overrules what the light classes say; `dormant` overrules the
    calendar.
    """

    habit: Habit
    winter_habit: Habit | None = None
    wait: WaitGroup | None = None
    stores_water: bool = False
    method: Method = Method.SOIL
    good_light: LightClass | None = None
    growing_months: frozenset[int] = _NORTHERN_GROWTH
    dormant_months: frozenset[int] = frozenset()
    mix: Mix | None = None
    salty: bool = False
    top_m: float = 0.15
    fill_depth_m: float = 0.10
    hole: bool = True
    outer: bool = False
    self_watering: bool = False
    terracotta: bool = False
    light: LightClass | None = None
    dim: bool | None = None
    room_c: float | None = None
    hemisphere: Hemisphere = Hemisphere.NORTH
    outdoors: bool = False
    terrarium: bool = False
    dormant: bool | None = None

    @classmethod
    def of(
        cls,
        species: Species,
        pot: Pot,
        mix: Mix | None = None,
        *,
        light: LightClass | None = None,
        hemisphere: Hemisphere = Hemisphere.NORTH,
        outdoors: bool = False,
        dormant: bool | None = None,
        room_c: float | None = None,
        terrarium: bool = False,
    ) -> Self:
        """The situation of a known species in a known pot and place."""
        return cls(
            habit=species.habit,
            winter_habit=species.winter_habit,
            wait=species.wait,
            stores_water=species.stores_water,
            method=species.method,
            good_light=species.light.light_class,
            growing_months=species.growing_months,
            dormant_months=species.dormant_months,
            mix=mix,
            top_m=pot.nominal_m or pot.width_m,
            fill_depth_m=pot.fill_depth_m,
            hole=pot.hole,
            outer=pot.outer,
            self_watering=pot.self_watering,
            terracotta=pot.material is Material.TERRACOTTA,
            light=light,
            hemisphere=hemisphere,
            outdoors=outdoors,
            dormant=dormant,
            room_c=room_c,
            terrarium=terrarium,
        )

    @property
    def in_dim(self) -> bool:
        """Less light than the species likes."""
        if self.dim is not None:
            return self.dim
        return self.steps_too_dark > 0

    @property
    def steps_too_dark(self) -> int:
        """Light classes missing to the species' own; 0 when either is unknown."""
        if self.light is None or self.good_light is None:
            return 0
        return max(0, _LIGHT_ORDER.index(self.good_light) - _LIGHT_ORDER.index(self.light))

    @property
    def cool(self) -> bool:
        """A room in which plants drink little."""
        return self.room_c is not None and self.room_c < COOL_C

    @property
    def one_reading(self) -> bool:
        """A fill so shallow that middle and deep are the same."""
        return self.fill_depth_m <= _ONE_READING_M + _HAIR_M

    @property
    def finger_tells_all(self) -> bool:
        """A fill so shallow that a finger reaches its floor."""
        return self.fill_depth_m <= _FINGER_M + _HAIR_M

    @property
    def better_weighed(self) -> bool:
        """A pot so small that weight tells more than a meter."""
        return self.top_m < _WEIGH_UNDER_M - _HAIR_M

    def growing(self, now: datetime) -> bool:
        """Whether the plant is in its growing months and not dormant."""
        return grows(self.growing_months, now, self.hemisphere) and not self.asleep(now)

    def asleep(self, now: datetime) -> bool:
        """Whether the plant is dormant, as said or by the calendar."""
        if self.dormant is not None:
            return self.dormant
        return sleeps(self.dormant_months, now, self.hemisphere)

    def slow(self, now: datetime) -> bool:
        """The dim column of the thresholds: too dark, under 16 °C, or its resting months."""
        return self.in_dim or self.cool or not self.growing(now)

    def cool_winter(self, now: datetime) -> bool:
        """Resting and under 12 °C."""
        cold = self.room_c is not None and self.room_c < COOL_WINTER_C
        return cold and not self.growing(now)

    def habit_at(self, now: datetime) -> Habit:
        """How dry the plant wants to be now: many want it drier while they rest.

        A plant with a stated wait that otherwise drinks earlier dries through in a cool winter.
        """
        habit = self.habit
        if self.winter_habit is not None and not self.growing(now):
            habit = self.winter_habit
        waits = self.wait not in (None, WaitGroup.NONE)
        if habit is Habit.MOSTLY_DRY and waits and self.cool_winter(now):
            return Habit.DRY_THROUGH
        return habit

    def wicking(self, past: Past, now: datetime) -> bool:
        """Whether it drinks from a reservoir: not succulents, not while still rooting in."""
        if not self.self_watering or past.repotted_within(_ROOTING_IN, now):
            return False
        return self.habit_at(now) not in (Habit.DRY_THROUGH, Habit.SOAK)
