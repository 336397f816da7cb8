"""Days that are over or under way, on the household's wall."""

from __future__ import annotations

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from bot.talk.grammar.pastdays import read_days
from bot.talk.grammar.refusal import Unclear

HERE = ZoneInfo("America/Chicago")
# A Thursday there; in UTC it is Friday already.
NOW = datetime(2026, 3, 6, 2, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("said", "first", "last"),
    [
        ("today", 5, 5),
        ("this morning", 5, 5),
        ("yesterday?", 4, 4),
        ("monday", 2, 2),
        ("on Tuesday", 3, 3),
        ("2 days ago", 3, 3),
        ("2026-03-01", 1, 1),
        ("this week", 2, 5),
    ],
)
def test_days_by_the_wall(said: str, first: int, last: int) -> None:
    assert read_days(said, NOW, HERE) == (date(2026, 3, first), date(2026, 3, last))


def test_last_week_is_monday_to_sunday() -> None:
    week = (date(2026, 2, 23), date(2026, 3, 1))
    assert read_days("last week", NOW, HERE) == week == read_days("the past week", NOW, HERE)


def test_months_are_those_of_the_calendar() -> None:
    assert read_days("this month", NOW, HERE) == (date(2026, 3, 1), date(2026, 3, 5))
    assert read_days("last month", NOW, HERE) == (date(2026, 2, 1), date(2026, 2, 28))


def test_what_names_no_day_is_none_of_ours() -> None:
    assert read_days("fern", NOW, HERE) is None
    assert read_days("fern yesterday", NOW, HERE) is None
    assert isinstance(read_days("2026-02-30", NOW, HERE), Unclear)
