"""Hours on the wall against the IANA data as an independent library reads it (python-dateutil).

The rule for hours that the clocks skip or show twice is RFC 5545, section 3.3.5 (FROM MEMORY).
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from dateutil import tz  # type: ignore[import-untyped]

from core.care.wallclock import is_quiet, latest_at, moment_of, next_at, out_of_quiet

# (zone, the day its clocks go forward, the day they go back) in 2026; Lord Howe moves by half an
# hour, Santiago is southern, its clocks jump at midnight.
CHANGES = [
    ("Europe/Berlin", date(2026, 3, 29), date(2026, 10, 25)),
    ("America/New_York", date(2026, 3, 8), date(2026, 11, 1)),
    ("Australia/Lord_Howe", date(2026, 10, 4), date(2026, 4, 5)),
    ("America/Santiago", date(2026, 9, 6), date(2026, 4, 5)),
    ("Asia/Beirut", date(2026, 3, 29), date(2026, 10, 25)),
]
HOURS = [time(0), time(0, 30), time(1, 30), time(1, 45), time(2, 15), time(2, 30), time(8)]
DAY = timedelta(days=1)


def _by_dateutil(day: date, hour: time, zone: str) -> datetime:
    """The same moment worked out by another library: skipped hours by the offset before."""
    there = tz.gettz(zone)
    assert there is not None
    naive = datetime.combine(day, hour)
    if not tz.datetime_exists(naive, there):
        before = (naive - timedelta(hours=3)).replace(tzinfo=there).utcoffset()
        assert before is not None
        return (naive - before).replace(tzinfo=UTC)
    return naive.replace(tzinfo=there, fold=0).astimezone(tz.UTC).astimezone(UTC)


@pytest.mark.parametrize(("zone", "forward", "back"), CHANGES)
def test_each_hour_comes_once_a_day_around_both_changes(
    zone: str, forward: date, back: date
) -> None:
    here = ZoneInfo(zone)
    for change in (forward, back):
        for hour in HOURS:
            days = [change + n * DAY for n in (-2, -1, 0, 1, 2)]
            wanted = [_by_dateutil(day, hour, zone) for day in days]
            at = wanted[0] - timedelta(seconds=1)
            found = []
            for _ in days:
                at = next_at(hour, here, at)
                found.append(at)
            assert found == wanted
            assert [moment_of(day, hour, here) for day in days] == wanted
            assert [latest_at(hour, here, one + timedelta(minutes=1)) for one in wanted] == wanted


@pytest.mark.parametrize(("zone", "forward", "back"), CHANGES)
def test_the_days_named_are_those_of_the_change(zone: str, forward: date, back: date) -> None:
    there = tz.gettz(zone)
    for day, sign in ((forward, 1), (back, -1)):
        before = datetime.combine(day - DAY, time(12), there).utcoffset()
        after = datetime.combine(day + DAY, time(12), there).utcoffset()
        assert before is not None
        assert after is not None
        assert (after - before) * sign > timedelta(0)


def test_a_zone_that_left_a_day_out_has_no_round_on_it() -> None:
    """Samoa went from the 29th to the 31st of December 2011 (IANA, Pacific/Apia)."""
    here = ZoneInfo("Pacific/Apia")
    at, days = datetime(2011, 12, 28, 12, tzinfo=UTC), []
    for _ in range(4):
        at = next_at(time(8), here, at)
        days.append(at.astimezone(here).date().day)
    assert days == [28, 29, 31, 1]


def test_quiet_hours_reach_over_midnight_and_end() -> None:
    here = ZoneInfo("Europe/Berlin")
    night = (time(21), time(7))
    late = datetime(2026, 3, 28, 23, tzinfo=here)
    assert is_quiet(night, here, late)
    assert out_of_quiet(night, here, late) == datetime(2026, 3, 29, 5, tzinfo=UTC)  # summer time
    noon = datetime(2026, 3, 28, 12, tzinfo=here)
    assert not is_quiet(night, here, noon)
    assert out_of_quiet(night, here, noon) == noon
    assert not is_quiet(None, here, late)
    assert is_quiet((time(13), time(15)), here, datetime(2026, 3, 28, 14, tzinfo=here))
