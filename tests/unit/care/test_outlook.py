"""A night's low out of a forecast's hours: the place's own night, and nothing made up."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from core.care.outlook import Extreme, Hour, clouds, day_high, night_low

BERLIN = ZoneInfo("Europe/Berlin")
MONDAY = date(2026, 3, 2)
SINCE = datetime(2026, 3, 2, 6, tzinfo=UTC)


def series(
    celsius: Callable[[datetime], float | None], hours: int = 72, since: datetime = SINCE
) -> list[Hour]:
    moments = [since + timedelta(hours=n) for n in range(hours)]
    return [Hour(at, value) for at in moments if (value := celsius(at)) is not None]


def test_the_low_is_that_of_the_night_and_not_of_the_calendar_day() -> None:
    """Colder at one o'clock on Monday morning than ever in the night to come."""
    found = night_low(
        series(lambda at: -9.0 if at.astimezone(BERLIN).date() == MONDAY and at.hour < 8 else 3.0),
        MONDAY,
        BERLIN,
        SINCE,
    )
    assert found is not None
    assert found.celsius == 3.0


def test_what_comes_after_midnight_belongs_to_the_evening_before() -> None:
    cold = datetime(2026, 3, 3, 5, tzinfo=BERLIN)
    found = night_low(series(lambda at: -4.0 if at == cold else 2.0), MONDAY, BERLIN, SINCE)
    assert found == Extreme(-4.0, cold)


def test_missing_hours_are_not_made_up_and_not_zero() -> None:
    evening = datetime(2026, 3, 2, 22, tzinfo=BERLIN)
    gap = timedelta(hours=4)
    holed = series(lambda at: None if evening < at < evening + gap else 5.0)
    assert night_low(holed, MONDAY, BERLIN, SINCE) is None
    narrow = series(lambda at: None if evening < at < evening + timedelta(hours=3) else 5.0)
    found = night_low(narrow, MONDAY, BERLIN, SINCE)
    assert found is not None
    assert found.celsius == 5.0
    assert night_low([], MONDAY, BERLIN, SINCE) is None


def test_a_forecast_that_ends_before_the_morning_says_nothing() -> None:
    assert night_low(series(lambda _: 5.0, hours=20), MONDAY, BERLIN, SINCE) is None


def test_of_a_night_under_way_only_what_is_still_to_come_counts() -> None:
    late = datetime(2026, 3, 3, 1, tzinfo=UTC)
    found = night_low(series(lambda _: 1.0, since=late), MONDAY, BERLIN, late)
    assert found is not None
    over = datetime(2026, 3, 3, 12, tzinfo=UTC)
    assert night_low(series(lambda _: 1.0, since=over), MONDAY, BERLIN, over) is None


@pytest.mark.parametrize(
    ("zone", "evening", "hours"),
    [
        ("Europe/Berlin", date(2026, 3, 28), 14),
        ("Europe/Berlin", date(2026, 10, 24), 16),
        ("Australia/Lord_Howe", date(2026, 4, 4), 15.5),
        ("Australia/Lord_Howe", date(2026, 10, 3), 14.5),
        ("America/Santiago", date(2026, 4, 4), 16),
    ],
)
def test_a_night_in_which_the_clocks_change(zone: str, evening: date, hours: float) -> None:
    """Changes of the clocks: IANA time zone database, by the tzdata package. From 18 to 9."""
    wall = ZoneInfo(zone)
    begin = datetime.combine(evening, datetime.min.time(), wall).replace(hour=18)
    end = (begin + timedelta(days=1)).replace(hour=9)
    assert (end.astimezone(UTC) - begin.astimezone(UTC)) == timedelta(hours=hours)
    whole = series(lambda _: 5.0, since=begin.astimezone(UTC) - timedelta(hours=2))
    last = end.astimezone(UTC) - timedelta(minutes=30)
    coldest = Hour(last, -1.0)
    found = night_low([*whole, coldest], evening, wall, begin - timedelta(days=1))
    assert found == Extreme(-1.0, last)


def test_a_days_high_and_its_clouds() -> None:
    noon = datetime(2026, 3, 3, 13, tzinfo=BERLIN)
    found = day_high(
        series(lambda at: 30.0 if at == noon else 20.0), date(2026, 3, 3), BERLIN, SINCE
    )
    assert found == Extreme(30.0, noon)
    hours = [Hour(noon, 20, 10.0), Hour(noon + timedelta(hours=1), 20, 50.0), Hour(SINCE, 9, 100.0)]
    assert clouds(hours, noon, noon + timedelta(hours=2)) == 30.0
    assert clouds([Hour(noon, 20)], noon, noon) is None
