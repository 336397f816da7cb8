"""Days that are over by their date: `24 feb`, `february 24th`, `on the 24th`; what is none."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from bot.talk.grammar.dates import When, take_when
from bot.talk.grammar.pastdays import read_days
from bot.talk.grammar.refusal import Unclear

BERLIN = ZoneInfo("Europe/Berlin")
NOW = datetime(2026, 3, 2, 7, 30, tzinfo=BERLIN)  # a Monday

# What is said, the moment meant on the wall, what is left of the line.
SAID = {
    "24 feb": ("2026-02-24 12:00", ""),
    "24 February": ("2026-02-24 12:00", ""),
    "24 feb.": ("2026-02-24 12:00", ""),
    "24. feb": ("2026-02-24 12:00", ""),
    "24feb": ("2026-02-24 12:00", ""),
    "24th of february": ("2026-02-24 12:00", ""),
    "the 24th of february": ("2026-02-24 12:00", ""),
    "on the 24th feb": ("2026-02-24 12:00", ""),
    "feb 24": ("2026-02-24 12:00", ""),
    "february 24th": ("2026-02-24 12:00", ""),
    "FEBRUARY the 24th": ("2026-02-24 12:00", ""),
    "on February 24": ("2026-02-24 12:00", ""),
    "on the 24th": ("2026-02-24 12:00", ""),
    "the 24th": ("2026-02-24 12:00", ""),
    "feb 24 2025": ("2025-02-24 12:00", ""),
    "feb 24, 2025": ("2025-02-24 12:00", ""),
    "24 feb 2025": ("2025-02-24 12:00", ""),
    "the 24th of february, 2025": ("2025-02-24 12:00", ""),
    "5 sept": ("2025-09-05 12:00", ""),
    "5 september": ("2025-09-05 12:00", ""),
    "march 2nd": ("2026-03-02 07:00", ""),
    "on the 2nd": ("2026-03-02 07:00", ""),
    "3 march": ("2025-03-03 12:00", ""),
    "24 dec": ("2025-12-24 12:00", ""),
    "on the 3rd": ("2026-02-03 12:00", ""),
    "on the 29th": ("2026-01-29 12:00", ""),
    "on the 31st": ("2026-01-31 12:00", ""),
    # with a part of the day or a clock
    "24 feb evening": ("2026-02-24 19:00", ""),
    "on the 24th in the evening": ("2026-02-24 12:00", "in the evening"),
    "3 feb 24 evening at 8": ("2026-02-24 20:00", "3"),
    "3 24 feb at 4": ("2026-02-24 04:00", "3"),
    "24 feb at 4": ("2026-02-24 12:00", "at 4"),
    "3 24 feb 16:30": ("2026-02-24 16:30", "3"),
    "3 feb 24 8:30": ("2026-02-24 08:30", "3"),
    "feb 24, 8 pm": ("2026-02-24 20:00", ""),
    "on the 24th at 7:30": ("2026-02-24 07:30", ""),
    "24 feb 2025 at 18:00": ("2025-02-24 18:00", ""),
    "2026-02-24 evening": ("2026-02-24 19:00", ""),
    # beside readings
    "3 24 feb": ("2026-02-24 12:00", "3"),
    "24 feb 3": ("2026-02-24 12:00", "3"),
    "3 4 feb": ("2026-02-04 12:00", "3"),
    "3 4 24 feb": ("2026-02-24 12:00", "3 4"),
    "3 feb 24": ("2026-02-24 12:00", "3"),
    "feb 24 3 4": ("2026-02-24 12:00", "3 4"),
    "3 feb 24 2025": ("2025-02-24 12:00", "3"),
    "3 feb 5th": ("2026-02-05 12:00", "3"),
    "3rd feb 5": ("2026-02-03 12:00", "5"),
    "3 on feb 5": ("2026-02-05 12:00", "3"),
    "on 3 feb 5": ("2026-02-03 12:00", "5"),
    "3 feb 2025 5": ("2025-02-03 12:00", "5"),
    "3 on the 24th": ("2026-02-24 12:00", "3"),
    "the 24th 3": ("2026-02-24 12:00", "3"),
    "the 24th: 3": ("2026-02-24 12:00", ": 3"),
    "on the 24th fern was dry": ("2026-02-24 12:00", "fern was dry"),
    "4 mar": ("2025-03-04 12:00", ""),
    # beside amounts and sizes
    "300 ml 24 feb": ("2026-02-24 12:00", "300 ml"),
    "24 feb 300 ml": ("2026-02-24 12:00", "300 ml"),
    "5 feb 30 ml": ("2026-02-05 12:00", "30 ml"),
    "5 feb 1 cup": ("2026-02-05 12:00", "1 cup"),
    "5 feb 1/2 cup": ("2026-02-05 12:00", "1/2 cup"),
    "5 feb 1.5 l": ("2026-02-05 12:00", "1.5 l"),
    "5 feb 20 cm pot": ("2026-02-05 12:00", "20 cm pot"),
    "24 feb 2000 ml": ("2026-02-24 12:00", "2000 ml"),
    "feb 24 2050 g": ("2026-02-24 12:00", "2050 g"),
    "300 feb 24": ("2026-02-24 12:00", "300"),
    # beside a plant called June
    "300 ml to june 2 days ago": ("2026-02-28 07:30", "300 ml to june"),
    "june 24 feb": ("2026-02-24 12:00", "june"),
}


@pytest.mark.parametrize("said", SAID)
def test_a_day_by_its_date(said: str) -> None:
    found = take_when(said, NOW, BERLIN)
    assert isinstance(found, When)
    assert found.at is not None
    assert (f"{found.at.astimezone(BERLIN):%Y-%m-%d %H:%M}", found.rest) == SAID[said]


NO_DATES = (
    "may be dry",
    "3 may be wrong",
    "march",
    "in march",
    "march on",
    "second",
    "the second time",
    "3 4",
    "24",
    "24th",
    "on 24th",
    "the 2nd pot",
    "on the 2nd floor",
    "on the 3rd shelf",
    "the 2nd fern is dry",
    "3.5 may",
    "3/4 may",
    "4 marginal",
    "june 3 cups",
    "june 300 ml",
    "june 1.5 l",
    "10-14 march-ish",
    "mayor 3",
    "decor 3",
)


@pytest.mark.parametrize("said", NO_DATES)
def test_what_is_no_date(said: str) -> None:
    assert take_when(said, NOW, BERLIN) == When(None, said)


REFUSED = {
    "3 31 feb": ("when-no-such-day", {"said": "31 feb"}),
    "on february 30": ("when-no-such-day", {"said": "february 30"}),
    "45 feb": ("when-no-such-day", {"said": "45 feb"}),
    "0 feb": ("when-no-such-day", {"said": "0 feb"}),
    "29 feb 2025": ("when-no-such-day", {"said": "29 feb 2025"}),
    "on the 32nd": ("when-no-such-day", {"said": "the 32nd"}),
    "24 feb 2027": ("when-future", {"said": "24 feb 2027"}),
    "on march 2 at 23:00": ("when-future", {"said": "march 2 at 23:00"}),
    "24 feb 2023": ("when-far", {"said": "24 feb 2023"}),
    "29 feb": ("when-far", {"said": "29 feb"}),
    "3 feb 5": ("when-two-days", {"one": "3 feb", "other": "feb 5"}),
    "24 feb 25": ("when-two-days", {"one": "24 feb", "other": "feb 25"}),
}


@pytest.mark.parametrize("said", REFUSED)
def test_what_is_no_day_to_tell_of(said: str) -> None:
    found = take_when(said, NOW, BERLIN)
    assert isinstance(found, Unclear)
    assert (found.key, found.args) == REFUSED[said]


def test_each_meaning_of_a_month_between_numbers_is_understood() -> None:
    found = take_when("4 feb 3", NOW, BERLIN)
    assert isinstance(found, Unclear)
    first, second = (take_when(one, NOW, BERLIN) for one in found.meanings)
    assert isinstance(first, When)
    assert isinstance(second, When)
    assert (first.rest, second.rest) == ("3", "4")


def test_the_last_leap_day_and_the_last_31st() -> None:
    spring = datetime(2025, 3, 30, 12, tzinfo=BERLIN)
    assert read_days("29 feb", spring, BERLIN) == (date(2024, 2, 29), date(2024, 2, 29))
    assert read_days("the 31st", spring, BERLIN) == (date(2025, 1, 31), date(2025, 1, 31))


def test_a_day_is_the_walls() -> None:
    """In UTC it is the 24th still when the 25th has begun in Berlin."""
    night = datetime(2026, 2, 24, 23, 30, tzinfo=ZoneInfo("UTC"))
    assert read_days("25 february", night, BERLIN) == (date(2026, 2, 25), date(2026, 2, 25))
    assert read_days("25 february", night, ZoneInfo("UTC")) == (date(2025, 2, 25),) * 2


def test_the_words_of_a_moment_are_kept() -> None:
    found = take_when("gave fern 3 on the 24th, twice", NOW, BERLIN)
    assert isinstance(found, When)
    assert (found.rest, found.said) == ("gave fern 3 , twice", "on the 24th")
