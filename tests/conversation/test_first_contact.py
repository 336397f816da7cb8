"""The first contact: zone and measures are asked once, and answered in one's own words."""

from __future__ import annotations

import pytest

from tests.conversation.talking import InProcess, play
from tests.conversation.test_households import code_of

ASKED = "I took time zone Europe/Berlin, measures metric. Is that right?"


def test_it_is_asked_once(stage: InProcess) -> None:
    play(
        stage,
        f"""
Ida: hello
  Good to meet you, Ida.
  {ASKED}
  [That's right] [US cups] [Imperial pints]
Ida: yes
  Time zone Europe/Berlin: it is 07:30 there.
  Measures metric: 400 ml
  Begin with one plant
Ida: hello
  Time zone Europe/Berlin, measures metric; /settings changes that.
  not: Is that right?
Tom: /start
  not: Is that right?
""",
    )


@pytest.mark.parametrize(
    ("said", "zone", "measures"),
    [
        ("Berlin", "Europe/Berlin: it is 07:30", "metric"),
        ("Europe/London", "Europe/London: it is 06:30", "metric"),
        ("Chicago, cups", "America/Chicago: it is 00:30", "US"),
        ("we live in new york and use cups", "America/New_York: it is 01:30", "US"),
        ("cups", "Europe/Berlin: it is 07:30", "US"),
        ("pints", "Europe/Berlin: it is 07:30", "imperial"),
        ("ml", "Europe/Berlin: it is 07:30", "metric"),
        ("Sydney", "Australia/Sydney: it is 17:30", "metric"),
        ("Finland", "Europe/Helsinki: it is 08:30", "metric"),
        ("UTC", "UTC: it is 06:30", "metric"),
    ],
)
def test_it_is_answered_in_words(stage: InProcess, said: str, zone: str, measures: str) -> None:
    play(
        stage,
        f"Ida: /start\n  {ASKED}\nIda: {said}\n  Time zone {zone}\n  Measures {measures}:",
    )


def test_a_place_that_is_no_zone(stage: InProcess) -> None:
    play(
        stage,
        """
Ida (dm:Ida): /start
  Is that right?
Ida (dm:Ida): Hintertupfing, cups
  I don't know "hintertupfing" as a time zone. Please name a large city
  [That's right]
Ida (dm:Ida): munich
  I don't know "munich" as a time zone.
Ida (dm:Ida): berln
  Did you mean Europe/Berlin?
  [Europe/Berlin]
Ida (dm:Ida): yes
  Time zone Europe/Berlin
  Measures US
Ida (dm:Ida): /start
  measures US
""",
    )


def test_in_a_group_only_a_known_place_is_one(stage: InProcess) -> None:
    """Others talk there as well; in private a word or two that are no place are asked about."""
    play(
        stage,
        """
Ida: /start
  Is that right?
Ida: atlantropa
  I don't know any plants here yet.
Ida: berlin
  Time zone Europe/Berlin
Tom (dm:Tom): /start
  Is that right?
Tom (dm:Tom): such fine weather today
  not: as a time zone
Tom (dm:Tom): atlantropa
  as a time zone
""",
    )


def test_whoever_goes_on_with_plants_is_not_held_up(stage: InProcess) -> None:
    play(
        stage,
        """
Ida: /start
  Is that right?
Ida: how are you
  I don't know any plants here yet.
Ida: fern, Boston fern, 15 cm pot
  Shall I add fern?
Ida: yes
  Fern is on the list
  = arrived
Ida: /start
  Good to see you, Ida. One plant is on the list.
Ida: /start in Tokyo, cups
  Time zone Asia/Tokyo
  Measures US
  not: Begin with
""",
    )


def test_a_sitter_decides_nothing(house: InProcess) -> None:
    code = code_of(house, "/invite sitter 2 March - 7 March")
    play(
        house,
        f"""
Noor (dm:Noor): /join {code}
  You sit for
Noor (dm:Noor): /start in Tokyo
  A sitter looks after the plants and leaves the list as it is.
""",
    )
