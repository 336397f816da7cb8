"""Water given without being coached: amounts, units, several, everything, too much."""

from __future__ import annotations

import pytest

from tests.conversation.talking import InProcess, play

FORMS = {
    "gave fern 400 ml": "Fern: 400 ml given. Kept.",
    "gave the fern 400ml": "Fern: 400 ml given.",
    "gave 400 ml to fern": "Fern: 400 ml given.",
    "gave 400 ml to the fern": "Fern: 400 ml given.",
    "watered fern with 400 ml": "Fern: 400 ml given.",
    "fern 400 ml": "Fern: 400 ml given.",
    "fern got 400 ml": "Fern: 400 ml given.",
    "fern was watered": "Fern: watered.",
    "fern watered": "Fern: watered.",
    "I have just watered the fern": "Fern: watered.",
    "watered fern yesterday": "Fern: watered, yesterday.",
    "yesterday I watered the fern": "Fern: watered, yesterday.",
    "gave fern a little": "Fern: a sip given.",
    "gave fern ½ cup": "Fern: 125 ml (½ cup) given.",
    "gave fern 1 1/2 cups": "Fern: 375 ml (1 1/2 cups) given.",
    "gave fern 1,5 l": "Fern: 1.5 L given.",
    "gave fern 250 ML": "Fern: 250 ml given.",
    "gave fern 400 ml, 50 ml ran off": "50 ml of it ran off.",
    "/gave fern 400 ml 2 days ago": "Fern: 400 ml given, 2 days ago.",
    "/gave fern 300 ml 24 feb": "Fern: 300 ml given, 6 days ago.",
    "gave fern 300 ml on february 24": "Fern: 300 ml given, 6 days ago.",
    "I gave fern 300 ml on feb 24": "Fern: 300 ml given, 6 days ago.",
    "watered fern on the 24th": "Fern: watered, 6 days ago.",
    "on 24 feb I watered the fern": "Fern: watered, 6 days ago.",
}


@pytest.mark.parametrize("said", FORMS)
def test_forms(house: InProcess, said: str) -> None:
    play(house, f"Ida: {said}\n  {FORMS[said]}\n  = poured")


UNCLEAR = {
    "gave fern 5": ("5 of what, for Fern?", ["5 cups", "5 ml"]),
    "gave fern 400": ("400 of what, for Fern?", ["400 ml"]),
    "gave fern -5 ml": ("less than nothing", []),
    "gave fern 9**9 ml": ("can't read a number", []),
    "gave fern 100 l": ("100 L for Fern, whose pot holds 1.1 L?", ["Never mind", "Keep it"]),
    "gave fern 50 ml, 400 ml ran off": ("More ran off than went in?", []),
    "gave fern banana": ('I didn\'t understand "banana", so nothing was kept.', []),
    "gave zebra 400 ml": ('I don\'t know "zebra".', []),
    "gave": ("Which plant? Try: /gave fern", ["Fern", "Goldie", "Viper", "Fig"]),
    "400 ml": ("400 ml for which plant?", None),
    "poured 150 ml": ("150 ml for which plant?", None),
    "watered everything": ("All 4 plants watered?", ["Yes, all 4", "Never mind"]),
    "gave fern 12 kg": ("", None),
}


@pytest.mark.parametrize("said", UNCLEAR)
def test_every_refusal_says_what_would_work(house: InProcess, said: str) -> None:
    before = house.journal()
    (heard,) = house.say("Ida", said)
    text, buttons = UNCLEAR[said]
    assert text in heard.text, heard.text
    assert house.journal() == before, heard.text
    if buttons is not None:
        assert [one.label for one in heard.buttons] == buttons


def test_choices_that_follow(house: InProcess) -> None:
    play(
        house,
        """
Ida: gave fern 2
  2 of what, for Fern?
  [2 cups] [2 l] [2 ml]
Ida: 2 cups
  Fern: 500 ml (2 cups) given. Kept.
  I took a cup for 250 ml
  = poured
Ida: gave fern 100 l
  Nothing kept yet.
Ida: yes
  Fern: 100 L given. Kept.
  More than half the pot, 550 ml: look for standing water.
  = poured
Ida: 300 ml
  for which plant?
Ida: goldie
  Goldie: 300 ml given.
  = poured
""",
    )


def test_several_and_everything(house: InProcess) -> None:
    play(
        house,
        """
Ida: watered fern and goldie
  Watered: Fern, Goldie. Kept.
  = poured poured
Ida: gave fern 400 ml, goldie 300 ml and the fig 1 l
  Watered: Fern 400 ml, Goldie 300 ml, Fig 1 L. Kept.
  = poured poured poured
Ida: watered fern, fig yesterday
  Watered: Fern, Fig. Kept.
  = poured poured
Ida: /gave fern 100 ml⏎fig banana
  Watered: Fern 100 ml. Kept.
  "fig banana" wasn't kept. I don't know "banana".
  = poured
Ida: watered everything
  All 4 plants watered?
Ida: yes
  Watered: Fern, Goldie, Viper, Fig. Kept.
  = poured poured poured poured
Ida: watered all of them yesterday
  All 4 plants watered?
Ida: no
  nothing changed
""",
    )


def test_us_and_imperial(stage: InProcess) -> None:
    """US cup 236.6 ml, pint 473 ml; imperial pint 568 ml (NIST Handbook 44, SEEN)."""
    play(
        stage,
        """
Ida: /settings units us
  Measures are US now: 1¾ US cups (400 ml).
Ida: /add fern, boston fern, 6 in pot
  6 in pot
  4½ in deep
  = arrived
Ida: gave fern 2 cups
  Fern: 2 US cups (473 ml) given.
  not: I took
  = poured
Ida: gave fern 12 oz
  I took the ounces for fluid ounces.
  = poured
Ida: /add basil, boston fern, 6 in pot
  = arrived
Ida: basil 3
  About 2 US cups (450 ml), in two halves.
  = checked
Ida: /settings units imperial
  Measures are imperial now
Ida: gave fern 1 pint
  Fern: 1 imperial pint (568 ml) given.
  = poured
Ida: /settings units metric
  Measures are metric now: 400 ml (about 1½ cups).
Ida: gave fern 1 pint
  Fern: 473 ml (1 pint) given.
  Taken as US measures
  = poured
""",
    )


def test_removal_is_no_watering(house: InProcess) -> None:
    play(
        house,
        """
Ida: emptied the fern
  Fern: tipped out. Noted; that is no watering.
  = drained
Ida: /drained fern 80 ml
  Fern: tipped out 80 ml.
  = drained
Ida: fern
  Fern: probe on Wednesday.
  not: watered
""",
    )


def test_doses(house: InProcess) -> None:
    """By hand: V(15 cm) 1.11 L; half 0.56; at 3: 1.1 x 0.50 x 1.11 x 5/7 = 0.44."""
    play(
        house,
        """
Ida: how much water does the fern need?
  Fern: about 300 ml (about 1¼ cups) if it is half dry, 550 ml if dry right through.
  No fresh reading, so probe first: *fern 3*.
Ida: /dose fern 3
  Fern at 3: about 450 ml
Ida: fern 8
  = checked
Ida: /dose fern
  Fern: no water now.
  Dry right through it would take 550 ml (about 2 cups) at most.
Ida: fern 3
  = checked
Ida: how much for fern
  Fern: about 450 ml (about 1¾ cups), in two halves.
  By its last reading: 3.
Ida: /dose 20x18x15 cm
  A 20x18x15 cm pot: at most 1.7 L, half the pot, when dry right through.
Ida: 6 in pot
  at most
Ida: /dose 300 cm
  300 cm can't be right.
Ida: /dose zebra
  I don't know "zebra".
Ida: /dose fern banana
  A reading works: /dose fern 3
Ida: /dose
  /dose 20x18x15 cm
Ida: /dose luna
  I don't know "luna".
""",
    )


def test_all_of_a_room_or_of_the_house(house: InProcess) -> None:
    """As the round names errands for many, so are they told of: in a word."""
    play(
        house,
        """
Ida: /add Ivy, english ivy, 12 cm pot, kitchen
  = arrived
Ida: watered the kitchen
  All 2 plants in kitchen watered?
  [Yes, all 2] [Never mind]
Ida taps: Yes, all 2
  Goldie, Ivy
  = poured poured
Ida: turned all
  Fern, Goldie, Viper, Fig and Ivy: turned. Noted.
  = tended tended tended tended tended
Ida: /scout kitchen plants fine
  Goldie and Ivy: looked over. Noted.
  = tended tended
Ida: watered bathroom
  Fern watered?
Ida: /add Kitchen, boston fern, 12 cm pot, study
  = arrived
Ida: wiped kitchen
  Kitchen: wiped. Noted.
  = tended
""",
    )


def test_asked_whether_to_pour_it_is_done_already(house: InProcess) -> None:
    play(
        house,
        """
Ida: /pour fern
  I have no fresh reading of Fern.
  [I'll probe first] [Pour anyway]
Ida: not poured
  [I'll probe first] [Pour anyway]
Ida: I poured it
  Fern: watered. Kept.
  = poured
""",
    )


def test_a_kitchen_measure_that_only_comes_near_is_about_it(house: InProcess) -> None:
    """12 imperial fluid ounces are 341 ml, 0.6 of a pint (NIST Handbook 44, FROM MEMORY)."""
    play(
        house,
        """
Ida: /settings units imperial
  imperial
Ida: gave fern 12 fl oz
  Fern: 341 ml (about ½ imperial pint) given. Kept.
  = poured
Ida: gave fern half a pint, 2 fl oz ran off
  Fern: ½ imperial pint (284 ml) given. Kept.
  57 ml (about 4 tablespoons) of it ran off.
  = poured
Ida: gave fern a gallon
  1 imperial gallon (4.55 L) for Fern, whose pot holds 2 imperial pints?
""",
    )
