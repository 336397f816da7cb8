"""Which readings count, and how they are sorted by depth."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from core.care.belief import Doubt, doubt, sift
from core.care.evidence import gather
from core.care.reading import Instrument, Layer, Reading, Wetness
from core.care.situation import Past, Situation
from core.care.words import reach_of, value_of
from core.knowledge.mixes import mixes
from core.knowledge.types import Habit, Method

NOW = datetime(2026, 5, 11, 8, tzinfo=UTC)
DAY = timedelta(days=1)
TALL = Situation(habit=Habit.HALF_DRY, fill_depth_m=0.14)
BY_STICK = Reading(2, Layer.DEEP, Instrument.STICK, Wetness.DRY)
LIFTED = Reading(2, Layer.WHOLE, Instrument.LIFT, Wetness.DRY)


@pytest.mark.parametrize("mix", mixes().values(), ids=mixes())
def test_a_meter_is_believed_where_the_mix_allows(mix: object) -> None:
    here = replace(TALL, mix=mix)  # type: ignore[arg-type]
    found = doubt(Reading(2), here, Past(), NOW)
    assert (found is None) is here.mix.meter_ok  # type: ignore[union-attr]
    assert doubt(LIFTED, here, Past(), NOW) is None


def test_touch_is_no_matter_of_salt_or_grit() -> None:
    for here in (replace(TALL, salty=True), replace(TALL, mix=mixes()["gritty"])):
        assert doubt(BY_STICK, here, Past(), NOW) is None
        assert doubt(Reading(2), here, Past(), NOW) is not None


def test_only_weight_survives_a_repot() -> None:
    past = Past(repotted_at=NOW - 3 * DAY)
    assert doubt(BY_STICK, TALL, past, NOW) is Doubt.FRESH_REPOT
    assert doubt(LIFTED, TALL, past, NOW) is None


def test_wicking_hides_the_floor_and_nothing_else() -> None:
    here = replace(TALL, self_watering=True)
    assert doubt(Reading(9), here, Past(), NOW) is Doubt.WICKING
    assert doubt(Reading(9, Layer.MIDDLE), here, Past(), NOW) is None


@pytest.mark.parametrize(("habit", "value"), [(Habit.HALF_DRY, 4), (Habit.NEVER_DRY, 6)])
def test_ready_again_within_a_day_is_a_channel(habit: Habit, value: float) -> None:
    here, past = replace(TALL, habit=habit), Past(last_watered_at=NOW - DAY / 2)
    assert doubt(Reading(value), here, past, NOW) is Doubt.JUST_WATERED
    assert doubt(Reading(value + 1), here, past, NOW) is None


def test_bark_by_plant_or_by_mix() -> None:
    for here in (
        replace(TALL, habit=Habit.SOAK),
        replace(TALL, method=Method.BARK),
        replace(TALL, mix=mixes()["orchid-bark"]),
    ):
        assert doubt(Reading(1), here, Past(), NOW) is Doubt.BARK


def test_sifting_keeps_what_counts_and_the_first_doubt() -> None:
    here = replace(TALL, method=Method.BARK)
    kept = sift([Reading(1), LIFTED], here, Past(), NOW)
    assert (kept.readings, kept.doubt) == ((LIFTED,), Doubt.BARK)


def test_readings_sort_by_depth() -> None:
    readings = [Reading(2), Reading(8), Reading(5, Layer.MIDDLE), Reading(3, Layer.SURFACE)]
    found = gather(readings, TALL)
    assert (found.surface, found.middle, found.deep) == ((3,), (5,), (2, 8))
    assert found.deep_median == 5
    assert found.spread is not None
    assert found.spread.marks == 6


def test_lift_and_weight_stand_for_the_whole_pot() -> None:
    assert gather([LIFTED, Reading(4)], TALL).below == (2, 4, 2)
    weighed = Reading(3.4, Layer.WHOLE, Instrument.SCALE)
    assert gather([weighed, Reading(9)], TALL).below == (3, 3)


def test_shallow_pots_have_one_depth() -> None:
    shallow = replace(TALL, fill_depth_m=0.1)
    assert gather([Reading(4, Layer.MIDDLE)], shallow).deep == (4,)
    both = gather([Reading(4, Layer.MIDDLE), Reading(6)], shallow)
    assert (both.middle, both.deep) == ((4,), (6,))
    finger = Reading(2, Layer.SURFACE, Instrument.FINGER)
    assert gather([finger], shallow).below == ()
    assert gather([finger], replace(TALL, fill_depth_m=0.06)).deep == (2,)


def test_every_word_and_instrument_has_its_place() -> None:
    values = [value_of(word) for word in Wetness]
    assert values == sorted(set(values))
    assert {reach_of(instrument) for instrument in Instrument} == {
        Layer.SURFACE,
        Layer.DEEP,
        Layer.WHOLE,
    }
