"""From a reading to a verdict: the rules of the trade, each with its source.

Marks: SEEN, SEEN-2ND, FROM MEMORY, COMPUTED; "common practice, no source" (CP) for facts of the
trade; G for an experienced guess, taken from the growers' review.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from core.care.decision import GIVES_WATER, Ask, Decision, Reason
from core.care.pots import resolve
from core.care.potsaid import PotSaid
from core.care.reading import Found, Instrument, Layer, Reading, Sign, Wetness
from core.care.season import Hemisphere
from core.care.situation import Past, Situation
from core.care.thresholds import LINES
from core.care.verdict import Verdict, judge
from core.care.words import reach_of, value_of
from core.knowledge.library import library
from core.knowledge.mixes import mixes
from core.knowledge.types import Habit, LightClass, Method, WaitGroup

MAY = datetime(2026, 5, 11, 8, tzinfo=UTC)
DECEMBER = datetime(2026, 12, 7, 8, tzinfo=UTC)
DAY = timedelta(days=1)

FERN = Situation(habit=Habit.NEVER_DRY, fill_depth_m=0.14, top_m=0.20)
PEACE_LILY = replace(FERN, habit=Habit.TOP_DRY)
POTHOS = replace(FERN, habit=Habit.HALF_DRY)
PEPEROMIA = replace(FERN, habit=Habit.MOSTLY_DRY, stores_water=True)
VIPER = replace(FERN, habit=Habit.DRY_THROUGH, wait=WaitGroup.STOUT, stores_water=True)
ORCHID = replace(FERN, habit=Habit.SOAK, method=Method.BARK, mix=mixes()["orchid-bark"])
ALL = [FERN, PEACE_LILY, POTHOS, PEPEROMIA, VIPER]


def deep(*values: float) -> Found:
    return Found(tuple(Reading(value) for value in values))


def depths(middle: float, at_floor: float) -> Found:
    return Found((Reading(middle, Layer.MIDDLE), Reading(at_floor, Layer.DEEP)))


def felt(word: Wetness, instrument: Instrument) -> Found:
    return Found((Reading(value_of(word), reach_of(instrument), instrument, word),))


def shown(found: Found, *signs: Sign) -> Found:
    return replace(found, signs=frozenset(signs))


def verdict(
    found: Found, situation: Situation, past: Past | None = None, now: datetime = MAY
) -> Verdict:
    return judge(found, situation, past or Past(), now)


# The scale and what reaches where


def test_dry_moist_and_wet_words_lie_in_their_zones() -> None:
    """Dry 1-3, moist 4-7, wet 8-10. CP, no source; the places within are ours."""
    zones = {
        Wetness.BONE_DRY: (1, 3),
        Wetness.DRY: (1, 3),
        Wetness.BARELY_MOIST: (4, 7),
        Wetness.MOIST: (4, 7),
        Wetness.WET: (8, 10),
        Wetness.SOGGY: (8, 10),
    }
    assert set(zones) == set(Wetness)
    for word, (low, high) in zones.items():
        assert low <= value_of(word) <= high


def test_a_finger_feels_the_surface_and_a_stick_the_floor() -> None:
    """A finger reaches 3-6 cm, a stick to the bottom, a lift the whole pot. CP, no source."""
    assert reach_of(Instrument.FINGER) is Layer.SURFACE
    assert reach_of(Instrument.STICK) is Layer.DEEP
    assert reach_of(Instrument.LIFT) is Layer.WHOLE


@pytest.mark.parametrize("situation", [POTHOS, VIPER, PEPEROMIA])
def test_a_dry_surface_is_no_dry_pot(situation: Situation) -> None:
    """Words mapped straight to the meter would water a pothos that is wet below. CP."""
    by_finger = verdict(felt(Wetness.DRY, Instrument.FINGER), situation)
    assert (by_finger.decision, by_finger.ask) == (Decision.CANT_TELL, Ask.PROBE_DEEP)
    unsaid = verdict(felt(Wetness.DRY, Instrument.UNSAID), POTHOS)
    assert (unsaid.decision, unsaid.ask) == (Decision.CANT_TELL, Ask.HOW_FELT)


@pytest.mark.parametrize("situation", [FERN, PEACE_LILY])
def test_a_dry_surface_is_enough_where_the_top_counts(situation: Situation) -> None:
    """Surface losing its dark colour (CP); water when the top inch is dry: UF/IFAS FFL Minute
    2020-10-29, SEEN; finger about an inch deep, water only if dry: UW-Madison XHT1033, SEEN."""
    found = verdict(felt(Wetness.DRY, Instrument.FINGER), situation)
    assert (found.decision, found.reason) == (Decision.WATER, Reason.SURFACE_READY)


@pytest.mark.parametrize("situation", ALL)
def test_a_moist_surface_rules_water_out(situation: Situation) -> None:
    """The floor of a pot is its wettest layer: tension rises 0.1 kPa per cm above it (Owen &
    Altland, HortScience, SEEN); so what is moist on top is moist below."""
    found = verdict(felt(Wetness.MOIST, Instrument.FINGER), situation)
    assert found.decision is Decision.WAIT


def test_in_a_shallow_pot_one_reading_is_enough() -> None:
    """Fill up to 10 cm: middle and deep are one reading. CP."""
    tall = replace(VIPER, wait=WaitGroup.NONE)
    shallow = replace(tall, fill_depth_m=0.09)
    by_middle = Found((Reading(1, Layer.MIDDLE),))
    assert verdict(by_middle, tall).decision is Decision.CANT_TELL
    assert verdict(by_middle, shallow).decision is Decision.WATER


def test_a_tiny_pot_is_better_weighed() -> None:
    """Under 8 cm weigh. CP."""
    tiny = replace(POTHOS, top_m=0.07, fill_depth_m=0.05)
    assert verdict(deep(6), tiny).ask is Ask.WEIGH
    assert verdict(deep(6), replace(tiny, top_m=0.09)).ask is None


def test_a_deep_number_alone_cannot_tell_about_the_top() -> None:
    """A deep 8-10 for days is normal in peat; these habits are about top and middle. G, CP."""
    past = Past(last_watered_at=MAY - 5 * DAY)
    for situation in (FERN, PEACE_LILY):
        assert verdict(deep(8), situation, past).ask is Ask.PROBE_MIDDLE
        assert verdict(depths(6, 8), situation, past).ask is None
    assert verdict(deep(8), POTHOS, past).ask is None


# The table of marks (all figures G; the ideas CP)

MARKS = [
    ("never-dry", FERN, (5, 4), (6, 5)),
    ("top-dry", PEACE_LILY, (4, 3), (5, 4)),
    ("half-dry", POTHOS, (3, 2), (4, 3)),
    ("mostly-dry", PEPEROMIA, (2, 1), (3, 2)),
    ("dry-through", replace(VIPER, wait=WaitGroup.NONE), (1, 1), (1, 1)),
]


@pytest.mark.parametrize("slow", [False, True], ids=["bright", "dim"])
@pytest.mark.parametrize(("name", "situation", "middle", "floor"), MARKS)
def test_every_mark_of_the_table(
    name: str,
    situation: Situation,
    middle: tuple[float, float],
    floor: tuple[float, float],
    slow: bool,  # noqa: FBT001
) -> None:
    """At the marks it is water, half a mark above either it is not."""
    assert situation.habit.value == name
    here = replace(situation, dim=slow)
    at_middle, at_floor = middle[slow], floor[slow]
    assert verdict(depths(at_middle, at_floor), here).decision in GIVES_WATER
    assert verdict(depths(at_middle + 0.5, at_floor), here).decision is Decision.WAIT
    assert verdict(depths(at_middle, at_floor + 0.5), here).decision is Decision.WAIT
    assert verdict(deep(at_floor), here).decision in GIVES_WATER
    assert verdict(deep(at_floor + 0.5), here).decision is Decision.WAIT


@pytest.mark.parametrize(
    ("here", "now"),
    [
        (replace(POTHOS, good_light=LightClass.BRIGHT, light=LightClass.LOW), MAY),
        (replace(POTHOS, room_c=15.0), MAY),
        (POTHOS, DECEMBER),
        (replace(POTHOS, hemisphere=Hemisphere.SOUTH), datetime(2026, 6, 20, tzinfo=UTC)),
    ],
    ids=["too dark", "under 16 C", "resting months", "southern winter"],
)
def test_what_counts_as_dim(here: Situation, now: datetime) -> None:
    """Below the species' good light, under 16 °C, or its resting months. G."""
    assert verdict(deep(4), POTHOS).decision is Decision.WATER
    assert verdict(deep(4), here, now=now).decision is Decision.WAIT


@pytest.mark.parametrize(
    ("found", "situation"),
    [
        (depths(3, 6), FERN),
        (depths(5, 3), FERN),
        (deep(3, 4), FERN),
        (deep(2), PEACE_LILY),
        (shown(deep(1), Sign.LIMP), POTHOS),
        (shown(deep(2), Sign.WRINKLED), PEPEROMIA),
    ],
)
def test_late_marks(found: Found, situation: Situation) -> None:
    """never-dry: middle or deep 3; top-dry: deep 2; half-dry: deep 1 and slack; mostly-dry:
    wrinkled on a dry pot. G. At 3 and 4 a fern is late."""
    assert verdict(found, situation).decision is Decision.SOAK_LATE


def test_mostly_dry_is_late_after_a_week_at_one() -> None:
    """Deep 1 for about a week. G."""
    assert verdict(deep(1), PEPEROMIA, Past(deep_one_since=MAY - 6 * DAY)).reason is Reason.READY
    late = verdict(deep(1), PEPEROMIA, Past(deep_one_since=MAY - 7 * DAY))
    assert (late.decision, late.reason) == (Decision.SOAK_LATE, Reason.DRY_FOR_A_WEEK)


def test_lowest_mark_everywhere_but_two_in_one_place_of_three() -> None:
    """dry-through: the lowest mark everywhere is CP; 2 allowed in one place of three is G."""
    here = replace(VIPER, wait=WaitGroup.NONE)
    assert verdict(deep(1, 1, 2), here).decision is Decision.WATER
    assert verdict(deep(1, 2, 2), here).decision is Decision.WAIT
    assert verdict(deep(1, 2), here).decision is Decision.WAIT
    assert verdict(deep(1, 1, 3), here).decision is Decision.WAIT


def test_the_plants_growers_were_asked_about() -> None:
    """Middle and deep marks of single species in the growers' review. G, sureness H-M."""
    marks = {
        "nephrolepis-exaltata": (5, 6),
        "spathiphyllum-wallisii": (4, 5),
        "ficus-lyrata": (3, 4),
        "ficus-benjamina": (4, 5),
        "epipremnum-aureum": (3, 4),
        "monstera-deliciosa": (3, 4),
        "dracaena-fragrans": (3, 4),
        "dracaena-reflexa-angustifolia": (3, 4),
        "dracaena-trifasciata": (1, 1),
        "zamioculcas-zamiifolia": (1, 1),
    }
    rows = {name: LINES[library().get(name).habit] for name in marks}
    found = {name: (row.middle.bright, row.deep.bright) for name, row in rows.items()}
    assert found == marks


# The order of the tests


def test_limp_on_a_wet_pot_is_never_watered() -> None:
    """Wilt with wet soil: root rot; wilt with dry, light pot: too dry; the probe separates them.
    Missouri Botanical Garden, Problems common to many indoor plants, SEEN. The mark 7: G."""
    for situation in ALL:
        wet = verdict(shown(deep(7), Sign.LIMP), situation)
        assert (wet.decision, wet.reason) == (Decision.TOO_WET, Reason.LIMP_WET)
        alone = verdict(shown(Found(), Sign.LIMP), situation)
        assert (alone.decision, alone.ask) == (Decision.CANT_TELL, Ask.PROBE)


def test_wrinkled_on_a_dry_pot_is_watered_at_once() -> None:
    """Leaves overrule the clock. CP."""
    just_dry = Past(last_not_dry_at=MAY - DAY)
    assert verdict(deep(1, 1, 1), VIPER, just_dry).decision is Decision.DRY_WAIT
    thirsty = verdict(shown(deep(1, 1, 1), Sign.WRINKLED), VIPER, just_dry)
    assert (thirsty.decision, thirsty.reason) == (Decision.WATER, Reason.WRINKLED_DRY)
    moist = verdict(shown(deep(5), Sign.WRINKLED), VIPER, just_dry)
    assert moist.decision is Decision.WAIT


@pytest.mark.parametrize("value", range(1, 11))
def test_a_meter_in_bark_never_says_water(value: int) -> None:
    """A meter in chips reads 1 the morning after a soak. CP."""
    found = verdict(deep(value), ORCHID)
    assert (found.decision, found.reason, found.ask) == (
        Decision.CANT_TELL,
        Reason.BARK,
        Ask.ROOTS,
    )


def test_an_orchid_in_bark_goes_by_roots_and_weight() -> None:
    """Roots silvery all over, pot light: soak. Orchids in bark or moss, CP."""
    assert verdict(shown(Found(), Sign.SILVERY), ORCHID).decision is Decision.SOAK
    assert verdict(felt(Wetness.DRY, Instrument.LIFT), ORCHID).decision is Decision.SOAK
    assert verdict(felt(Wetness.WET, Instrument.LIFT), ORCHID).decision is Decision.WAIT


def test_an_air_plant_is_soaked_weekly() -> None:
    """A weekly soak, dry within four hours. Trade and botanic-garden advice, CP."""
    here = Situation(habit=Habit.SOAK, method=Method.NO_SOIL)
    dry = felt(Wetness.DRY, Instrument.UNSAID)
    soaked = Past(last_watered_at=MAY - 3 * DAY)
    assert verdict(dry, here, soaked).decision is Decision.WAIT
    assert verdict(dry, here, replace(soaked, last_watered_at=MAY - 7 * DAY)).decision is (
        Decision.SOAK
    )


@pytest.mark.parametrize(
    ("here", "past", "reason"),
    [
        (replace(VIPER, mix=mixes()["gritty"]), Past(), Reason.COARSE_MIX),
        (replace(POTHOS, mix=mixes()["moss"]), Past(), Reason.BARK),
        (replace(POTHOS, salty=True), Past(), Reason.SALTY_MIX),
        (replace(POTHOS, self_watering=True), Past(), Reason.WICKING),
        (POTHOS, Past(repotted_at=MAY - 13 * DAY), Reason.FRESH_REPOT),
        (POTHOS, Past(last_watered_at=MAY - 20 * timedelta(hours=1)), Reason.JUST_WATERED),
    ],
)
@pytest.mark.parametrize("value", [1, 3])
def test_where_a_dry_number_is_not_believed(
    here: Situation, past: Past, reason: Reason, value: int
) -> None:
    """Bark, chips, moss, grit, very salty mix, a wicking planter, within two weeks of a repot,
    or dry within a day of a known watering (a channel). CP, the spans G."""
    found = verdict(deep(value), here, past)
    assert (found.decision, found.reason) == (Decision.CANT_TELL, reason)
    assert found.ask is not None
    assert found.next_probe is not None


def test_doubts_pass() -> None:
    """Two weeks after a repot, a day after a watering. CP, the spans G."""
    assert verdict(deep(3), POTHOS, Past(repotted_at=MAY - 14 * DAY)).decision is Decision.WATER
    assert verdict(deep(3), POTHOS, Past(last_watered_at=MAY - DAY)).decision is Decision.WATER


def test_uneven_before_any_averaging() -> None:
    """`1 1 8` has a median of 1 and is not "water now". A little on the dry side only for
    never-, top-, half-dry from a spread of 4; nothing for the two driest from 3. CP, marks G."""
    for situation in (FERN, PEACE_LILY, POTHOS):
        found = verdict(deep(1, 1, 8), situation)
        assert (found.decision, found.side_dose) == (Decision.DRY_SIDE, True)
        assert verdict(deep(1, 1, 4), situation).decision is not Decision.DRY_SIDE
    for situation in (PEPEROMIA, VIPER):
        for found in (verdict(deep(1, 1, 8), situation), verdict(deep(1, 4), situation)):
            assert (found.decision, found.reason) == (Decision.LEAVE, Reason.UNEVEN_ONE_WET)
        assert verdict(deep(1, 3), situation).decision is not Decision.LEAVE


def test_middle_and_deep_are_two_readings_and_no_uneven_pot() -> None:
    """The floor stays two to three marks wetter for days; 43 % of a #1 pot's water against 59 %
    in a shallow cell (Bilderback & Fonteno 1987, J. Environ. Hort. 5(4):180, SEEN)."""
    assert verdict(depths(4, 8), POTHOS).reason is Reason.ABOVE_LINE


@pytest.mark.parametrize(("dim", "least"), [(False, 5), (True, 10)])
def test_too_wet_for_too_long(dim: bool, least: int) -> None:  # noqa: FBT001
    """Deep 8 past half of this pot's own dry-down, at least 5 days bright or 10 dim. G."""
    here = replace(POTHOS, dim=dim)
    past = Past(usual_drydown=6 * DAY, finished_cycles=2)
    soon = replace(past, last_watered_at=MAY - (least - 0.1) * DAY)
    late = replace(past, last_watered_at=MAY - (least + 0.1) * DAY)
    assert verdict(deep(8), here, soon).decision is Decision.WAIT
    assert verdict(deep(8), here, late).decision is Decision.TOO_WET
    assert verdict(deep(7.5), here, late).decision is Decision.WAIT
    slow_pot = replace(late, usual_drydown=40 * DAY)
    assert verdict(deep(8), here, slow_pot).decision is Decision.WAIT
    for quiet in (
        replace(late, finished_cycles=0, usual_drydown=None),  # an unknown pot's first cycle
        replace(late, repotted_at=MAY - 10 * DAY),
        replace(late, arrived_at=MAY - 10 * DAY),
    ):
        assert verdict(deep(8), here, quiet).decision is not Decision.TOO_WET
    wicking = replace(here, self_watering=True)
    assert verdict(depths(5, 9), wicking, late).decision is Decision.WAIT


def test_a_six_inch_pot_counts_as_shallow() -> None:
    """Fill up to about 10 cm: middle and deep are one reading (CP). The trade draws its line there
    too: 'dry' is the surface in pots up to 6 in, 1-2 in down in larger ones (Growing Conditions
    for Indoor Plants, docslib 3077249, SEEN)."""
    fern = library().get("nephrolepis-exaltata")
    six_inch = Situation.of(fern, resolve(PotSaid("6 in", top_m=0.1524)))
    eight_inch = Situation.of(fern, resolve(PotSaid("8 in", top_m=0.2032)))
    assert (six_inch.one_reading, eight_inch.one_reading) == (True, False)
