"""Asking for a chart: the words beside the picture, and what is said where there is none."""

from __future__ import annotations

from datetime import timedelta

import pytest

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
