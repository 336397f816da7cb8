"""Days to come and spans of them, on the household's wall."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from bot.talk.grammar.ahead import read_span

HERE = ZoneInfo("America/Chicago")


@pytest.mark.parametrize(
    ("today", "said", "first", "last"),
    [
        ((2026, 6, 3), "1 june - 14 june", (2026, 6, 1), (2026, 6, 14)),
        ((2026, 6, 3), "1-14 June", (2026, 6, 1), (2026, 6, 14)),
        ((2026, 6, 3), "June 1 to June 14", (2026, 6, 1), (2026, 6, 14)),
        ((2026, 5, 3), "1 june - 14 june", (2026, 6, 1), (2026, 6, 14)),
        ((2026, 7, 3), "1 june - 14 june", (2027, 6, 1), (2027, 6, 14)),
        ((2026, 12, 28), "20 dec - 5 jan", (2026, 12, 20), (2027, 1, 5)),
        ((2026, 12, 10), "20 dec - 5 jan", (2026, 12, 20), (2027, 1, 5)),
        ((2026, 1, 2), "20 dec - 5 jan", (2025, 12, 20), (2026, 1, 5)),
    ],
)
def test_a_span_that_has_begun_is_this_years(
    today: tuple[int, int, int], said: str, first: tuple[int, int, int], last: tuple[int, int, int]
) -> None:
    now = datetime(*today, 12, tzinfo=HERE)
    assert read_span(said, now, HERE) == (date(*first), date(*last))
