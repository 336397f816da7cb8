"""Asking for a chart: the words beside the picture, and what is said where there is none."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from bot.talk.charts.recipe import Panel, from_values
from tests.conversation.talking import InProcess, play

DAY = timedelta(days=1)
ASKED = """
Ida: /chart goldie
  Goldie: nothing probed or poured
  Ready at 4 or less: probably between
Ida: goldie 6
  = checked
... 2 days
Ida: gave goldie 400 ml
  = poured
Tom: /chart goldie
  one probe, one watering.
  Last found at 6, 2 days ago.
"""


def test_the_words_tell_what_the_picture_shows(house: InProcess) -> None:
    play(house, ASKED)


@pytest.mark.parametrize(
    ("said", "part"),
    [
        ("/chart nobody", 'I don\'t know "nobody"'),
        ("/chart kitchen", "kitchen, "),
        ("/chart", "All rooms, "),
    ],
)
def test_a_room_or_all_of_them(house: InProcess, said: str, part: str) -> None:
    assert part in house.say("Ida", said)[0].text


def test_more_pots_than_a_picture_holds_are_counted(house: InProcess) -> None:
    for n in range(14):
        house.say("Ida", f"/add pot{n}, golden pothos, 15 cm pot, attic")
    (heard,) = house.say("Ida", "/chart attic")
    assert "attic, 12 pots:" in heard.text
    assert "2 more pots are not in the picture: name them" in heard.text


def test_what_is_looked_at_has_no_dry_down(house: InProcess) -> None:
    house.say("Ida", "/add orchid, moth orchid, 12 cm pot, attic")
    (heard,) = house.say("Ida", "/chart orchid")
    assert "looked at, not probed" in heard.text
    (heard,) = house.say("Ida", "/chart attic")
    assert "Nothing here is probed" in heard.text


def test_a_check_of_the_surface_counts_as_one(house: InProcess) -> None:
    house.say("Ida", "goldie moist by finger")
    (heard,) = house.say("Ida", "/chart goldie")
    assert "one probe, of the surface only" in heard.text


def test_where_a_verdict_decides_the_words_say_so(house: InProcess) -> None:
    """A pot found uneven is probed again in some days, whatever its drying says."""
    house.say("Ida", "viper 1 1 1")
    (heard,) = house.say("Ida", "/chart viper")
    assert "Ready at" not in heard.text
    assert "/why viper says why" in heard.text


def _panel(house: InProcess, plant: str) -> Panel:
    (heard,) = house.say("Ida", f"/chart {plant}")
    (file,) = heard.files
    assert file.recipe is not None
    (panel,) = from_values(file.recipe).panels
    return panel


def test_each_dry_down_has_its_curve(house: InProcess) -> None:
    """Five waterings: four dry-downs are over, one is open; each curve runs by its readings."""
    for _ in range(5):
        house.say("Ida", "gave goldie 400 ml")
        for reading in (9, 6, 4):
            house.wait_days(2)
            house.say("Ida", f"goldie {reading}")
    panel = _panel(house, "goldie")
    assert len(panel.poured) == 5
    assert len(panel.past) == 4
    for (begun, _), after, curve in zip(panel.poured, panel.poured[1:], panel.past, strict=False):
        days, low, middle, high = np.array(curve).T
        assert days[0] == begun
        assert days[-1] == after[0]
        assert (np.diff(middle) <= 0).all()
        assert ((low <= middle) & (middle <= high)).all()
        assert np.interp(begun + 4, days, middle) == pytest.approx(6, abs=1)
    assert panel.curve[0][0] == panel.poured[-1][0]


def test_a_year_is_drawn_as_its_last_six_weeks(house: InProcess) -> None:
    for _ in range(36):
        house.say("Ida", "gave goldie 400 ml")
        for reading in (8, 4):
            house.wait_days(5)
            house.say("Ida", f"goldie {reading}")
    panel = _panel(house, "goldie")
    shown = [day for curve in panel.past for day, *_ in curve]
    assert -42 <= min(shown) < -36
    assert -42 <= min(day for day, _ in panel.poured)
    assert len(panel.past) == 4
