"""The kinds of things we know about plants: closed word lists and the records that use them.

Temperatures are degrees Celsius, light is in foot-candles (1 fc = 10.7639 lux),
months are 1 to 12 as lived in the northern half of the world (flip by six for the southern).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class Habit(StrEnum):
    """How dry a plant wants its mix to become before the next water, wettest first."""

    STAND_WET = "stand-wet"
    NEVER_DRY = "never-dry"
    TOP_DRY = "top-dry"
    HALF_DRY = "half-dry"
    MOSTLY_DRY = "mostly-dry"
    DRY_THROUGH = "dry-through"
    SOAK = "soak"


class LightClass(StrEnum):
    """Light at the leaf, dimmest first."""

    LOW = "low"
    MEDIUM = "medium"
    BRIGHT = "bright"
    SUNNY = "sunny"


class Method(StrEnum):
    """What the plant is usually grown in."""

    SOIL = "soil"
    BARK = "bark"
    NO_SOIL = "no-soil"
    IN_WATER = "in-water"


class WaterTo(StrEnum):
    """Where the water goes."""

    STEMS = "stems"
    RIM = "rim"
    CUP = "cup"
    TRAY = "tray"
    ALL_OVER = "all-over"


class WaitGroup(StrEnum):
    """How long a plant that stores water rests after it has gone dry right through."""

    NONE = "none"
    BRIEF = "brief"  # 0-2 days: Cattleya
    THIN = "thin"  # thin leaves: string of pearls, kalanchoe
    LEAFY = "leafy"  # aloe, haworthia, echeveria
    STOUT = "stout"  # snake plant, ZZ, ponytail, agave
    DESERT = "desert"  # desert cacti: the season decides
    STONES = "stones"  # living stones: the calendar decides


class Leaf(StrEnum):
    """What the leaf surface stands: smooth may be wiped, the others not."""

    SMOOTH = "smooth"
    HAIRY = "hairy"
    WAXY = "waxy"


class WaterNeed(StrEnum):
    """Which water a plant stands."""

    ANY = "any"
    LOW_SALT = "low-salt"
    RAIN = "rain"  # rain or distilled only


class Danger(StrEnum):
    """What lists of poisonous plants say for pets; there is no word for safe."""

    NOT_LISTED = "not_listed"
    UNKNOWN = "unknown"
    CONFLICTING = "conflicting"
    IRRITANT = "irritant"
    TOXIC = "toxic"
    SEVERE = "severe"


@dataclass(frozen=True, slots=True)
class Light:
    """Foot-candles: `hold` keeps the plant alive, `good` is the range in which it grows."""

    light_class: LightClass
    hold_fc: float
    good_fc: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Temperature:
    """Degrees Celsius: comfort range, growth stops below, leaves are harmed below."""

    comfort_c: tuple[float, float]
    slow_below_c: float
    damage_below_c: float


@dataclass(frozen=True, slots=True)
class Toxicity:
    """Danger for pets, the principle, what it does, and for whom a bite is an emergency.

    `harm` is what a person hears, in a few plain words; empty where nobody said it.
    """

    pets: Danger
    principle: str = ""
    harm: str = ""
    emergency: str = ""


@dataclass(frozen=True, slots=True)
class Species:
    """What we know of one species or trade group, each value with the mark of its source."""

    id: str
    name: str
    family: str
    habit: Habit
    light: Light
    temperature: Temperature
    toxicity: Toxicity
    sources: Mapping[str, str]
    common: tuple[str, ...] = ()
    synonyms: tuple[str, ...] = ()
    name_status: str = "ok"
    method: Method = Method.SOIL
    winter_habit: Habit | None = None
    water_to: WaterTo = WaterTo.STEMS
    wait: WaitGroup = WaitGroup.NONE
    stores_water: bool = False
    growing_months: frozenset[int] = field(default_factory=lambda: frozenset(range(3, 10)))
    dormant_months: frozenset[int] = frozenset()
    sensitive: frozenset[str] = frozenset()  # of "fluoride", "salt", "lime"
    water: WaterNeed = WaterNeed.ANY
    leaf: Leaf = Leaf.SMOOTH
    crown_dry: bool = False
    still_in_bud: bool = False  # turning it in bud makes the buds drop
    chill_note: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Mix:
    """A growing mix.

    `fill_share` is the k of the dose rule (litres to refill per litre of pot, from dry
    right through), `fill_share_deep` the same in fills deeper than 20 cm; both None where
    millilitres mean nothing (soak it). `coarse`: water runs past before the mix has drunk.
    `meter_ok`: whether a moisture meter can be believed in it.
    `container_capacity`, `air_space`: shares of volume after drainage, where known.
    """

    id: str
    names: tuple[str, ...]
    fill_share: float | None
    fill_share_deep: float | None
    coarse: bool
    meter_ok: bool
    container_capacity: float | None
    air_space: float | None
    source: str
