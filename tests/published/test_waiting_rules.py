"""Dry, but wait; levels instead of readings; when to probe: the rules, each with its source.

Marks: SEEN, SEEN-2ND, FROM MEMORY, COMPUTED; "common practice, no source" (CP) for facts of the
trade; G for an experienced guess, taken from the growers' review.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from core.care.decision import Ask, Decision, Reason
from core.care.interval import first_guess
from core.care.reading import Found, Layer, Level, Reading, Sign
from core.care.rest import Column, rest
from core.care.season import Hemisphere
from core.care.situation import Past, Situation
from core.care.verdict import Verdict, judge
from core.knowledge.library import library
from core.knowledge.types import Habit, LightClass, WaitGroup

MAY = datetime(2026, 5, 11, 8, tzinfo=UTC)
DECEMBER = datetime(2026, 12, 7, 8, tzinfo=UTC)
DAY = timedelta(days=1)

FERN = Situation(habit=Habit.NEVER_DRY, fill_depth_m=0.14, top_m=0.20)
PEACE_LILY = replace(FERN, habit=Habit.TOP_DRY)
POTHOS = replace(FERN, habit=Habit.HALF_DRY)
PEPEROMIA = replace(FERN, habit=Habit.MOSTLY_DRY, stores_water=True)
VIPER = replace(FERN, habit=Habit.DRY_THROUGH, wait=WaitGroup.STOUT, stores_water=True)
CACTUS = replace(VIPER, wait=WaitGroup.DESERT)
ALL = [FERN, PEACE_LILY, POTHOS, PEPEROMIA, VIPER]


def deep(*values: float) -> Found:
    return Found(tuple(Reading(value) for value in values))


def depths(middle: float, at_floor: float) -> Found:
    return Found((Reading(middle, Layer.MIDDLE), Reading(at_floor, Layer.DEEP)))


def shown(found: Found, *signs: Sign) -> Found:
    return replace(found, signs=frozenset(signs))


def verdict(
    found: Found, situation: Situation, past: Past | None = None, now: datetime = MAY
) -> Verdict:
    return judge(found, situation, past or Past(), now)


# The extra wait: columns sunny, between, low, cool winter

WAITS = [
    (WaitGroup.STOUT, Column.SUNNY, (7, 7)),  # CP
    (WaitGroup.STOUT, Column.BETWEEN, (10, 10)),  # CP
    (WaitGroup.STOUT, Column.LOW, (14, 14)),  # CP
    (WaitGroup.STOUT, Column.COOL, (21, 42)),  # G, as all that follow unless marked
    (WaitGroup.LEAFY, Column.SUNNY, (3, 7)),
    (WaitGroup.LEAFY, Column.BETWEEN, (7, 7)),
    (WaitGroup.LEAFY, Column.LOW, (10, 14)),
    (WaitGroup.LEAFY, Column.COOL, (14, 30)),
    (WaitGroup.THIN, Column.SUNNY, (0, 3)),
    (WaitGroup.THIN, Column.BETWEEN, (3, 3)),
    (WaitGroup.THIN, Column.LOW, (7, 7)),
    (WaitGroup.THIN, Column.COOL, (14, 14)),
    (WaitGroup.DESERT, Column.SUNNY, (0, 7)),  # CP in direction
    (WaitGroup.DESERT, Column.BETWEEN, (7, 7)),  # CP in direction
    (WaitGroup.BRIEF, Column.SUNNY, (0, 2)),  # CP
    (WaitGroup.BRIEF, Column.BETWEEN, (0, 2)),  # CP
    (WaitGroup.BRIEF, Column.COOL, (4, 7)),  # CP
]


@pytest.mark.parametrize(("group", "column", "days"), WAITS)
def test_extra_wait_by_group_and_place(
    group: WaitGroup, column: Column, days: tuple[int, int]
) -> None:
    here = replace(VIPER, wait=group, good_light=LightClass.LOW)
    situation, now = {
        Column.SUNNY: (replace(here, light=LightClass.SUNNY), MAY),
        Column.BETWEEN: (replace(here, light=LightClass.MEDIUM), MAY),
        Column.LOW: (replace(here, light=LightClass.LOW), MAY),
        Column.COOL: (replace(here, room_c=10.0), DECEMBER),
    }[column]
    wait = rest(situation, Past(), now)
    assert wait is not None
    span = ((wait.low - now) / DAY, (wait.high - now) / DAY)
    assert (wait.column, span) == (column, days)
    assert wait.low <= wait.until <= wait.high


def test_a_snake_plant_in_low_light_rests_two_weeks_and_one_probe_more() -> None:
    """+2 weeks in low light, then one more probe, and if it still reads 1, water. CP."""
    here = replace(VIPER, light=LightClass.LOW)
    first = verdict(deep(1, 1, 1), here)
    assert (first.decision, first.reason) == (Decision.DRY_WAIT, Reason.RESTING_UNTIL)
    assert first.until == MAY + 14 * DAY
    assert first.next_probe is not None
    assert first.next_probe.expected == 14 * DAY
    past = Past(first_dry_at=MAY)
    assert verdict(deep(1), here, past, MAY + 13 * DAY).decision is Decision.DRY_WAIT
    assert verdict(deep(1), here, past, MAY + 14 * DAY).decision is Decision.WATER
    again = verdict(deep(3), here, past, MAY + 14 * DAY)
    assert (again.decision, again.restarted) == (Decision.WAIT, True)


def test_waiting_counts_from_the_best_estimate_of_the_dry_day() -> None:
    """Between the last not-dry and the first dry reading, not from the day somebody looked:
    after five weeks away nobody should wait two more. G."""
    here = replace(VIPER, light=LightClass.LOW)
    away = Past(last_not_dry_at=MAY - 35 * DAY)
    assert verdict(deep(1), here, away).decision is Decision.WATER
    near = Past(last_not_dry_at=MAY - 4 * DAY, first_dry_at=MAY - 2 * DAY)
    assert verdict(deep(1), here, near).until == MAY - 3 * DAY + 14 * DAY


def test_any_pot_under_8_cm_waits_as_the_thin_leaved() -> None:
    """G."""
    tiny = replace(VIPER, light=LightClass.LOW, top_m=0.07, fill_depth_m=0.05)
    assert verdict(deep(1), tiny).until == MAY + 7 * DAY


def test_a_sun_baked_small_pot_outdoors_waits_three_days_at_most() -> None:
    """0-3 days. G."""
    wait = rest(replace(VIPER, light=LightClass.SUNNY, outdoors=True, top_m=0.12), Past(), MAY)
    assert wait is not None
    assert wait.high - MAY == 3 * DAY


@pytest.mark.parametrize(
    ("hemisphere", "now", "spring"),
    [
        (Hemisphere.NORTH, DECEMBER, datetime(2027, 3, 1, tzinfo=UTC)),
        (Hemisphere.SOUTH, datetime(2026, 6, 7, 8, tzinfo=UTC), datetime(2026, 9, 1, tzinfo=UTC)),
    ],
)
def test_desert_cacti_stay_dry_through_a_cool_winter(
    hemisphere: Hemisphere, now: datetime, spring: datetime
) -> None:
    """Dry until about March; the season decides, not the reading. CP; September in the south."""
    here = replace(CACTUS, room_c=10.0, hemisphere=hemisphere)
    months_dry = Past(first_dry_at=now - 60 * DAY)
    found = verdict(deep(1), here, months_dry, now)
    assert (found.decision, found.reason) == (Decision.DRY_WAIT, Reason.WINTER_REST)
    assert found.until == spring
    shrivelled = verdict(shown(deep(1), Sign.WRINKLED), here, months_dry, now)
    assert shrivelled.decision is Decision.DRY_WAIT


def test_desert_cacti_sip_monthly_in_a_warm_winter_room() -> None:
    """A sip a month in a warm room. CP."""
    here = replace(CACTUS, room_c=20.0)
    past = Past(first_dry_at=DECEMBER - 9 * DAY, last_watered_at=DECEMBER - 20 * DAY)
    assert verdict(deep(1), here, past, DECEMBER).decision is Decision.DRY_WAIT
    month = verdict(deep(1), here, past, DECEMBER + 10 * DAY)
    assert (month.decision, month.reason) == (Decision.WATER, Reason.WINTER_SIP)


def test_a_desert_cactus_in_low_light_should_be_moved() -> None:
    """Move it. CP in direction."""
    assert verdict(deep(1), replace(CACTUS, light=LightClass.LOW)).reason is Reason.TOO_DARK


def test_living_stones_go_by_the_calendar() -> None:
    """None while old leaves shrivel and in high summer. CP."""
    stones = library().get("lithops")
    here = replace(
        VIPER,
        wait=stones.wait,
        growing_months=stones.growing_months,
        dormant_months=stones.dormant_months,
    )
    long_dry = Past(first_dry_at=datetime(2026, 1, 1, tzinfo=UTC))
    for month, waters in ((2, False), (4, False), (6, True), (7, False), (8, False), (10, True)):
        now = datetime(2026, month, 20, 8, tzinfo=UTC)
        found = verdict(shown(deep(1), Sign.WRINKLED), here, long_dry, now)
        assert (found.decision is Decision.WATER) is waters, month


def test_a_plant_without_extra_wait_drinks_when_dry() -> None:
    """Desert rose in summer: water as it dries, no wait; winter leafless and dry. CP, H."""
    rose = library().get("adenium-obesum")
    here = replace(VIPER, wait=rose.wait, dormant_months=rose.dormant_months)
    assert verdict(deep(1), here).decision is Decision.WATER
    asleep = verdict(deep(1), here, now=DECEMBER)
    assert (asleep.decision, asleep.reason) == (Decision.LEAVE, Reason.DORMANT)


# Plants that stand in water, reservoirs, and what else people have


def test_plants_that_stand_wet_go_by_the_level() -> None:
    """Level, not reading; bog plants never the alarm; empty is late. CP."""
    bog = Situation(habit=Habit.STAND_WET)
    past = Past(last_watered_at=MAY - 30 * DAY, usual_drydown=5 * DAY, finished_cycles=3)
    assert verdict(Found(level=Level.EMPTY), bog, past).decision is Decision.FILL
    assert verdict(Found(level=Level.FULL), bog, past).decision is Decision.LEAVE
    number = verdict(deep(10), bog, past)
    assert (number.decision, number.ask) == (Decision.CANT_TELL, Ask.LEVEL)


def test_self_watering_pots_are_read_in_the_middle_and_stand_empty_for_days() -> None:
    """Read the middle; empty 2-7 days before the next fill. An interior landscaper's published
    practice, tdplants.com 2015."""
    here = replace(POTHOS, self_watering=True)
    assert verdict(depths(6, 9), here).decision is Decision.WAIT
    assert verdict(depths(3, 9), here).decision is Decision.FILL
    for habit in (Habit.NEVER_DRY, Habit.TOP_DRY, Habit.HALF_DRY, Habit.MOSTLY_DRY):
        planter, empty = replace(here, habit=habit), Found(level=Level.EMPTY)
        since = Past(empty_since=MAY)
        assert verdict(empty, planter, since, MAY + 1.9 * DAY).decision is Decision.WAIT
        assert verdict(empty, planter, since, MAY + 7 * DAY).decision is Decision.FILL


def test_a_dry_wick_is_started_from_the_top() -> None:
    """A dry wick stops working: then water once from the top. CP."""
    here = replace(FERN, self_watering=True)
    full = replace(depths(2, 9), level=Level.FULL)
    assert verdict(full, here).reason is Reason.WICK_DRY


def test_self_watering_is_not_for_plants_that_dry_through() -> None:
    """Not for dry-through plants. CP."""
    assert verdict(deep(8), replace(VIPER, self_watering=True)).decision is Decision.WAIT


def test_noon_wilt_outdoors_is_no_thirst() -> None:
    """A balcony in summer: noon wilt isn't thirst. CP."""
    found = verdict(shown(deep(8), Sign.LIMP), replace(FERN, outdoors=True))
    assert (found.decision, found.reason) == (Decision.LEAVE, Reason.NOON_WILT)


def test_terrariums_get_no_dose() -> None:
    """No dose, open when it fogs. CP."""
    assert verdict(deep(1), replace(FERN, terrarium=True)).reason is Reason.TERRARIUM


def test_dormant_plants_are_left_dry() -> None:
    """Amaryllis, caladium, alocasia: dormant. CP."""
    caladium = replace(FERN, dormant_months=frozenset({11, 12, 1, 2, 3}))
    asleep = verdict(deep(2), caladium, now=DECEMBER)
    assert (asleep.decision, asleep.ask) == (Decision.LEAVE, Ask.IN_LEAF)
    in_leaf = replace(caladium, dormant=False)
    assert verdict(deep(2), in_leaf, now=DECEMBER).decision is Decision.SOAK_LATE


# When to probe


def test_first_probe_of_an_unknown_pot() -> None:
    """By day 3; dry-through by day 7 and then every 7-10 days (CP): every probe is a wound."""
    watered = Past(last_watered_at=MAY)
    for situation in ALL:
        limit = 7 if situation.habit is Habit.DRY_THROUGH else 3
        window = first_guess(situation, watered, MAY)
        assert window.earliest <= window.expected <= limit * DAY
    later = first_guess(VIPER, watered, MAY, reading=8)
    assert 7 * DAY <= later.expected <= 10 * DAY
