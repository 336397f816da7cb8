"""Nothing twice: whoever does what somebody else just did hears who and when, and is asked."""

from __future__ import annotations

from tests.conversation.talking import InProcess, play
from tests.conversation.test_households import code_of


def test_a_watering_told_by_two(house: InProcess) -> None:
    play(
        house,
        """
Tom: watered the fern 400 ml
  Fern: 400 ml given
  = poured
... 40 minutes
Ida: gave fern 400 ml
  Tom watered Fern 40 minutes ago (400 ml).
  Is this another watering?
  [No, the same] [Yes, another]
Ida taps: No, the same
  nothing changed
Ida: watered the fern
  [No, the same] [Yes, another]
Ida: yes
  Fern: watered
  = poured
Ida: gave fern 100 ml
  Fern: 100 ml given
  = poured
Tom: gave fern 300 ml again
  Fern: 300 ml given
  = poured
""",
    )


def test_yesterday_is_compared_with_yesterday(house: InProcess) -> None:
    play(
        house,
        """
... 3 days
Tom: gave fern 400 ml
  = poured
... 1 hour
Ida: gave fern 400 ml 2 days ago
  Fern: 400 ml given, 2 days ago
  = poured
... 17 hours
Ida: gave goldie 300 ml
  = poured
... 18 hours
Tom: gave goldie 300 ml
  = poured
""",
    )


def test_a_watering_in_the_night_before_is_the_same(house: InProcess) -> None:
    play(
        house,
        """
Tom: gave fern 400 ml
  = poured
... 24 hours
Ida: gave fern 400 ml yesterday
  Tom watered Fern yesterday (400 ml).
  [No, the same] [Yes, another]
Ida taps: Yes, another
  Fern: 400 ml given
  = poured
""",
    )


def test_several_at_once_keep_what_is_new(house: InProcess) -> None:
    play(
        house,
        """
Tom: gave fern 400 ml
  = poured
... 5 minutes
Ida: watered fern and goldie
  Watered: Goldie. Kept.
  "fern" wasn't kept. Tom watered Fern 5 minutes ago (400 ml).
  gave fern again
  [Fern, too]
  = poured
Ida taps: Fern, too
  Fern: watered
  = poured
""",
    )


def test_a_correction_is_no_second_watering(house: InProcess) -> None:
    play(
        house,
        """
Ida: gave fern 400 ml
  = poured
... 3 minutes
Tom: gave fern 100 ml again
  = poured
Tom edits: gave fern 200 ml again
  Fern: 200 ml given
  = undone poured
""",
    )


def test_a_second_reading_is_kept_and_the_first_told(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3 4
  Fern: 3 and 4.
  = checked
... 30 minutes
Tom: /check fern
  Ida found 3 and 4 in Fern 30 minutes ago.
  Probe Fern
Tom: 8
  Fern: 8.
  Ida found 3 and 4 in Fern 30 minutes ago. Both are kept.
  = checked
Tom: fern 7
  Fern: 7.
  not: Both are kept
  = checked
... 3 hours
Ida: fern 7
  not: Both are kept
  = checked
Tom: gave fern 300 ml
  = poured
Noor: fern 9
  not: Both are kept
  = checked
""",
    )


def test_whoever_probes_what_is_being_poured_hears_so(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
Ida: /pour fern
  first half
Tom: fern 3
  Ida is pouring Fern right now; /pour fern shows where it stands.
  = checked
Tom: gave fern 200 ml
  Ida is pouring Fern right now. Is this part of it?
  [Part of it] [Besides it]
Tom taps: Part of it
  I'll be back in 7 minutes.
""",
    )


def test_a_late_tap_hears_who_went_on(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
Ida: /pour fern
  first half
Tom: /pour fern poured
  I'll be back in 7 minutes.
Ida taps: Poured
  That step is done.
  Tom is pouring Fern right now; /pour fern shows where it stands.
Tom: /pour fern stopped
  Stopped. 200 ml
  = poured
Ida taps: Poured
  That step is done.
  Tom watered Fern just now (200 ml).
""",
    )


def test_poured_in_another_chat_of_the_household(house: InProcess) -> None:
    """My own pour goes on where I am; somebody else's is asked for."""
    code = code_of(house)
    play(
        house,
        f"""
Tom (dm:Tom): /join {code}
  You are a member
Ida: fern 3
  = checked
Ida: /pour fern
  first half
Tom (dm:Tom): poured
  Ida is pouring Fern; that was begun in another chat. Is this for it?
  [Fern: poured]
Tom (dm:Tom): no
  nothing changed
Ida (dm:Ida): poured
  Fern: good. I'll be back in 7 minutes.
... 7 minutes
  (reminder) any water in the saucer?
Tom (dm:Tom): done
  Nothing is asked just now.
Ida: no
  the other half
Tom (dm:Tom): poured
  [Fern: poured]
Tom (dm:Tom) taps: Fern: poured
  Fern is done
  = poured
""",
    )


def test_what_was_asked_here_goes_before_a_pour_elsewhere(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
Ida: /pour fern
  first half
Ida (dm:Ida): goldie 3
  Water today
  [Pour with me] [I've done it] [Not today]
  = checked
Ida (dm:Ida): done
  Goldie: 450 ml given
  = poured
""",
    )
