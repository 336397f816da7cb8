"""Slips: /undo between two people, /fix, edits soon and late, the same message twice."""

from __future__ import annotations

from core.actions.rebuilding import rebuild
from tests.conversation.talking import InProcess, play


def test_undo_between_two_people(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
Tom: goldie 3
  = checked
Ida: viper 1
  = checked
Ida: /undo
  Taken back: Viper 1.
  The newest now is by Tom: Goldie 3. Only they can take that back.
  Another /undo takes back yours: Fern 3.
  = undone
Ida: undo
  Taken back: Fern 3.
  = undone
Tom: /undo
  Taken back: Goldie 3.
  The newest now is by Ida: Fig added.
  not: takes back yours
  = undone
Tom: /undo
  You have told me nothing that could be taken back.
Ida: /undo
  Taken back: Fern added, Goldie added, Viper added and 1 more.
  Nothing else is written down.
  = undone
Ida: /undo
  nothing that could be taken back
Ida: fern 3
  I don't know any plants here yet.
""",
    )


def test_undo_of_what_others_built_on(house: InProcess) -> None:
    play(
        house,
        """
Tom: /plant fern copy
  Fern 2 is on the list
  = arrived
Ida: fern 2: 3
  = checked
Tom: /undo
  Fern 2 has newer entries, so its arrival stays. /plant fern 2 retire takes it off the list.
Ida: /plant goldie rename Midas
  Goldie is called Midas now.
  = described
Tom: /add Goldie, golden pothos, 12 cm pot
  = arrived
Ida: /undo
  There is another Goldie by now
Ida: /plant midas retire sold
  Midas is off the list: sold.
  = left
Tom: /plant goldie rename Midas
  = described
Ida: /undo
  There is another Midas by now
Tom: /undo
  Taken back: Goldie renamed Midas.
  = undone
Ida: /undo
  Taken back: Midas sold.
  = undone
Ida: midas 5
  Midas: 5.
  = checked
""",
    )


def test_undo_and_pours(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
Ida: /pour fern
  first half
Ida: poured
  7 minutes
Ida: /undo
  A pour of Fern is under way, 200 ml so far; none of it is written down yet.
  [Close the pour] [Take back Fern 3] [Go on pouring]
Ida: close the pour
  Closed. 200 ml
  = poured
Ida: /undo
  Taken back: Fern 200 ml given.
  = undone
Ida: /pour fern
  first half
Ida: poured
  7 minutes
... 7 minutes
  (reminder) any water
Ida: yes
  Stop there
  = poured
Ida: /undo
  Taken back: Fern 200 ml given.
  = undone
... 2 hours
""",
    )


def test_fix_a_reading_an_amount_the_plant_the_time(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
... 10 minutes
Ida: /fix 4
  Corrected. Fern: 4, 10 minutes ago.
  = undone checked
Ida: /fix goldie
  Corrected. Goldie: 4, 10 minutes ago.
  = undone checked
Ida: /fix fern 6 yesterday
  Corrected. Fern: 6, yesterday.
  = undone checked
Ida: /fix 14
  Did you mean 1 and 4?
  [1 and 4] [4] [10]
Ida: 4
  Corrected. Fern: 4, yesterday.
  = undone checked
Ida: /fix 300 ml
  Your last entry is a reading (Fern 4), so an amount can't correct it.
  [Gave 300 ml too]
Ida: gave 300 ml too
  Fern: 300 ml given.
  = poured
Ida: /fix 400 ml
  Corrected. Fern: 400 ml given. Kept.
  = undone poured
Ida: /fix yesterday
  Corrected. Fern: 400 ml given, yesterday.
  = undone poured
Ida: /fix goldie
  Corrected. Goldie: 400 ml given, yesterday.
  = undone poured
Ida: /fix 4
  Your last entry is a watering, so an amount corrects it: /fix goldie 300 ml
Ida: /fix
  Your last entry: Goldie 400 ml given.
Ida: /fix zebra 4
  I don't know "zebra".
Ida: turned fern
  = tended
Ida: /fix 4
  Your last entry is no reading and no watering. /undo takes it back.
""",
    )


def test_fix_one_of_several(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3, fig 4
  = checked checked
Ida: /fix 5
  Your last message told several: Fern 3 and Fig 4.
  /fix fern 4
Ida: /fix fig 5
  Corrected. Fig: 5.
  = undone checked
Ida: /story fern
  Today, you: 3; added
""",
    )


def test_undo_of_a_correction_brings_back_what_it_corrected(house: InProcess) -> None:
    """One step at a time: the second correction, the first, the entry itself."""
    play(
        house,
        """
Ida: fern 8
  = checked
Ida: /fix fern 3
  Corrected. Fern: 3. Water it well today.
  = undone checked
Ida: /fix goldie
  Corrected. Goldie: 3.
  = undone checked
Ida: /undo
  Taken back: Goldie 3. As before the correction: Fern 3.
  Another /undo takes that back too.
  = undone
Ida: /plant fern
  drier than it likes since today
Ida: /undo
  Taken back: Fern 3. As before the correction: Fern 8.
  = undone
Ida: /plant fern
  not: drier than it likes
Ida: /undo
  Taken back: Fern 8.
  not: correction
  = undone
Ida: /gave fern 300 ml
  = poured
... 3 minutes
Ida edits: /gave fern 400 ml
  Corrected.
  = undone poured
Ida: /undo
  Taken back: Fern 400 ml given. As before the correction: Fern 300 ml given.
  = undone
Ida: /check fern 3, goldie 2
  = checked checked
Ida: /fix goldie 5
  Corrected. Goldie: 5.
  = undone checked
Ida: /undo
  Taken back: Goldie 5. As before the correction: Goldie 2.
  = undone
Ida: /undo
  Taken back: Fern 3 and Goldie 2.
  = undone
""",
    )
    with house.store.read() as tx:
        assert rebuild(tx, 1, write=False) == []


def test_undo_of_an_edited_arrival_leaves_the_first_one_away(house: InProcess) -> None:
    """Its name may be another's by now."""
    play(
        house,
        """
Ida: /add Bert, boston fern, 15 cm pot
  = arrived
Ida edits: /add Fred, boston fern, 15 cm pot
  Corrected.
  = undone arrived
Ida: /undo
  Taken back: Fred
  not: correction
  = undone
""",
    )


def test_edits(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
... 14 minutes
Ida edits: fern 5
  Corrected. Fern: 5, 14 minutes ago.
  = undone checked
Ida edits: fern banana
  Kept as it was: Fern 5. To change it: /fix, or /undo.
Ida: fern 3
  = checked
... 16 minutes
Ida edits: fern 4
  Kept as it was: Fern 3. To change it: /fix, or /undo.
Ida: goldie 3
  = checked
Tom: gave goldie 200 ml
  = poured
Ida edits: goldie 4
  Kept as it was: Goldie 3.
Ida: how are you
  I know about your plants.
Ida edits: fern 6
  Fern: 6.
  = checked
Ida: /add Basil, basil, 12 cm pot
  = arrived
Ida edits: /add Basilico, basil, 12 cm pot
  Corrected. Basilico is on the list
  = undone arrived
""",
    )


def test_the_same_message_twice_is_one(house: InProcess) -> None:
    house.say("Ida", "fern 3")
    before = house.journal()
    assert house.again("Ida") == []
    assert house.journal() == before


def test_a_button_works_once_and_looking_works_always(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  = checked
Ida taps: I've done it
  Fern: 450 ml given.
  = poured
Ida taps: I've done it
  That step is done.
Ida: /add Basil, basil, 12 cm pot
  = arrived
Ida taps: Pot is shallower
  6 cm deep
  = described
Ida taps: Pot is deeper
  Basil's pot: 12 cm wide
  = described
""",
    )
