"""How it talks: the sketches of its voice, played.

Figures by hand where a sketch shows one; the care rules behind them are tested in tests/published.
"""

from __future__ import annotations

from tests.conversation.talking import InProcess, play


def test_first_plant(stage: InProcess) -> None:
    """Three quarters of 15 cm is 11 cm (the assumption is ours). Not listed is never safe."""
    play(
        stage,
        """
Ida: hello
  Good to meet you, Ida
  /add fern, Boston fern, 15 cm pot, bathroom, north window
  Europe/Berlin
Ida: /add fern, boston fern, 15 cm pot, bathroom, north window
  Fern is on the list: Boston fern (Nephrolepis exaltata), 15 cm pot
  (11 cm deep, I assume), bathroom, north window.
  Wants water when the surface just dries.
  doesn't make it safe
  Please probe it by Wednesday
  [Probe now] [Pot is shallower] [Pot is deeper] [Change something]
  = arrived
Ida taps: Pot is shallower
  Fern's pot: 15 cm wide, 8 cm deep
  = described
Ida taps: Change something
  rename NAME
  /spot fern north window
""",
    )


def test_a_probe_and_a_pour(house: InProcess) -> None:
    """A 15 cm pot fills 1.11 L: 1.1 x 0.50 x 1.11 x (8 - 3.5)/7 = 0.39, said as 400 ml."""
    play(
        house,
        """
Ida: fern 3 4
  Fern: 3 and 4. Water it well today.
  Drier than Fern likes
  About 400 ml (about 1½ cups), in two halves.
  [Pour with me] [I've done it] [Not today]
  = checked
Ida taps: Pour with me
  first half: 200 ml
  slowly, close around the stems
  [Poured] [Stands on top] [Ran straight through]
Ida taps: Poured
  I'll be back in 7 minutes
... 7 minutes
  (reminder) Fern: any water in the saucer?
  [No, none] [Yes] [It sank in at once]
Ida: no
  the other half then: 200 ml
  Stop if you see water in the saucer.
  [Poured] [Stands on top] [Ran straight through] [Stopped early]
Ida: done
  Fern is done: 400 ml
  In half an hour tip out whatever stands in the saucer.
  Next probe on Wednesday
  = poured
... 30 minutes
  (reminder) Fern: now look in the saucer
  [Emptied] [Nothing in it]
Ida: nothing in it
  Good. Fern is done.
""",
    )


def test_dry_but_wait(house: InProcess) -> None:
    """Two weeks in low light: common practice for snake plants, no source."""
    play(
        house,
        """
Ida: /check viper 1 1 1
  Viper: 1, 1 and 1. Dry, but leave it.
  rests two weeks dry
  Probe once more on Monday the 16th; if it still reads 1, water.
  not: Probe again
  = checked
... 14 days
Ida: viper 1 1
  Water today.
  it has rested long enough
  = checked
""",
    )


def test_uneven(house: InProcess) -> None:
    """A tenth of the pot on the dry side: common practice, no source. 25 cm fills 5.2 L."""
    play(
        house,
        """
Ida: /check fig 2 8
  Fig: 2 and 8. A little on the dry side only.
  nothing on the wet side.
  About 500 ml (about 2 cups), a tenth of the pot
  Probe again on Thursday
  [Pour with me] [Gave it] [Not today]
  = checked
Ida taps: Gave it
  Fig: 500 ml given. Kept.
  Next probe
  = poured
... 3 days
Ida: fig 2 9
  A little on the dry side only.
  Uneven again: water may be running down a channel
  = checked
""",
    )


def test_someone_was_faster(house: InProcess) -> None:
    play(
        house,
        """
Tom: goldie 3
  Water today.
  = checked
Tom: /pour goldie
  first half
Tom: poured
  7 minutes
... 7 minutes
  (reminder) any water
Tom: yes
  Stop there: Goldie has had enough.
  = poured
... 40 minutes
  (reminder) now look in the saucer
Ida: /pour goldie
  Tom watered Goldie 40 minutes ago (200 ml). Pour again?
  [No] [Yes, more]
Ida: no
  nothing changed
Ida: /pour goldie
  Pour again?
Ida: yes
  Goldie, first half
""",
    )


def test_did_not_understand(house: InProcess) -> None:
    play(
        house,
        """
Ida: /check f 3
  Fern or Fig?
  [Fern 3] [Fig 3]
Ida: fig
  Fig: 3. Water today.
  = checked
Ida: /check fern 14
  The scale ends at 10. Did you mean 1 and 4?
  [1 and 4] [4] [10]
Ida taps: 4
  Fern: 4. Water today.
  = checked
Ida: how are you
  I know about your plants. Try: *fern 3*
""",
    )


def test_help_is_short_and_in_the_order_of_a_day(house: InProcess) -> None:
    said = play(
        house,
        """
Ida: help
  A day with me: /round
  /pour fern
  /undo
Ida: /help all
  (long)
  /later fern
  /drained fern
""",
    )
    assert len(said[0].text.split()) <= 50


def test_a_morning(house: InProcess) -> None:
    play(
        house,
        """
Ida: good morning
  Nothing to look at today.
  Next is Fern: probe on Wednesday
Ida: fern 3
  Water it well
  = checked
Ida: what needs water today?
  One plant wants something today:
  Fern: drier than it likes since today
""",
    )


def test_a_caution_is_said_at_once_for_what_kills_pets(stage: InProcess) -> None:
    """True lilies and sago palms: emergencies by veterinary pages; both names always ask."""
    play(
        stage,
        """
Ida: /add Lil, lily, 15 cm pot
  (long)
  Lil is on the list. Which "lily" is it?
  keep cats away
  Or type day lily, tiger lily
  [Peace lily] [Calla lily] [Easter lily] [Any other true lily]
  = arrived
Ida: tiger lily
  Danger to cats
  call a vet or poison centre at once
  = described
Ida: /add Palma, palm, 20 cm pot
  (long)
  A sago palm can kill a dog or a cat
  [Areca palm] [Parlor palm] [Kentia palm] [Sago palm]
  = arrived
Ida taps: Sago palm
  (long)
  call a vet or poison centre at once
  = described
""",
    )
