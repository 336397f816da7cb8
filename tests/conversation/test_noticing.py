"""A watering nobody told, a pot that dries unlike itself, and where a date comes from."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.conversation.talking import InProcess, play

DAY = timedelta(days=1)
WETTER_AGAIN = """
Ida: gave goldie 400 ml
  Goldie: 400 ml given
  = poured
... 3 days
Ida: goldie 8
  Leave it for now
  not: did somebody
  = checked
... 3 days
Ida: goldie 5
  not: did somebody
  = checked
... 3 days
Tom: goldie 9
  Goldie: 9. Leave it for now.
  Wetter than before: did somebody water Goldie
  [Yes] [No]
  = checked
"""


def rounds(stage: InProcess, count: int, *, slower: int = 1) -> list[str]:
    """Waterings of goldie with three probes each, as often the same; the answers to the probes."""
    heard = []
    for _ in range(count):
        stage.say("Ida", "gave goldie 400 ml")
        for days, found in ((3, 7), (3, 5), (2, 4)):
            stage.wait(slower * days * DAY)
            heard += [one.text for one in stage.say("Ida", f"goldie {found}")]
    return heard


def test_somebody_watered(house: InProcess) -> None:
    """Yes is a watering of nobody in particular at the likely moment, and can be taken back."""
    play(house, WETTER_AGAIN)
    play(
        house,
        """
Tom taps: Yes
  Goldie: somebody watered it
  I count from there
  Next probe
  = poured
Ida: /story goldie
  Tom: 9
  somebody watered
Tom: /undo
  = undone
Ida: /why goldie
  Last watered 9 days ago
""",
    )


def test_nobody_watered_and_no_answer(house: InProcess) -> None:
    """No changes nothing, and the question isn't asked of the same reading again."""
    play(house, WETTER_AGAIN)
    play(
        house,
        """
Tom taps: No
  nothing changed
... 2 days
Ida: goldie 8
  not: did somebody
  = checked
""",
    )


def test_two_people_answer(house: InProcess) -> None:
    """Ida tells the watering herself before Tom says yes: it is kept once."""
    play(house, WETTER_AGAIN)
    play(
        house,
        """
Ida: gave goldie 300 ml yesterday
  300 ml given
  = poured
Tom taps: Yes
  its readings miss no watering
""",
    )


def test_a_pot_at_its_own_pace_raises_no_alarm(house: InProcess) -> None:
    said = rounds(house, 6)
    assert not [one for one in said if "usual speed" in one or "used to" in one]


def test_a_pot_at_half_its_speed_raises_one(house: InProcess) -> None:
    """Within two cycles, said once in each, with what was expected and what came."""
    rounds(house, 5)
    said = rounds(house, 2, slower=2)
    alarms = [one for one in said if "its usual speed" in one]
    assert 1 <= len(alarms) <= 2
    assert "Goldie dries at" in alarms[0]
    assert "where it used to take" in alarms[0]


def test_many_checks_at_once_tell_it_in_a_line(house: InProcess) -> None:
    rounds(house, 5)
    house.say("Ida", "gave goldie 400 ml")
    heard = []
    for found in (7, 5, 4):
        house.wait(5 * DAY)
        heard += [one.text for one in house.say("Ida", f"goldie {found}, fern 5")]
    said = [line for text in heard for line in text.splitlines() if "unlike" in line]
    assert said == ["Dries unlike itself: Goldie. What to look at: /why goldie"]


def test_many_checks_at_once_ask_after_a_watering_nobody_told(house: InProcess) -> None:
    play(
        house,
        """
Ida: gave goldie 400 ml
  = poured
... 3 days
Ida: goldie 8
  = checked
... 3 days
Ida: goldie 5
  = checked
... 3 days
Tom: goldie 9, fern 5
  Wetter than before: Goldie. Did somebody water? If so: /gave goldie yesterday
  = checked checked
""",
    )


@pytest.mark.parametrize(
    ("tap", "heard"),
    [("Looked: fine", "nothing wrong"), ("Looked: soft roots", "No water now")],
)
def test_what_was_found_is_kept_and_quiets_it(house: InProcess, tap: str, heard: str) -> None:
    rounds(house, 5)
    rounds(house, 1, slower=2)
    house.say("Ida", "/why goldie")
    said = house.tap("Ida", tap)
    assert heard in said[0].text
    assert house.journal()[-1] == "looked"
    assert not [one for one in rounds(house, 2, slower=2) if "usual speed" in one]


def test_it_moved_asks_where_to(house: InProcess) -> None:
    rounds(house, 5)
    rounds(house, 1, slower=2)
    play(
        house,
        """
Ida: /why goldie
  Goldie dries at
  used to take
  Look first: standing water
  [It moved] [Looked: fine] [Looked: soft roots]
Ida taps: It moved
  Goldie moved
  Where does it stand now?
  [Never mind]
  = looked
Ida: study, low light
  Goldie stands here: study, low light
  = moved
Ida: /why goldie
  not: used to take
""",
    )


def test_a_move_told_before_explains_it(house: InProcess) -> None:
    """Told in time, another place is no alarm for two waterings."""
    rounds(house, 5)
    house.say("Ida", "/spot goldie study, low light")
    assert not [one for one in rounds(house, 2, slower=2) if "usual speed" in one]


def test_looked_asks_for_what_it_does_not_understand(house: InProcess) -> None:
    play(
        house,
        """
Ida: /looked goldie zzz
  What did you find at Goldie? As /looked goldie fine
  [It moved] [Looked: fine] [Looked: soft roots] [Full of roots]
Ida: /looked goldie pot-bound
  full of roots
  One size up
  = looked
""",
    )


def test_why_says_where_a_date_comes_from(house: InProcess) -> None:
    """From a guess to what the pot has shown: the day, the past, the season, how sure."""
    play(
        house,
        """
Ida: /why goldie
  Goldie: probe
  I know of no watering yet
  slower now than on average
  Rough so far: two more waterings
""",
    )
    rounds(house, 3)
    house.say("Ida", "gave goldie 400 ml")
    why = house.say("Ida", "/why goldie")[0].text
    assert "probably ready between" in why
    assert "It took 8 days until ready" in why
    assert "I know this pot from 3 dry-downs." in why
    assert len(why.splitlines()) == 4


def test_three_recorded_waterings_make_the_dose_the_pots_own(house: InProcess) -> None:
    """400 ml stayed of 450 at 4, three times: 400 / (4/7) = 700 ml from dry right through, so
    1.1 x 4/7 x 700 = 440 at 4 again, said as 450; the mix alone would say 350."""
    for _ in range(3):
        said = house.say("Ida", "goldie 4")[0].text
        assert "About 350 ml" in said
        house.say("Ida", "gave goldie 450 ml, 50 ml ran off")
        house.wait(8 * DAY)
    said = house.say("Ida", "goldie 4")[0].text
    assert "About 450 ml" in said
    assert "what this pot has shown it takes" in said
