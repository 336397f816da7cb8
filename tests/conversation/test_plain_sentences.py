"""Sentences without a command's mark, where it is sure that we are meant.

What a person types stands beside the command that means the same; both have to be answered alike.
"""

from __future__ import annotations

import re

import pytest

from tests.conversation.talking import InProcess, labels, play

PLANTS = (
    "fern, Boston fern, 15 cm pot, bathroom, north window",
    "goldie, golden pothos, 15 cm pot, kitchen, east window",
    "viper, snake plant, D16 h15 cm terracotta, study, low light",
    "fig, fiddle-leaf fig, 25 cm pot, living room, south window",
)
# Sentence -> the command that it stands for.
SAME = {
    "whats due": "/plants due",
    "what's due": "/plants due",
    "what\u2019s next": "/plants due",
    "whats due today?": "/plants due",
    "do any plants need water?": "/plants due",
    "chart fern": "/chart fern",
    "chart of the fern": "/chart fern",
    "fern chart": "/chart fern",
    "show me the chart of fern": "/chart fern",
    "photos of fern": "/photo fern",
    "away 10-14 march": "/away 10-14 march",
    "we're away 10-14 march": "/away 10-14 march",
    "I'll be away 10-14 march": "/away 10-14 march",
    "I am away from 10 march to 14 march": "/away 10-14 march",
    "on holiday 10-14 march": "/away 10-14 march",
    "we're back": "/away off",
    "low 4C tonight": "/low 4C",
    "low -3 sat": "/low -3 sat",
    "4C tonight": "/low 4C",
    "4 degrees tonight": "/low 4C",
    "tonight -6": "/low -6",
    "minus 6 tonight": "/low -6",
    "it will be -6 tonight": "/low -6",
    "frost tonight": "/low",
    "will it freeze tonight?": "/low",
    "high 36C": "/high 36C",
    "room kitchen 18C": "/room kitchen 18C",
    "kitchen is 18C": "/room kitchen 18C",
    "kitchen 18C 45%": "/room kitchen 18C 45%",
    "handover": "/handover",
    "hand over": "/handover",
    "invite sitter": "/invite sitter",
    "join 1234": "/join 1234",
    "round": "/round",
    "morning round": "/round",
    "round kitchen": "/round kitchen",
    "skip fern": "/skip fern",
    "fern not today": "/later fern",
    "later": "/later",
    "why fern": "/why fern",
    "looked fern soft": "/looked fern soft",
    "fern roots fine": "/looked fern fine",
    "fern has soft roots": "/looked fern soft",
    "looked": "/looked",
    "story of fern": "/story fern",
    "what happened to fern?": "/story fern",
    "when was fern last watered?": "/story fern",
    "I want to water the fern": "/pour fern",
    "spot fern kitchen": "/spot fern kitchen",
    "rename fern Bob": "/plant fern rename Bob",
    "copy fern": "/plant fern copy",
    "gave fern away": "/plant fern retire given",
    "checked fern for pests": "/scout fern",
    "tipped out the fern": "/drained fern",
    "I have a new plant": "/add",
    "show plants": "/plants",
    "units us": "/settings units us",
    "sensor": "/sensor",
    "menu": "/help",
    # as a new user says it
    "looked roots fine": "/looked roots fine",
    "the roots are soft": "/looked roots soft",
    "away next week": "/away 9-15 march",
    "we're on holiday from the 10th to the 14th": "/away 10-14 march",
    "I'm going away tomorrow": "/away tomorrow",
    "call fern Bob": "/plant fern rename Bob",
    "the fern is called Bob now": "/plant fern rename Bob",
    "change the fern's name to Bob": "/plant fern rename Bob",
    "use inches": "/settings units us",
    "metric please": "/settings units metric",
    "I live in London": "/settings zone London",
    "36C tomorrow": "/high 36C tomorrow",
    "it will be 35 degrees on friday": "/high 35 degrees friday",
    "-3 tomorrow": "/low -3 tomorrow",
    "it will be cold tonight, -3": "/low -3",
    "frost tomorrow night?": "/low tomorrow",
    "is the fern toxic for cats?": "/poison fern",
    "are any of my plants poisonous": "/poison",
    "is the lily poisonous for cats": "/poison lily",
    "when do I water the fern?": "/plant fern",
    "tell me about the fern": "/plant fern",
    "did anyone water the fern?": "/story fern",
    "fern history": "/story fern",
    "what should I do today?": "/plants due",
    "which plants do I have": "/plants",
    "what's in the kitchen?": "/plants kitchen",
    "how much light does the fern need?": "/spot fern",
    "how do I probe?": "/help probe",
    "how does this work": "/help",
    "good evening": "/start",
    "add my ivy": "/add ivy",
    "throw fern away": "/plant fern retire",
    "fern is in a 20 cm pot": "/plant fern pot 20 cm pot",
    "the fern's pot is 20 cm": "/plant fern pot 20 cm",
    "fern has a new pot, 20 cm": "/repot fern 20 cm",
    "fern is a maidenhair fern": "/plant fern species maidenhair fern",
    "put fern in the bedroom": "/spot fern in the bedroom",
    "remind me about fern on friday": "/later fern on friday",
    "fern I'll do it tomorrow": "/later fern tomorrow",
    "watred the fern": "/gave fern",
    "waterd goldie 300 ml": "/gave goldie 300 ml",
    "fern got a bit of water": "/gave fern a bit of water",
    "fern read 4": "/check fern 4",
    "I think fern is ~4": "/check fern 4",
    "fern 4 this morning at 6": "/check fern 4 today 06:00",
    "this morning at 6 I watered the fern": "/gave fern today 06:00",
    "fern between 3 and 4": "/check fern 3-4",
    "start pouring fern": "/pour fern",
    "I don't have a moisture meter": "/help probe",
    "what does 3 mean?": "/help probe",
    "how do I invite my flatmate": "/help invite",
    "stop reminding me": "/help quiet",
    "morning round at 9": "/settings morning 9",
    "add an ivy please": "/add ivy",
    "add another plant": "/add",
    "we are home again": "/away off",
    "it's cold": "/low",
    "how often should I water the fern?": "/plant fern",
    "does fern like sun": "/spot fern",
    "send me a picture of the fern": "/photo fern",
    "schedule": "/plants due",
}


# A code to join by, which is another each time.
_CODE = re.compile(r"\b(?:[A-Z0-9]{4}-){2}[A-Z0-9]{4}\b")


@pytest.mark.parametrize("sentence", SAME)
def test_a_sentence_is_answered_as_its_command(house: InProcess, sentence: str) -> None:
    """Word for word, with the same buttons and events; each is said in a house of its own."""
    told = _answered(house, sentence)
    other = InProcess()
    other.say("Ida", "/add\n" + "\n".join(PLANTS))
    assert told == _answered(other, SAME[sentence])
    other.close()


def _answered(house: InProcess, text: str) -> tuple[str, list[str], list[str]]:
    (said,) = house.say("Ida", text)
    return _CODE.sub("CODE", said.text), labels(said), house.journal()


def test_a_plants_name_goes_before_a_commands(house: InProcess) -> None:
    """Whole names first, then what a name may begin with, then the word without its mark."""
    play(
        house,
        """
Ida: /add Chart, boston fern, 15 cm pot⏎Highlander, golden pothos, 15 cm pot⏎Away, ivy, 12 cm pot
  = arrived arrived arrived
Ida: chart 3
  Chart: 3.
  = checked
Ida: high 3
  Highlander: 3.
  = checked
Ida: away 10-14 march
  not: stay quiet
Ida: /away 10-14 march
  I stay quiet then
Ida: chart of fern
  not: since today
""",
    )


def test_a_name_that_is_asked_for_is_no_command(house: InProcess) -> None:
    play(
        house,
        """
Ida: add
  What do you call the plant?
Ida: low
  What kind of plant is low?
Ida: ivy
  Which pot?
""",
    )


def test_a_bare_moved_answers_the_cold_night_it_was_asked_for(house: InProcess) -> None:
    """The words of the button, by whoever was asked or, where all were, by anybody."""
    play(
        house,
        """
Ida: moved
  Which plant?
Ida: /cancel
  nothing changed
Ida: /spot fig sill of the south window
  = moved
Ida: /low -6
  [Moved] [They're fine]
  = low
Ida: moved
  Fig moved. In the morning I'll say whether it can go back.
Ida: /low -6 sat
  = low
Ida: /add Moved, boston fern, 15 cm pot
  = arrived
... 5 days
  (reminder) Fig can go back
... 7 hours
  (warning) Tonight -6
  [Moved] [They're fine]
Tom: moved 4
  Moved: 4.
  = checked
Tom: they're fine
  They stay where they are
""",
    )


def test_today_is_not_the_end_of_not_today(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3
  [Pour with me] [I've done it] [Not today]
  = checked
Ida: today
  not: comes up again
Ida: fern 3
  [Pour with me] [I've done it] [Not today]
  = checked
Ida: not today
  Fern comes up again
  = postponed
""",
    )


def test_a_number_corrected_in_a_word(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 6
  = checked
Ida: no, 7
  Corrected. Fern: 7
  = undone checked
Ida: I meant 5 6
  Corrected. Fern: 5 and 6
  = undone checked
""",
    )


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
