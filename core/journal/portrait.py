"""A plant's state turned into what the care rules speak of: species, pot, mix, place, past."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import lru_cache
from statistics import median
from typing import Any, NamedTuple, Self

from core.care.decision import Decision
from core.care.drydown.state import House
from core.care.grown import as_grown
from core.care.intake import OwnIntake, own_intake
from core.care.light import LightGuess, outside, place
from core.care.pots import PotUnclearError, resolve, with_depth
from core.care.potsaid import PotSaid
from core.care.potshape import Pot
from core.care.reading import Found, Instrument, Layer, Reading
from core.care.season import Hemisphere
from core.care.situation import COOL_C, COOL_WINTER_C, Extent, Past, Situation
from core.care.substrate import WeightEnds, missing_by_weight_l, reading_from_weight
from core.journal.events import Spot
from core.journal.plants import name_key
from core.journal.settings import Settings
from core.journal.state import NEVER, PlantState
from core.knowledge.library import careful_default, library
from core.knowledge.mixes import mixes, usual_mix
from core.knowledge.types import Habit, LightClass, Method, Mix, Species

_FROM_TOP = frozenset({Decision.WATER.value, Decision.SOAK_LATE.value})

# What a pot is taken for until somebody says: the commonest size on a windowsill (ours).
_USUAL_POT = PotSaid(said="", top_m=0.15)


# A room is warm, cool, or has a cool winter: no rule knows more of it, so a degree more or less
# changes nothing and no journal is read again for it.
_BANDS_C = ((COOL_WINTER_C, COOL_WINTER_C - 1), (COOL_C, COOL_C - 1))
_WARM_C = 20.0


@dataclass(frozen=True, slots=True)
class Home:
    """What of a household bears on care. `house`: what its pots' drying has in common.

    `rooms`: how warm those are of which that is known, C, no finer than the rules ask.
    """

    hemisphere: Hemisphere = Hemisphere.NORTH
    house: House | None = None
    rooms: tuple[tuple[str, float], ...] = ()

    @classmethod
    def of(cls, ways: Settings) -> Self:
        """The home that a household's settings describe."""
        told = ((one.key, one.celsius) for one in ways.air if one.celsius is not None)
        return cls(ways.hemisphere, rooms=tuple((key, _band(celsius)) for key, celsius in told))

    def celsius_in(self, room: str) -> float | None:
        """How warm a room is, C; None where nobody told."""
        return dict(self.rooms).get(name_key(room)) if self.rooms else None


def _band(celsius: float) -> float:
    return next((within for below, within in _BANDS_C if celsius < below), _WARM_C)


@dataclass(frozen=True, slots=True)
class Portrait:
    """One plant as the care rules see it.

    `middle` and `deep`: medians of the last check. `from_top`: its verdict was water, not a fill,
    which in a pot with a reservoir means once from above.
    """

    species: Species
    pot: Pot
    mix: Mix
    light: LightClass | None
    situation: Situation
    past: Past
    ends: WeightEnds | None
    own: OwnIntake | None
    middle: float | None
    deep: float | None
    missing_l: float | None
    from_top: bool

    @property
    def unmeasured(self) -> bool:
        """Watered by time or level, so that its pot's size doesn't matter."""
        by_habit = self.species.habit in (Habit.SOAK, Habit.STAND_WET)
        by_method = self.species.method in (Method.NO_SOIL, Method.IN_WATER)
        return by_habit or by_method or self.mix.fill_share is None


class Standing(NamedTuple):
    """What a plant is and how it stands, whatever happened to it."""

    species: Species
    pot: Pot
    mix: Mix
    light: LightClass | None
    situation: Situation


def standing(state: PlantState, home: Home) -> Standing:
    """Species, pot and place of a plant, from what the journal makes of it."""
    kind = species_of(state)
    pot = pot_of(state)
    mix = mixes()[state.mix] if state.mix in mixes() else usual_mix(kind.method)
    species = as_grown(kind, mix)
    light = light_of(state.spot, home)
    situation = Situation.of(
        species,
        pot,
        mix,
        light=light,
        hemisphere=home.hemisphere,
        outdoors=state.spot.outdoors,
        dormant=state.resting,
        room_c=None if state.spot.outdoors else home.celsius_in(state.spot.room),
        terrarium=bool(state.terrarium),
    )
    return Standing(species, pot, mix, light, situation)


def portrait(state: PlantState, home: Home) -> Portrait:
    """The plant as the rules see it, from what the journal makes of it."""
    return _drawn(state, *standing(state, home))


def anew(seen: Portrait, state: PlantState) -> Portrait:
    """The same plant in its place, once something happened to it that changes neither."""
    return _drawn(state, seen.species, seen.pot, seen.mix, seen.light, seen.situation)


def _drawn(
    state: PlantState,
    species: Species,
    pot: Pot,
    mix: Mix,
    light: LightClass | None,
    situation: Situation,
) -> Portrait:
    ends = ends_of(state)
    readings = last_readings(state, ends)
    return Portrait(
        species=species,
        pot=pot,
        mix=mix,
        light=light,
        situation=situation,
        past=past_of(state),
        ends=ends,
        own=own_intake(pot, state.drinks),
        middle=of_layer(readings, Layer.MIDDLE),
        deep=of_layer(readings, Layer.DEEP),
        missing_l=_missing(state, ends),
        from_top=state.judged is not None and state.judged.decision in _FROM_TOP,
    )


def deep_of(state: PlantState) -> float | None:
    """The last deep reading, if no water has been given since."""
    return of_layer(last_readings(state, ends_of(state)), Layer.DEEP)


def species_of(state: PlantState) -> Species:
    """The species, or the careful default for one that nobody could name."""
    known = library()
    return known.get(state.species_id) if state.species_id in known else careful_default()


@lru_cache(maxsize=4096)
def _resolved(said: PotSaid, depth: str) -> Pot:
    pot = resolve(said)
    if not depth:
        return pot
    try:
        return with_depth(pot, depth)
    except PotUnclearError:
        return pot


def pot_of(state: PlantState) -> Pot:
    """The pot worked out, with what was told about it later."""
    try:
        pot = _resolved(state.pot or _USUAL_POT, state.depth)
    except PotUnclearError:
        pot = _resolved(_USUAL_POT, "")
    told = {"hole": state.hole, "outer": state.outer, "self_watering": state.self_watering}
    later: dict[str, Any] = {name: value for name, value in told.items() if value is not None}
    return replace(pot, **later) if later else pot


def light_of(spot: Spot, home: Home) -> LightClass | None:
    """The light class that was said, or that the window gives; None when nothing is known."""
    if spot.light:
        return LightClass(spot.light)
    guess = guess_light(spot, home)
    return guess.light if guess is not None else None


def guess_light(spot: Spot, home: Home) -> LightGuess | None:
    """The light that a window or a balcony gives; None where neither was told."""
    if spot.outdoors:
        return outside(spot.facing or "S", hemisphere=home.hemisphere)
    if not spot.facing:
        return None
    return _placed(spot.facing, spot.distance_m, home.hemisphere, curtain=spot.curtain)


@lru_cache(maxsize=512)
def _placed(
    facing: str, distance_m: float | None, hemisphere: Hemisphere, *, curtain: bool
) -> LightGuess:
    return place(facing, distance_m, curtain=curtain, hemisphere=hemisphere)


def past_of(state: PlantState) -> Past:
    """What this pot has shown before."""
    watered = state.watered
    usual = median(state.drydowns_d) if state.drydowns_d else None
    return Past(
        last_watered_at=watered.at if watered else None,
        extent=Extent(watered.extent) if watered else Extent.THROUGH,
        last_probe_at=state.probed.at if state.probed else None,
        repotted_at=state.repotted_at,
        arrived_at=state.arrived_at if state.arrived_at != NEVER else None,
        last_not_dry_at=state.last_not_dry_at,
        first_dry_at=state.first_dry_at,
        deep_one_since=state.deep_one_since,
        empty_since=state.empty_since,
        usual_drydown=timedelta(days=usual) if usual is not None else None,
        finished_cycles=len(state.drydowns_d),
    )


def ends_of(state: PlantState) -> WeightEnds | None:
    """What the pot weighs dry and wet; None until both are known."""
    wet, dry = state.wet_kg, state.dry_kg
    return WeightEnds(dry, wet) if wet is not None and dry is not None and 0 < dry < wet else None


def with_weight(found: Found, ends: WeightEnds | None) -> Found:
    """A weighed pot as a reading of the whole of it, once its two weights are known."""
    if found.weight_kg is None or ends is None:
        return found
    value = reading_from_weight(found.weight_kg, ends)
    weighed = Reading(value, Layer.WHOLE, Instrument.SCALE)
    return replace(found, readings=(*found.readings, weighed))


def last_readings(state: PlantState, ends: WeightEnds | None) -> tuple[Reading, ...]:
    """Readings of the last check, if no water has been given since."""
    if state.probed is None or _watered_since(state, state.probed.at):
        return ()
    return with_weight(state.probed.found, ends).readings


def _watered_since(state: PlantState, moment: datetime) -> bool:
    return state.watered is not None and state.watered.at > moment


def _missing(state: PlantState, ends: WeightEnds | None) -> float | None:
    if state.probed is None or ends is None or _watered_since(state, state.probed.at):
        return None
    weight = state.probed.found.weight_kg
    return None if weight is None else missing_by_weight_l(weight, ends)


def of_layer(readings: Iterable[Reading], layer: Layer) -> float | None:
    """The median of a layer's readings; a lifted or weighed pot speaks for every layer."""
    values = [one.value for one in readings if one.layer in (layer, Layer.WHOLE)]
    return median(values) if values else None
