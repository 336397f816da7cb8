"""The extra wait: from which day it counts and which column the place chooses."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from core.care.rest import Column, column_of, dry_since, group_of, rest
from core.care.season import Hemisphere
from core.care.situation import Past, Situation
from core.knowledge.types import Habit, LightClass, WaitGroup

NOW = datetime(2026, 5, 11, 8, tzinfo=UTC)
WINTER = datetime(2026, 12, 11, 8, tzinfo=UTC)
DAY = timedelta(days=1)
ALOE = Situation(habit=Habit.DRY_THROUGH, wait=WaitGroup.LEAFY, light=LightClass.MEDIUM)


@pytest.mark.parametrize(
    ("past", "days_ago"),
    [
        (Past(), 0),
        (Past(first_dry_at=NOW - 4 * DAY), 4),
        (Past(last_not_dry_at=NOW - 10 * DAY), 5),
        (Past(last_not_dry_at=NOW - 10 * DAY, first_dry_at=NOW - 4 * DAY), 7),
        # a reading of this cycle that was not dry, after one that was, starts again
        (Past(last_not_dry_at=NOW - 2 * DAY, first_dry_at=NOW - 4 * DAY), 1),
        # what was read before the last watering is of another cycle
        (Past(last_not_dry_at=NOW - 30 * DAY, last_watered_at=NOW - 20 * DAY), 0),
        (Past(first_dry_at=NOW - 30 * DAY, last_watered_at=NOW - 20 * DAY), 0),
    ],
)
def test_dry_since(past: Past, days_ago: float) -> None:
    assert dry_since(past, NOW) == NOW - days_ago * DAY


def test_the_wait_is_over_on_the_day_whatever_the_hour() -> None:
    wait = rest(ALOE, Past(first_dry_at=NOW), NOW)
    assert wait is not None
    assert (wait.days, wait.until) == (7, NOW + 7 * DAY)
    assert wait.over(NOW + 6.6 * DAY)
    assert not wait.over(NOW + 6.4 * DAY)


def test_a_range_is_waited_to_its_middle() -> None:
    wait = rest(replace(ALOE, light=LightClass.LOW), Past(), NOW)
    assert wait is not None
    assert [(m - NOW) / DAY for m in (wait.low, wait.until, wait.high)] == [10, 12, 14]


def test_no_wait_for_a_plant_that_takes_none() -> None:
    assert rest(replace(ALOE, wait=WaitGroup.NONE), Past(), NOW) is None


def test_an_unknown_plant_waits_as_the_trade_does() -> None:
    assert group_of(replace(ALOE, wait=None)) is WaitGroup.STOUT
    assert group_of(replace(ALOE, top_m=0.07)) is WaitGroup.THIN
    cactus = replace(ALOE, wait=WaitGroup.DESERT, top_m=0.07)
    assert group_of(cactus) is WaitGroup.DESERT


@pytest.mark.parametrize(
    ("changed", "now", "column"),
    [
        ({}, NOW, Column.BETWEEN),
        ({"light": None}, NOW, Column.BETWEEN),
        ({"light": LightClass.BRIGHT}, NOW, Column.BETWEEN),
        ({"light": LightClass.SUNNY}, NOW, Column.SUNNY),
        ({"light": LightClass.SUNNY}, WINTER, Column.BETWEEN),
        ({"light": LightClass.SUNNY, "room_c": 15.0}, NOW, Column.BETWEEN),
        ({"light": LightClass.SUNNY, "outdoors": True, "top_m": 0.12}, NOW, Column.BAKED),
        ({"light": LightClass.SUNNY, "outdoors": True, "top_m": 0.4}, NOW, Column.SUNNY),
        ({"light": LightClass.LOW}, WINTER, Column.LOW),
        ({"dim": True}, NOW, Column.LOW),
        ({"room_c": 11.0}, WINTER, Column.COOL),
        ({"room_c": 11.0}, NOW, Column.BETWEEN),
        ({"room_c": 11.0, "hemisphere": Hemisphere.SOUTH}, NOW, Column.COOL),
        ({"light": LightClass.SUNNY, "hemisphere": Hemisphere.TROPICS}, WINTER, Column.SUNNY),
        ({"wait": WaitGroup.DESERT, "room_c": 11.0}, WINTER, Column.SPRING),
        ({"wait": WaitGroup.DESERT}, WINTER, Column.SIP),
    ],
)
def test_column(changed: dict[str, object], now: datetime, column: Column) -> None:
    assert column_of(replace(ALOE, **changed), now) is column  # type: ignore[arg-type]


def test_a_winter_sip_counts_from_the_last_one() -> None:
    cactus = replace(ALOE, wait=WaitGroup.DESERT)
    sipped = Past(last_watered_at=WINTER - 10 * DAY, first_dry_at=WINTER - 5 * DAY)
    wait = rest(cactus, sipped, WINTER)
    assert wait is not None
    assert wait.until == WINTER + 20 * DAY
    never = rest(cactus, Past(), WINTER)
    assert never is not None
    assert never.until == WINTER + 30 * DAY
