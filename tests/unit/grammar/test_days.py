"""Moments that are over and days to come, as people name them; worked out by a calendar of 2026."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from bot.talk.grammar.ahead import read_span
from bot.talk.grammar.dates import When, take_when

BERLIN = ZoneInfo("Europe/Berlin")
NOW = datetime(2026, 3, 2, 21, 30, tzinfo=BERLIN)  # a Monday


@pytest.mark.parametrize(
    ("said", "day", "clock", "rest"),
    [
        ("4 this morning at 8", 2, "08:00", "4"),
        ("watered yesterday evening at 8", 1, "20:00", "watered"),
        ("watered yesterday evening", 1, "19:00", "watered"),
        ("3 yesterday at 4 pm", 1, "16:00", "3"),
        ("3 yesterday 4pm", 1, "16:00", "3"),
        ("3 yesterday afternoon at 4", 1, "16:00", "3"),
        ("4 today at 8 o'clock", 2, "08:00", "4"),
        ("4 2026-03-01 at 8", 1, "08:00", "4"),
        ("yesterday at 16:30 4", 1, "16:30", "4"),
        # nothing else is said: the number is the reading
        ("yesterday at 4", 1, "12:00", "at 4"),
        ("yesterday 4", 1, "12:00", "4"),
        ("yesterday at 3.5", 1, "12:00", "at 3.5"),
    ],
)
def test_a_moment(said: str, day: int, clock: str, rest: str) -> None:
    found = take_when(said, NOW, BERLIN)
    assert isinstance(found, When)
    assert found.at is not None
    here = found.at.astimezone(BERLIN)
    assert (here.date(), f"{here:%H:%M}", found.rest) == (date(2026, 3, day), clock, rest)


def test_a_number_that_is_no_reading_is_the_hour() -> None:
    found = take_when("yesterday at 4", NOW, BERLIN, counts=True)
    assert isinstance(found, When)
    assert found.at == datetime(2026, 3, 1, 4, tzinfo=BERLIN)
    assert found.rest == ""


@pytest.mark.parametrize(
    ("said", "first", "last"),
    [
        ("next week", 9, 15),
        ("this week", 2, 8),
        ("the weekend", 7, 8),
        ("next weekend", 14, 15),
        ("from the 10th to the 14th", 10, 14),
        ("10th-14th", 10, 14),
        ("the 1st to the 5th", 1, 5),
        ("friday to sunday", 6, 8),
        ("until friday", 2, 6),
    ],
)
def test_a_span(said: str, first: int, last: int) -> None:
    assert read_span(said, NOW, BERLIN) == (date(2026, 3, first), date(2026, 3, last))


def test_days_of_a_month_that_lacks_them_are_those_of_the_next() -> None:
    april = datetime(2026, 4, 29, 12, tzinfo=BERLIN)
    assert read_span("the 30th to the 31st", april, BERLIN) == (
        date(2026, 5, 30),
        date(2026, 5, 31),
    )
