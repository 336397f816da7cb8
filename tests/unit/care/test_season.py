"""Months of the north, lived in either half of the world."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.care.season import (
    Hemisphere,
    first_outside,
    grows,
    next_spring,
    northern_month,
    sleeps,
)

SUMMER = frozenset(range(3, 10))
NORTH, SOUTH, TROPICS = Hemisphere


def at(month: int, day: int = 15, year: int = 2026) -> datetime:
    return datetime(year, month, day, 8, tzinfo=UTC)


@pytest.mark.parametrize(("month", "northern"), [(1, 7), (6, 12), (7, 1), (12, 6)])
def test_six_months_on_in_the_south(month: int, northern: int) -> None:
    assert northern_month(month, SOUTH) == northern
    assert northern_month(month, NORTH) == month


@pytest.mark.parametrize("month", range(1, 13))
def test_growth_and_sleep(month: int) -> None:
    assert grows(SUMMER, at(month), NORTH) is (3 <= month <= 9)
    assert grows(SUMMER, at(month), SOUTH) is not (4 <= month <= 8)
    assert grows(SUMMER, at(month), TROPICS)
    assert not sleeps(SUMMER, at(month), TROPICS)


@pytest.mark.parametrize(
    ("now", "hemisphere", "spring"),
    [
        (at(12), NORTH, (2027, 3)),
        (at(1), NORTH, (2026, 3)),
        (at(3), NORTH, (2027, 3)),
        (at(7), SOUTH, (2026, 9)),
        (at(10), SOUTH, (2027, 9)),
    ],
)
def test_next_spring(now: datetime, hemisphere: Hemisphere, spring: tuple[int, int]) -> None:
    found = next_spring(now, hemisphere)
    assert (found.year, found.month, found.day, found.hour) == (*spring, 1, 0)


def test_first_month_outside_crosses_the_year_in_the_household_zone() -> None:
    now = datetime(2026, 12, 7, 8, tzinfo=ZoneInfo("Europe/Berlin"))
    found = first_outside(frozenset({12, 1, 2, 3, 4}), now, NORTH)
    assert found == datetime(2027, 5, 1, tzinfo=ZoneInfo("Europe/Berlin"))
    assert first_outside(frozenset({7, 8}), now, NORTH) == now


@given(st.frozensets(st.integers(1, 12)), st.sampled_from(Hemisphere), st.integers(0, 800))
def test_first_outside_is_never_in_the_past(
    months: frozenset[int], hemisphere: Hemisphere, later: int
) -> None:
    now = at(1) + timedelta(days=later)
    found = first_outside(months, now, hemisphere)
    assert found >= now
    if len(months) < 12:
        assert northern_month(found.month, hemisphere) not in months
