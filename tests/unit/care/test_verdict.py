"""The verdict as a whole: conversations it must support, and what holds for any reading."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.care.decision import GIVES_WATER, Ask, Decision, Facts, Reason
from core.care.reading import Found, Instrument, Layer, Level, Reading, Sign, Wetness
from core.care.season import Hemisphere
from core.care.situation import Extent, Past, Situation
from core.care.verdict import Verdict, judge
from core.care.words import reach_of, value_of
from core.knowledge.mixes import mixes
from core.knowledge.types import Habit, LightClass, Method, WaitGroup

NOW = datetime(2026, 5, 11, 8, tzinfo=UTC)
DAY = timedelta(days=1)
TALL = Situation(habit=Habit.HALF_DRY, fill_depth_m=0.14, top_m=0.2)
FERN = replace(TALL, habit=Habit.NEVER_DRY)
SUCCULENT = replace(TALL, habit=Habit.DRY_THROUGH, wait=WaitGroup.STOUT, stores_water=True)


def deep(*values: float) -> Found:
    return Found(tuple(Reading(value) for value in values))


def felt(word: Wetness, instrument: Instrument = Instrument.UNSAID) -> Found:
    return Found((Reading(value_of(word), reach_of(instrument), instrument, word),))


def verdict(found: Found, situation: Situation, past: Past | None = None) -> Verdict:
    return judge(found, situation, past or Past(), NOW)


# What a person hears


def test_a_fern_at_three_and_four_got_drier_than_it_likes() -> None:
    found = verdict(deep(3, 4), Situation(habit=Habit.NEVER_DRY))
    assert (found.decision, found.reason) == (Decision.SOAK_LATE, Reason.DRIER_THAN_LIKES)
    assert found.facts == Facts(Layer.DEEP, 3, 3)
    assert found.deep == 3.5
    assert found.next_probe is None


def test_a_fig_dry_on_one_side() -> None:
    found = verdict(deep(2, 8), TALL)
    assert (found.decision, found.reason) == (Decision.DRY_SIDE, Reason.UNEVEN)
    assert found.facts.as_args() == {"dry": 2, "wet": 8}
    assert found.next_probe is not None
    assert 2 * DAY <= found.next_probe.expected <= 4 * DAY


def test_a_snake_plant_in_low_light_that_went_dry_just_now() -> None:
    found = verdict(deep(1, 1, 1), replace(SUCCULENT, light=LightClass.LOW))
    assert found.decision is Decision.DRY_WAIT
    assert found.all_dry
    assert found.facts.as_args() == {"days": 14.0, "group": "stout", "column": "low"}


def test_uneven_but_nowhere_dry_only_waits() -> None:
    found = verdict(deep(5, 9), TALL)
    assert (found.decision, found.reason) == (Decision.WAIT, Reason.UNEVEN_NOT_DRY)


def test_the_reason_names_the_layer_that_holds_it_up() -> None:
    middle = Found((Reading(6, Layer.MIDDLE), Reading(5, Layer.DEEP)))
    assert verdict(middle, TALL).facts == Facts(Layer.MIDDLE, 6, 3)
    floor = Found((Reading(3, Layer.MIDDLE), Reading(8, Layer.DEEP)))
    assert verdict(floor, TALL).facts == Facts(Layer.DEEP, 8, 4)


def test_a_moist_surface_holds_a_fern_whose_floor_is_ready() -> None:
    found = Found((Reading(5, Layer.DEEP), Reading(6, Layer.SURFACE)))
    assert verdict(found, FERN).facts.layer is Layer.SURFACE
    assert verdict(deep(5), FERN).decision is Decision.WATER


@pytest.mark.parametrize("word", Wetness)
def test_how_it_was_felt_is_asked_only_when_it_matters(word: Wetness) -> None:
    dry = word in (Wetness.BONE_DRY, Wetness.DRY)
    assert (verdict(felt(word), TALL).ask is Ask.HOW_FELT) is dry
    assert verdict(felt(word), FERN).ask is not Ask.HOW_FELT
    assert verdict(felt(word, Instrument.STICK), TALL).ask is not Ask.HOW_FELT


def test_a_word_about_a_named_layer_needs_no_question() -> None:
    reading = Reading(2, Layer.DEEP, Instrument.UNSAID, Wetness.DRY)
    assert verdict(Found((reading,)), TALL).decision is Decision.WATER


def test_a_weighed_pot_counts_below_and_overrules_the_meter() -> None:
    weighed = Reading(6.6, Layer.WHOLE, Instrument.SCALE)
    found = verdict(Found((weighed, Reading(1))), TALL)
    assert (found.middle, found.deep, found.decision) == (7, 7, Decision.WAIT)


def test_a_pot_still_light_after_a_watering_is_believed() -> None:
    past = Past(last_watered_at=NOW - DAY / 4)
    assert verdict(deep(2), TALL, past).decision is Decision.CANT_TELL
    assert verdict(felt(Wetness.DRY, Instrument.LIFT), TALL, past).decision is Decision.WATER


@pytest.mark.parametrize("by", [Instrument.STICK, Instrument.LIFT])
def test_hands_can_say_dry_right_through(by: Instrument) -> None:
    """In grit a lift is all there is: light is as dry as it can be told, and the rest follows."""
    grit = replace(SUCCULENT, mix=mixes()["gritty"])
    for situation in (SUCCULENT, grit):
        first = verdict(felt(Wetness.DRY, by), situation)
        assert (first.decision, first.all_dry) == (Decision.DRY_WAIT, True)
        rested = Past(first_dry_at=NOW - 40 * DAY)
        assert verdict(felt(Wetness.DRY, by), situation, rested).decision is Decision.WATER
    assert verdict(felt(Wetness.BARELY_MOIST, by), SUCCULENT).decision is Decision.WAIT
    assert verdict(felt(Wetness.DRY, Instrument.FINGER), SUCCULENT).all_dry is False


def test_a_sip_wets_no_channel() -> None:
    past = Past(last_watered_at=NOW - DAY / 4, extent=Extent.SIP)
    assert verdict(deep(2), TALL, past).decision is Decision.WATER


def test_a_believed_reading_counts_beside_one_that_is_not() -> None:
    bark = replace(TALL, method=Method.BARK, habit=Habit.MOSTLY_DRY)
    lifted = Reading(2, Layer.WHOLE, Instrument.LIFT, Wetness.DRY)
    assert verdict(Found((Reading(9), lifted)), bark).decision is Decision.SOAK
    assert verdict(deep(1), bark).reason is Reason.BARK


@pytest.mark.parametrize(
    ("found", "reason", "ask"),
    [
        (Found(), Reason.NOTHING_FOUND, Ask.PROBE),
        (Found(weight_kg=1.8), Reason.WEIGHT_UNKNOWN, Ask.PROBE),
        (Found(signs=frozenset({Sign.LIMP})), Reason.SIGN_ALONE, Ask.PROBE),
        (Found(level=Level.FULL), Reason.STANDING_WATER, None),
    ],
)
def test_without_a_reading(found: Found, reason: Reason, ask: Ask | None) -> None:
    heard = verdict(found, TALL)
    assert (heard.reason, heard.ask) == (reason, ask)


def test_smell_is_looked_into_before_any_water() -> None:
    smell = frozenset({Sign.SMELL})
    assert verdict(replace(deep(8), signs=smell), TALL).decision is Decision.TOO_WET
    dry = verdict(replace(deep(1), signs=smell), SUCCULENT)
    assert (dry.decision, dry.reason) == (Decision.LEAVE, Reason.SMELL_DRY)


def test_limp_and_moist_is_told_apart_from_thirst() -> None:
    limp = replace(deep(6), signs=frozenset({Sign.LIMP}))
    assert verdict(limp, TALL).reason is Reason.LIMP_MOIST


def test_a_limp_plant_above_a_reservoir_is_no_alarm_by_its_floor() -> None:
    limp = replace(deep(9), signs=frozenset({Sign.LIMP}))
    assert verdict(limp, replace(TALL, self_watering=True)).reason is Reason.WICKING


def test_a_surface_above_a_reservoir_tells_only_when_moist() -> None:
    planter = replace(TALL, self_watering=True)
    assert verdict(felt(Wetness.DRY, Instrument.FINGER), planter).ask is Ask.MIDDLE
    assert verdict(felt(Wetness.MOIST, Instrument.FINGER), planter).decision is Decision.WAIT
    assert verdict(Found(level=Level.LOW), planter).decision is Decision.WAIT
    assert verdict(Found(level=Level.FULL), planter).reason is Reason.LEVEL_FULL


def test_a_fresh_repot_is_watered_from_the_top_and_lifted() -> None:
    planter = replace(TALL, self_watering=True)
    past = Past(repotted_at=NOW - 20 * DAY)
    assert verdict(deep(3), planter, past).decision is Decision.WATER
    fresh = verdict(deep(3), planter, Past(repotted_at=NOW - 10 * DAY))
    assert (fresh.reason, fresh.ask) == (Reason.FRESH_REPOT, Ask.LIFT)
    assert fresh.next_probe is not None
    assert fresh.next_probe.expected == 4 * DAY


def test_clay_pebbles_and_glasses_go_by_level() -> None:
    for mix in ("clay-pebbles", "water"):
        here = replace(TALL, mix=mixes()[mix])
        assert verdict(Found(level=Level.LOW), here).decision is Decision.FILL
        assert verdict(deep(1), here).reason is Reason.LEVEL_UNKNOWN
    stale = Found(level=Level.FULL, signs=frozenset({Sign.SMELL}))
    assert verdict(stale, replace(TALL, method=Method.IN_WATER)).reason is Reason.STALE_WATER


def test_an_uneven_pot_voids_the_clock_too() -> None:
    past = Past(first_dry_at=NOW - 8 * DAY)
    found = verdict(deep(1, 1, 8), SUCCULENT, past)
    assert (found.restarted, found.not_dry, found.all_dry) == (True, True, False)
    assert not verdict(deep(2, 2), SUCCULENT, past).restarted
    watered = replace(past, last_watered_at=NOW - 2 * DAY)
    assert not verdict(deep(8), SUCCULENT, watered).restarted


def test_a_habit_for_winter_holds_in_winter() -> None:
    geranium = replace(TALL, winter_habit=Habit.MOSTLY_DRY)
    january = datetime(2026, 1, 12, 8, tzinfo=UTC)
    assert judge(deep(3), geranium, Past(), january).decision is Decision.WAIT
    south = replace(geranium, hemisphere=Hemisphere.SOUTH)
    assert judge(deep(3), south, Past(), january).decision is Decision.WATER


def test_said_to_sleep_or_to_be_in_leaf_overrules_the_calendar() -> None:
    asleep = verdict(deep(1), replace(TALL, dormant=True))
    assert (asleep.decision, asleep.ask) == (Decision.LEAVE, None)


# What holds for anything anybody may type

MOMENTS = st.timedeltas(timedelta(0), timedelta(days=1400)).map(
    lambda later: datetime(2024, 1, 1, tzinfo=UTC) + later
)
MAYBE = st.none() | MOMENTS
SITUATIONS = st.builds(
    Situation,
    habit=st.sampled_from(Habit),
    winter_habit=st.none() | st.sampled_from(Habit),
    wait=st.none() | st.sampled_from(WaitGroup),
    stores_water=st.booleans(),
    method=st.sampled_from(Method),
    good_light=st.none() | st.sampled_from(LightClass),
    growing_months=st.frozensets(st.integers(1, 12)),
    dormant_months=st.frozensets(st.integers(1, 12)),
    mix=st.none() | st.sampled_from(tuple(mixes().values())),
    salty=st.booleans(),
    top_m=st.floats(0.03, 1),
    fill_depth_m=st.floats(0.02, 1),
    outer=st.booleans(),
    self_watering=st.booleans(),
    terracotta=st.booleans(),
    light=st.none() | st.sampled_from(LightClass),
    dim=st.none() | st.booleans(),
    room_c=st.none() | st.floats(2, 35),
    hemisphere=st.sampled_from(Hemisphere),
    outdoors=st.booleans(),
    terrarium=st.booleans(),
    dormant=st.none() | st.booleans(),
)
PASTS = st.builds(
    Past,
    last_watered_at=MAYBE,
    extent=st.sampled_from(Extent),
    last_probe_at=MAYBE,
    repotted_at=MAYBE,
    arrived_at=MAYBE,
    last_not_dry_at=MAYBE,
    first_dry_at=MAYBE,
    deep_one_since=MAYBE,
    empty_since=MAYBE,
    usual_drydown=st.none() | st.timedeltas(timedelta(hours=12), timedelta(days=90)),
    finished_cycles=st.integers(0, 9),
)
READINGS = st.builds(
    Reading,
    value=st.integers(1, 10).map(float) | st.floats(1, 10),
    layer=st.sampled_from(Layer),
    instrument=st.sampled_from(Instrument),
    word=st.none() | st.sampled_from(Wetness),
)
FOUNDS = st.builds(
    Found,
    readings=st.lists(READINGS, max_size=5).map(tuple),
    weight_kg=st.none() | st.floats(0.1, 50),
    level=st.none() | st.sampled_from(Level),
    signs=st.frozensets(st.sampled_from(Sign)),
)
QUIET = {Decision.WAIT, Decision.DRY_WAIT, Decision.TOO_WET, Decision.LEAVE}


@given(FOUNDS, SITUATIONS, PASTS, MOMENTS)
def test_every_check_ends_in_a_verdict(
    found: Found, situation: Situation, past: Past, now: datetime
) -> None:
    heard = judge(found, situation, past, now)
    assert heard.decision in Decision
    assert heard.reason in Reason
    assert heard == judge(found, situation, past, now)
    pours = heard.gives_water and not heard.side_dose
    assert (heard.next_probe is None) is pours
    if heard.next_probe is not None:
        window = heard.next_probe
        assert DAY <= window.expected
        assert window.earliest <= window.expected <= window.latest
    if heard.decision is Decision.DRY_WAIT:
        assert heard.until is not None
        assert heard.until > now
    if heard.decision is Decision.CANT_TELL:
        assert heard.ask is not None


@given(
    st.lists(
        st.tuples(st.sampled_from(Layer), st.sampled_from(Instrument)), min_size=1, max_size=3
    ),
    st.floats(1, 10),
    st.floats(1, 10),
    st.frozensets(st.sampled_from(Sign)),
    SITUATIONS,
    PASTS,
    MOMENTS,
)
def test_wetter_never_turns_waiting_into_water(
    places: list[tuple[Layer, Instrument]],
    one: float,
    other: float,
    signs: frozenset[Sign],
    situation: Situation,
    past: Past,
    now: datetime,
) -> None:
    def found(value: float) -> Found:
        readings = tuple(Reading(value, layer, instrument) for layer, instrument in places)
        return Found(readings, signs=signs)

    drier = judge(found(min(one, other)), situation, past, now)
    wetter = judge(found(max(one, other)), situation, past, now)
    if drier.decision in QUIET:
        assert wetter.decision not in GIVES_WATER


@given(st.lists(st.floats(1, 10), min_size=1, max_size=4), SITUATIONS, PASTS, MOMENTS)
def test_a_meter_never_waters_a_plant_in_bark(
    values: list[float], situation: Situation, past: Past, now: datetime
) -> None:
    bark = replace(situation, habit=Habit.SOAK, winter_habit=None, method=Method.BARK, mix=None)
    assert judge(deep(*values), bark, past, now).decision not in GIVES_WATER


@given(st.lists(st.floats(7, 10), min_size=1, max_size=4), SITUATIONS, PASTS, MOMENTS)
def test_a_limp_plant_in_a_wet_pot_is_never_watered(
    values: list[float], situation: Situation, past: Past, now: datetime
) -> None:
    limp = replace(deep(*values), signs=frozenset({Sign.LIMP}))
    assert judge(limp, situation, past, now).decision not in GIVES_WATER
