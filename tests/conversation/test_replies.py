"""A reply to one of our messages: the plant that it doesn't name is the one that was about."""

from __future__ import annotations

from pathlib import Path

from PIL import Image

from bot.talk.message import Picture
from tests.conversation.talking import InProcess, play

TWO = """
Ida: /add fern, Boston fern, 15 cm pot, bathroom, north window
  = arrived
Ida: /add goldie, golden pothos, 15 cm pot, kitchen, east window
  = arrived
"""


def test_what_is_told_in_reply(stage: InProcess) -> None:
    """A reading, water, a command, a word or two: of the plant that the message was about."""
    play(stage, TWO)
    play(
        stage,
        """
Tom replies [Fern is on the list]: 3 4
  Fern: 3 and 4.
  = checked
Tom replies [Goldie is on the list]: it reads 7
  Goldie: 7.
  = checked
Tom replies [Fern: 3 and 4]: /pour
  Fern, first half
Tom: /pour fern cancel
  Closed.
Tom replies [Fern: 3 and 4]: about 400 ml
  Fern: 400 ml given
  = poured
Tom replies [Fern: 400 ml given]: turned it
  Fern
  = tended
Tom replies [Goldie: 7.]: /later friday
  Goldie on Friday
  = postponed
Tom replies [Goldie on Friday]: /story
  Goldie, newest first
  (long)
""",
    )


def test_what_names_a_plant_or_needs_none_is_heard_as_ever(stage: InProcess) -> None:
    play(stage, TWO)
    play(
        stage,
        """
Ida replies [Fern is on the list]: goldie 7
  Goldie: 7.
  = checked
Ida replies [Fern is on the list]: /gave the goldie 100 ml
  Goldie: 100 ml given
  = poured
Ida replies [Fern is on the list]: basil 3
  basil
Ida replies [Fern is on the list]: glodie 3
  Goldie: 3.
  = checked
Ida replies [Fern is on the list]: help
  A day with me
  (long)
Ida replies [Fern is on the list]: thanks
  not: Fern
Tom replies [A day with me]: 3
  3 for which plant
""",
    )


def test_somebody_else_answers_the_question_they_reply_to(stage: InProcess) -> None:
    """Each its own question, whoever was asked, and whatever else is open."""
    play(stage, TWO)
    play(
        stage,
        """
Ida: fern 3
  = checked
Ida: goldie 3
  = checked
Ida: /pour fern
  Fern, first half
Ida: /pour goldie
  Goldie, first half
Tom replies [Fern, first half]: poured
  Fern: good. I'll be back in 7 minutes
Tom replies [Goldie, first half]: poured
  Goldie: good. I'll be back in 7 minutes
... 7 minutes
  Fern: any water
  --
  Goldie: any water
Noor replies [Goldie: any water]: no
  Goldie, the other half
Noor replies [Fern: any water]: no, none
  Fern, the other half
Ida: /check fern
  Probe Fern
Tom replies [Probe Fern]: 6
  Fern: 6.
  = checked
""",
    )


def test_a_round_of_one_and_a_round_that_somebody_else_walks() -> None:
    stage = InProcess(rounds=True)
    play(
        stage,
        TWO
        + """
Ida: fern 7
  = checked
Ida: goldie 7
  = checked
""",
    )
    stage.wait_days(40)
    shown = next(one for one in reversed(stage.recorder.sent) if "Good morning" in one.text)
    assert "2 to probe" in shown.text or "Two to probe" in shown.text
    play(
        stage,
        """
Ida: /round start
  Probe Fern
Tom replies [Probe Fern]: 5
  Fern: 5.
  = checked
Tom taps: Next: Goldie
  Probe Goldie
Noor replies [Probe Goldie]: 6 7
  Goldie: 6 and 7
  = checked
""",
    )
    stage.close()


def test_a_photo_in_reply(stage: InProcess, tmp_path: Path) -> None:
    """Nobody is asked of which plant it is, with and without a caption."""
    path = tmp_path / "leaf.jpg"
    Image.new("RGB", (40, 30), (30, 120, 40)).save(path, "JPEG")
    play(stage, TWO)
    [said] = stage.reply("Tom", "", "Fern is on", photo=Picture(str(path)))
    assert "Fern" in said.text
    said, kept = stage.reply("Tom", "8", "Goldie is on", photo=Picture(str(path)))
    assert "Goldie: 8." in said.text
    assert "Goldie" in kept.text
    assert stage.journal()[2:] == ["pictured", "checked", "pictured"]
    [said] = stage.reply("Ida", "", kept.text, photo=Picture(str(path)))  # to what we said of it
    assert "Goldie" in said.text


def test_a_reply_reaches_no_other_chat_and_no_plant_that_left(stage: InProcess) -> None:
    play(stage, TWO)
    [said] = stage.reply("Mallory", "3", "Fern is on", chat="elsewhere")
    assert "Fern" not in said.text
    play(
        stage,
        """
Ida: /plant fern retire given away
  = left
Ida replies [Fern is on the list]: 3
  3 for which plant
""",
    )


def test_a_reply_in_private_speaks_of_the_household_it_was_said_for(stage: InProcess) -> None:
    """Somebody with clients: their other household's message is still about that one."""
    home = "dm:Noor"
    stage.say("Noor", "/add fern, Boston fern, 15 cm pot", home)
    stage.say("Noor", "fern 3", home)
    stage.say("Noor", "/household new Elm Road", home)
    stage.say("Noor", "/add fern, Boston fern, 15 cm pot", home)
    [said] = stage.reply("Noor", "gave 400 ml", "Fern: 3.", chat=home)
    assert said.text.startswith("Noor's household · Fern: 400 ml given")
    assert stage.say("Noor", "/household", home)[0].text.startswith("Elm Road")
