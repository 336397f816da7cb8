"""Great heat and scorching sun: who is told, when, and how often.

Late-afternoon west sun and all-day south sun through glass scorch: common practice, no source.
Sun on a west window in Berlin in July from about 14:50 to 20:30 by the wall: our formula, checked
against NREL's in tests/published/test_sun.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from tests.conversation.talking import InProcess, play
from tests.conversation.test_weather import Fed

JULY = datetime(2026, 7, 6, 7, 30, tzinfo=ZoneInfo("Europe/Berlin"))
PLANTS = """
Ida: /add Fig, fiddle-leaf fig, 25 cm pot, living room, west window
  = arrived
Ida: /add Fern, Boston fern, 15 cm pot, bathroom, north window
  = arrived
Ida: /add Goldie, golden pothos, 15 cm pot, kitchen, 2 m from the south window
  = arrived
Ida: /add Aloe, aloe vera, 12 cm pot, kitchen, west window
  = arrived
"""


@pytest.fixture
def july() -> Iterator[InProcess]:
    stage = InProcess(start=JULY)
    play(stage, PLANTS)
    yield stage
    stage.close()


def test_heat_that_was_told_is_warned_of_once_for_the_whole_spell(july: InProcess) -> None:
    """6 July 2026 is a Monday. The aloe is made for sun, the pothos stands back."""
    play(
        july,
        """
Ida: /high
  I know no high for today
  /high 34C
Ida: /high 33 thu
  Thursday 33 °C.
  Fig, west window: sun on it from about 1
  A metre back, or a sheer curtain
  Heat alone is no reason to water: probe first.
  not: Aloe
  not: Goldie
  not: Fern
  = high
Ida: /high 36 fri
  Friday 36 °C.
  = high
... 2 days
... 7 hours
  (warning) Tomorrow 33 °C.
  one plant
  Fig, west window
... 1 days
... 1 days
Tom: /spot fern west window
  = moved
Tom: /high 35 tomorrow
  Sun and heat endanger 2 plants
  Fern and Fig, west window: sun on them
  = high
... 7 days
Ida: /high 34 tomorrow
  Fern and Fig
  = high
""",
    )


def test_what_is_no_heat_or_no_temperature(july: InProcess) -> None:
    play(
        july,
        """
Ida: /high 24
  Today 24 °C.
  No plant on the list is in danger
  = high
Ida: /high hot
  /high 34C
Ida: /high 400
  /high 34C
Ida: /high 34C yesterday
  /high 34C
... 10 days
""",
    )


def test_a_balcony_and_a_curtain(july: InProcess) -> None:
    play(
        july,
        """
Ida: /spot fig west window, sheer curtain
  = moved
Ida: /spot fern balcony
  = moved
Ida: /high 36
  Fern: outside. Into the shade before noon.
  not: Fig
  = high
Ida: /undo
  = undone
Ida: /high
  I know no high
""",
    )


def test_a_hot_forecast(house: InProcess) -> None:
    fed = Fed(start=JULY)
    play(fed, PLANTS + "Ida: /settings place 52.5 13.4 yes\n  I ask Open-Meteo.com")
    fed.forecast(18, 33, cloud=90)
    play(fed, "... 7 hours")
    fed.forecast(18, 33, cloud=10)
    play(
        fed,
        """
... 3 hours
  (warning) Tomorrow 33 °C. By the forecast of Open-Meteo.com (CC BY 4.0), 2 hours ago.
  Fig, west window
Ida: /high
  Tomorrow 33 °C. By the forecast
... 1 hours
""",
    )
    fed.close()


def test_what_to_do_at_several_windows_is_said_once(july: InProcess) -> None:
    july.say("Ida", "/spot goldie sill of the south window")
    (said,) = july.say("Ida", "/high 38C tomorrow")
    first, *lines = said.text.splitlines()
    assert first == "Tomorrow 38 °C. Sun and heat endanger 2 plants:"
    assert [line.count("A metre back") for line in lines] == [0, 1, 0]
