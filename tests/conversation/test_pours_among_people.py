"""Pours among people: stopped, restarted, left alone, taken over, several at once."""

from __future__ import annotations

from tests.conversation.talking import InProcess, play


def test_stopped_early(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
Ida: /pour fern
  first half: 200 ml
Ida: stopped
  Stopped. 110 ml
  I counted half of the last portion; /fix fern 150 ml
  = poured
Ida: /fix 150 ml
  Corrected. Fern: 150 ml given
  = undone poured
Ida: goldie 3
  = checked
Ida: /pour goldie
  first half
Ida: poured
  7 minutes
... 7 minutes
  (reminder) any water in the saucer?
Ida: none
  the other half
Ida: stopped, 50 ml
  Stopped. 250 ml
  not: I counted half
  = poured
""",
    )


def test_restarts_in_the_middle(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
Ida: /pour fern
  first half
(restart)
Ida: poured
  7 minutes
(restart)
... 7 minutes
  (reminder) any water in the saucer?
(restart)
Ida: no
  the other half
(restart)
Ida: poured
  Fern is done
  = poured
(restart)
... 30 minutes
  (reminder) now look in the saucer
""",
    )


def test_three_pours_at_once(house: InProcess) -> None:
    play(
        house,
        """
Ida: /check fern 3, goldie 3, fig 3
  [Pour Fern] [Pour Goldie] [Pour Fig]
  = checked checked checked
Ida: /pour fern
  Fern, first half
Ida: /pour goldie
  Goldie, first half
Ida: /pour fig
  Fig, first portion: 800 ml
Ida: poured
  Which one is that for?
  [Fig: poured] [Goldie: poured] [Fern: poured]
Ida: goldie
  Goldie: good. I'll be back in 7 minutes.
Ida: done
  [Fig: done] [Fern: done]
Ida taps: Fern: done
  Fern: good. I'll be back in 7 minutes.
Ida: poured
  Fig: good. I'll be back in 7 minutes.
Ida: no
  Which one is that for?
  [Fig: no] [Goldie: no] [Fern: no]
... 7 minutes
  (reminder) Fern: any water
  --
  Goldie: any water
  --
  Fig: any water
Ida: none
  Which one is that for?
Ida: fern
  Fern, the other half
Ida: banana
  I know about your plants.
Ida: pour fern stopped
  Stopped.
  = poured
Ida: yes
  [Fig: yes] [Goldie: yes]
Ida: goldie
  Stop there: Goldie has had enough.
  = poured
Ida: 300 ml
  for which plant?
Ida: no
  Fig, the next portion then
""",
    )


def test_wandered_off(house: InProcess) -> None:
    """Six hours without an answer: what went in is kept (ours)."""
    play(
        house,
        """
Ida: fern 3
  = checked
Ida: /pour fern
  first half: 200 ml
Ida: poured
  7 minutes
... 3 days
  (reminder) any water in the saucer?
  --
  (reminder) Nobody told me more about Fern, so I've kept 200 ml
  Next probe
  = poured
Ida: poured
  Which plant? Try: /gave
Ida: goldie 3
  = checked
Ida: /pour goldie
  first half
... 6 hours
  (reminder) Nothing was written down.
Ida: /pour goldie poured
  No pour of Goldie is under way.
  [Pour with me]
""",
    )


def test_another_hand_in_another_chat(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
Ida: /pour fern
  first half
Ida: poured
  7 minutes
Tom: hello
  Good to see you, Tom.
Tom (dm:Tom): /pour fern
  Ida began to pour Fern just now; 200 ml
  You can go on from here.
  Let it rest: I'll be back in 7 minutes.
... 7 minutes
  (reminder) Fern: any water
Tom (dm:Tom): /pour fern
  any water in the saucer?
  [No, none] [Yes] [It sank in at once]
Tom (dm:Tom) taps: No, none
  the other half
Tom (dm:Tom): poured
  Fern is done
  = poured
""",
    )


def test_two_people_at_one_sink(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
Ida: /pour fern
  first half
Tom: /pour fern
  Ida began to pour Fern just now; nothing is in yet.
  first half
Tom: poured
  7 minutes
Ida taps: Poured
  That step is done.
  Tom is pouring Fern right now; /pour fern shows where it stands.
... 7 minutes
  (reminder) any water
Ida: no
  the other half
Tom: poured
  Fern is done
  = poured
Tom: /story fern
  Today, Tom: 450 ml given
""",
    )


def test_water_told_during_a_pour(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
Ida: /pour fern
  first half
Ida: gave fern 100 ml
  A pour of Fern is under way. Is this part of it?
  [Part of it] [Besides it]
Ida taps: Part of it
  7 minutes
Ida: gave fern 100 ml
  [Part of it] [Besides it]
Ida taps: Besides it
  Fern: 100 ml given. Kept.
  = poured poured
Ida: goldie 3
  = checked
Ida: /pour goldie 200 ml
  Has Goldie had that already, or shall we pour?
  [I gave 200 ml] [Pour with me]
Ida taps: I gave 200 ml
  Goldie: 200 ml given.
  = poured
""",
    )


def test_doubts_before_a_pour(house: InProcess) -> None:
    play(
        house,
        """
Ida: /pour fern
  I have no fresh reading of Fern.
  [I'll probe first] [Pour anyway]
Ida taps: I'll probe first
  What does it read
Ida: 9
  Leave it for now.
  = checked
Ida: /pour fern
  Fern just now: 9. Leave it for now.
  Pour anyway?
  [No] [Pour anyway]
Ida: yes
  Fern is short of nothing: no water now.
Ida: /pour fern sideways
  from the top, bottom, with a meter or by soaking
Ida: /pour viper cancel
  No pour of Viper is under way.
""",
    )


def test_closing_a_pour(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
Ida: /pour fern
  first half
Ida: /pour fern cancel
  Closed. No water went into Fern.
Ida: /pour fern
  first half
Ida: poured 120 ml
  7 minutes
Ida: /pour fern banana
  I didn't understand "banana".
  /pour fern cancel closes it.
Ida: /pour fern close
  Closed. 120 ml
  = poured
""",
    )


def test_renamed_during_a_pour(house: InProcess) -> None:
    """A button keeps working, whatever the plant is called by now."""
    play(
        house,
        """
Ida: fern 3
  = checked
Ida: /pour fern
  first half
Tom: /plant fern rename Ferdi
  Fern is called Ferdi now.
  = described
Ida taps: Poured
  Ferdi: good. I'll be back in 7 minutes.
Tom: /plant ferdi retire died
  off the list
  = left
... 1 hour
Ida: poured
  Which plant? Try: /gave
""",
    )
