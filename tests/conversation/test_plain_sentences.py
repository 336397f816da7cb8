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
    "use inches": "/settings units inches",
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
    "hi, I watered the fern today, about half a litre": "/gave fern half a litre today",
    "just checked everything: fern 3, goldie 5": "/check fern 3, goldie 5",
    "fern: soil is dry on top but wet below": "/check fern top dry bottom wet",
    "fern's roots are coming out of the hole": "/looked fern full",
    "fern is rootbound": "/looked fern full",
    "fern has no hole": "/plant fern hole no",
    "how are my plants?": "/plants due",
    "which plants are dry": "/plants due",
    "please water my plants": "/plants due",
    "show me the kitchen": "/plants kitchen",
    "should I turn the fern": "/plant fern",
    "fern4": "/check fern 4",
    "fern--4": "/check fern 4",
    "goldi 4": "/check goldie 4",
    "fern four and a half": "/check fern 4.5",
    "help me water the fern": "/pour fern",
    "22C in the kitchen": "/room kitchen 22C",
    "what's the weather tonight": "/low",
    "it's 30 degrees outside": "/high 30 today",
    "30C outside": "/high 30 today",
    "it's 34 outside right now": "/high 34 today",
    "it will be 30 degrees": "/high 30",
    "it's going to be 31 degrees": "/high 31",
    "it's minus 5 outside": "/low -5",
    "who did what today": "/story today",
    "what did Tom do this week?": "/story this week by tom",
    "what did Tom do last month": "/story last month by tom",
    "what has noor done": "/story today by noor",
    "what did I do yesterday": "/story yesterday by I",
    "what did we do yesterday?": "/story yesterday",
    "what happened today": "/story today",
    "what happened on 2 march": "/story today",
    "who did what on the 2nd": "/story today",
    "who watered this week": "/story this week",
    "what happened to fern": "/story fern",
    "privacy": "/help privacy",
    "what do you know about me?": "/help privacy",
    "what do you store": "/help privacy",
    "who can see this": "/help privacy",
    "delete my data": "/forget",
    "is my data safe?": "/help privacy",
    "do you sell my data?": "/help privacy",
    "show temperatures in fahrenheit": "/settings units fahrenheit",
    "it's hot outside": "/high",
    "is it cold outside": "/low",
    "how hot is it outside?": "/high",
    "log": "/story today",
    "what did Tom do today": "/story today by tom",
    "today's log": "/story today",
    "/log fern": "/story fern",
    "how do I export my data": "/export",
    "export our data": "/export",
    "can I get a copy of my data?": "/export",
    "what do you know about the fern": "/plant fern",
    "use fahrenheit": "/settings units fahrenheit",
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
