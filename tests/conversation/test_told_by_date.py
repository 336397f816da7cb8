"""A day that is over, told by its date: readings, waterings, the story; what it is told apart from.

Today is Monday, 2 March 2026.
"""

from __future__ import annotations

from tests.conversation.talking import InProcess, play


def test_readings_and_waterings_stand_on_their_day(house: InProcess) -> None:
    play(
        house,
        """
Ida: /check fern 3 on the 24th
  Fern: 3, 6 days ago.
  = checked
Ida: fern 3 4 feb
  Fern: 3, 26 days ago.
  = checked
Ida: watered fern and goldie on 24 feb
  Watered: Fern, Goldie. Kept.
  = poured poured
Ida: fern 5, fig 4 feb 24, 2026
  Fig: 4, 6 days ago.
  = checked checked
Ida: /story 24 february
  Last Tuesday
  Fern: 3, watered
  Goldie: watered
  Fig: 4
Ida: /story fern
  Today, you: 5
  Last Tuesday, you: watered; 3
  4 February, you: 3
""",
    )


def test_what_names_no_day_keeps_nothing(house: InProcess) -> None:
    play(
        house,
        """
Ida: gave fern 300 ml 31 feb
  31 feb is no day I know.
Ida: /story february 31st
  february 31st is no day I know.
Ida: fern 3 24 feb 2027
  24 feb 2027 hasn't been yet.
Ida: fern may be dry
  I know Fern, but not the rest.
Ida: fern 3 may be
  I didn't understand "may".
Ida: fern 3 on the 2nd floor
  I didn't understand "2nd".
""",
    )


def test_a_month_between_two_numbers_is_asked_about(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 4 feb 3
  Is the day *4 feb* or *feb 3*? Write *on* before the one you mean.
  [on 4 feb 3] [4 on feb 3]
Ida taps: 4 on feb 3
  Fern: 4, 27 days ago.
  = checked
Ida: goldie 4 on 4 feb
  Goldie: 4, 26 days ago.
  = checked
""",
    )


def test_a_question_for_the_reading_keeps_the_day(house: InProcess) -> None:
    play(
        house,
        """
Ida: /check fern on the 24th
  What does it read
  [Never mind]
Ida: 3
  Fern: 3, 6 days ago.
  = checked
Ida: /check goldie plop yesterday
  I didn't understand "plop".
Ida: 4
  Goldie: 4, yesterday.
  = checked
""",
    )


def test_a_plant_called_june_goes_before_the_month(house: InProcess) -> None:
    play(
        house,
        """
Ida: /add June, boston fern, 15 cm pot⏎May, golden pothos, 15 cm pot
  = arrived arrived
Ida: june 3
  June: 3.
  = checked
Ida: 4 june
  June: 4.
  = checked
Ida: /check 4 may
  May: 4.
  = checked
Ida: fern 5, june 4
  June: 4.
  = checked checked
Ida: gave 300 ml to june 2 days ago
  June: 300 ml given, 2 days ago.
  = poured
Ida: gave june 300 ml 24 feb
  June: 300 ml given, 6 days ago.
  = poured
Ida: may 3 on 24 feb
  May: 3, 6 days ago.
  = checked
""",
    )


def test_a_probe_whose_day_has_gone_by_is_due_since_then(house: InProcess) -> None:
    """Nobody can probe last Saturday."""
    house.wait_days(20)
    play(
        house,
        """
Ida: fern 7 15 days ago
  Leave it for now.
  A probe is due since
  not: Probe again
  = checked
Ida: /plant fern
  due for a probe since
Ida: /why fern
  Fern: due for a probe since
  not: between
Ida: gave goldie 300 ml 16 days ago
  A probe is due since
  not: Next probe
  = poured
Ida: gave goldie 300 ml
  Next probe
  = poured
""",
    )
