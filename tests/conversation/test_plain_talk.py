"""What a sentence leaves open: which plant, which of two things, whose deed; what is no entry."""

from __future__ import annotations

from tests.conversation.talking import InProcess, play


def test_what_is_asked_of_no_plant_is_asked_of_the_one_spoken_of(house: InProcess) -> None:
    """For two hours, and only of what whoever asks told of themselves."""
    play(
        house,
        """
Ida: fern 7
  = checked
Ida: why?
  Fern: probe tomorrow
Ida: how much?
  Fern: no water now
Tom: why?
  Which plant?
Ida: no, 5
  Corrected. Fern: 5
  = undone checked
Ida: sorry, it was 4
  Corrected. Fern: 4
  = undone checked
Ida: oops
  Take back your last entry?
  [Take it back] [Never mind]
Ida taps: Take it back
  As before the correction: Fern 5
  = undone
Ida: thank you so much!
  Gladly.
... 3 hours
Ida: why?
  Which plant?
""",
    )


def test_what_may_be_either_is_asked(house: InProcess) -> None:
    play(
        house,
        """
Ida: looked roots fine
  roots fine for which plant?
  [Fern roots fine] [Goldie roots fine] [Fig roots fine] [Viper roots fine]
Ida taps: Fern roots fine
  Fern
  = looked
Ida: 12 degrees tomorrow
  12 degrees tomorrow: by night or by day?
  [By night] [By day]
Ida: by day
  Tomorrow 12
  = high
Ida: fern 3 or 4
  3 to 4: two places, or about 3.5 in one?
  [3 and 4] [3.5]
Ida taps: 3.5
  Fern: 3.5.
  = checked
Ida: I'll do it
  not: does the round
Ida: fern, goldie and viper are dry
  dry for each of Fern, Goldie and Viper?
  [For each] [Never mind]
Ida taps: For each
  Fern: dry.
  Goldie: dry.
  Viper: dry.
  = checked checked checked
Tom: goldie 5
  = checked
Ida: tom watered the fern
  Fern watered by Tom: kept as told by you?
  [Keep it] [Never mind]
Ida: yes
  Fern: watered. Kept.
  = poured
Ida: zoe watered the fern
  I know Fern, but not the rest.
Ida: water the fern every 3 days
  I go by the soil, not by the calendar
""",
    )


def test_what_is_no_entry_is_none(house: InProcess) -> None:
    """Mist is no watering, a full saucer no place, a sad leaf no reading, "not" no deed."""
    play(
        house,
        """
Ida: misted fern
  Mist wets leaves, not the soil, so nothing is kept.
Ida: fern stands in water
  Tip out what stands under Fern
Ida: goldie has yellow leaves
  the probe tells most
  [Probe now]
Ida: the fig is leaning
  turn it by a quarter
Ida: fern is dying
  the probe tells most
Ida: I did not water the fern
  I know Fern, but not the rest.
Ida: fern is not dry
  I know Fern, but not the rest.
Ida: bought a new pot
  Shall I add pot?
  [Add it] [Never mind]
Ida: no
  nothing changed
Ida: zebra has yellow leaves
  I don't know "zebra".
Ida: yesterday at 4
  for which plant?
""",
    )


def test_whoever_takes_over_hears_what_there_is(house: InProcess) -> None:
    play(
        house,
        """
Noor: fern 7
  = checked
Ida: handover to noor
  (long)
  Handover to Noor, today to Monday the 9th: 4 plants
Ida: noor takes over from friday
  (long)
  Handover to Noor, Friday to Friday the 13th: 4 plants
Ida: noor looks after the plants next week
  (long)
  Handover to Noor, Monday the 9th to Sunday the 15th: 4 plants
Ida: tom takes over
  "to tom" is no room, sitter or span of days that I know.
Ida: noor does the kitchen
  Noor does kitchen today.
Ida: zoe does the kitchen
  not: does kitchen
""",
    )


def test_poison_is_told_of_plants_kinds_and_all(house: InProcess) -> None:
    play(
        house,
        """
Ida: /poison goldie
  Goldie: Golden pothos (Epipremnum aureum). Poisonous (burns mouth and throat).
  if eaten: vet or poison centre. Substance: insoluble calcium oxalate crystals.
Ida: is oleander dangerous?
  Danger to pets and people: acts on the heart
  Substance: cardiac glycosides.
Ida: is the lily safe for cats
  True lilies and day lilies kill cats
  [Peace lily] [Calla lily] [Easter lily] [Any other true lily]
Ida taps: Easter lily
  Danger to cats: kidney failure
Ida: is xyzzy poisonous
  I don't know "xyzzy": treat it as poisonous.
Ida: /add Odd, xyzzy plantus, 15 cm pot
  = arrived
Ida: is odd poisonous
  treat it as poisonous
Ida: which of my plants are poisonous?
  Poisonous or irritating: Goldie, Fig and Viper.
  Not sure, so treat them as poisonous: Odd.
  No plant here is promised to be safe to eat.
""",
    )


def test_it_is_the_plant_spoken_of_last(house: InProcess) -> None:
    """Shown at once; where something would be kept, it is asked, unless there is only one plant."""
    play(
        house,
        """
Ida: watered it
  I don't know "it".
Ida: fern 7
  = checked
Ida: is it poisonous?
  Fern: Boston fern
Ida: when should I check it again?
  Fern: probe tomorrow
Ida: gave it 300 ml
  Do you mean Fern?
  [Yes] [Never mind]
Ida: yes
  Fern: 300 ml given.
  = poured
Ida: it has no hole
  Do you mean Fern?
  [Yes] [Never mind]
Ida: no
  nothing changed
Ida: remove it
  Do you mean Fern?
Ida: no
  nothing changed
Ida: how cold is it tonight
  I know no low for tonight
Ida: it's snowing
  I know about your plants.
Ida: moved it 1 m back from the window
  Do you mean Fern?
Ida: yes
  Fern stands here: bathroom, 1 m from the north window.
  = moved
Ida: it will be -3 tonight
  Tonight -3
  = low
... 3 hours
Ida: it's 4
  for which plant?
""",
    )


def test_with_one_plant_it_is_that_one(stage: InProcess) -> None:
    play(
        stage,
        """
Ida: /add Monty, monstera deliciosa
  = arrived
Tom: it's 3 4
  Monty: 3 and 4.
  = checked
Tom: the pot is 25 cm
  Monty's pot: 25 cm wide
  = described
Tom: no hole
  Monty's pot has no hole
  = described
Tom: call it Bob
  Monty is called Bob now.
  = described
Tom: gave it 300 ml
  Bob: 300 ml given.
  = poured
Tom: how much?
  Bob
""",
    )


def test_a_misspelt_command_is_offered(house: InProcess) -> None:
    play(
        house,
        """
Ida: undoo
  Did you mean /undo?
  [/undo]
Ida: /chek fern 4
  Did you mean /check?
  [/check fern 4]
Ida: banana
  I know about your plants.
""",
    )


def test_who_did_what_is_told_plant_by_plant(house: InProcess) -> None:
    play(
        house,
        """
Tom: who did what yesterday
  Yesterday nothing was told.
... 26 hours
Ida: fern 3
  = checked
Tom: gave fern 300 ml
  = poured
Tom: goldie 8
  = checked
Ida: -3 tonight
  = low
Ida: who did what today
  Today:
  Fern: 3 (Ida); 300 ml given (Tom)
  Goldie: 8 (Tom)
  House: low of -3 °C outside (Ida)
Tom: /undo
  = undone
Ida: who did what today
  not: Goldie
Ida: what happened yesterday
  Yesterday, Ida:
  Fern: added
""",
    )


def test_what_one_of_them_did(house: InProcess) -> None:
    """Asked of somebody, it tells of nobody else."""
    house.say("Tom", "/check fern 6")
    play(
        house,
        """
Ida: what did Tom do today?
  Today, Tom:
  Fern: 6
Ida: what did I do today
  Today, Ida:
  Fern: added
Ida: /story yesterday by to
  Yesterday nothing was told by Tom.
Ida: what has bob done today
  I know Ida and Tom here; whose?
  [Ida] [Tom]
Ida taps: Tom
  Fern: 6
Ida: /story today by Tom older 7
  Fern: 6
Ida: /story by tom
  Fern: 6
""",
    )


def test_a_day_of_many_plants_goes_on_behind_a_button(house: InProcess) -> None:
    house.say("Ida", "/add\n" + "\n".join(f"Ivy {n}, ivy, 12 cm pot" for n in range(1, 10)))
    house.say("Ida", "\n".join(["/check ivy 1: 1", *(f"ivy 1: {n}" for n in range(2, 8))]))
    play(
        house,
        """
Ida: /story today
  Today, you:
  Fern: added
  Ivy 1: 5 before; 5, 6, 7
  [8 more]
Ida taps: 8 more
  Ivy 2: added
  [3 more]
Ida taps: 3 more
  Ivy 9: added
  []
Ida: /story in 3 days
  I don't know
Ida: /story 2027-01-01
  hasn't been yet
""",
    )


def test_one_measure_that_goes_with_others_is_asked_about(house: InProcess) -> None:
    """It used to change them all, whatever else was wanted."""
    play(
        house,
        """
Ida: use inches
  What I say goes together
  [US] [imperial] [metric]
Ida: imperial
  Measures are imperial now
Ida: use inches
  Measures are imperial now
Ida: in celsius
  Measures are imperial now
Ida: use fahrenheit
  [US] [imperial]
Ida: use cm
  Measures are metric now
""",
    )
