"""Plants come: in one line, in many, step by step; under any name; of any kind."""

from __future__ import annotations

import pytest

from core.knowledge.library import library
from core.knowledge.mixes import mixes
from core.knowledge.types import Danger
from tests.conversation.talking import InProcess, labels, play


@pytest.mark.parametrize(
    "line",
    [
        "fern, boston fern, 15 cm pot, bathroom, north window",
        "fern, bathroom, north window, 15 cm pot, boston fern",
        "Fern; Boston fern; 15cm; bathroom; north-facing window",
        "fern 15 cm pot, Nephrolepis exaltata, north window bathroom",
        "fern boston fern 15 cm pot bathroom north window",
        "FERN,BOSTON FERN,15 cm pot,bathroom,north window",
    ],
)
def test_one_line_in_any_order(stage: InProcess, line: str) -> None:
    said = play(stage, f"Ida: /add {line}\n  is on the list\n  = arrived")
    for part in ("Boston fern (Nephrolepis exaltata)", "bathroom", "north window", "15"):
        assert part in said[0].text, said[0].text


def test_step_by_step_with_everything_in_between(house: InProcess) -> None:
    play(
        house,
        """
Ida: /add
  What do you call the plant?
  [Never mind]
Ida: fern
  There is a Fern already; Fern 2 would do.
  What do you call the plant?
Ida: 42
  mixed up with readings
Ida: Spike
  What kind of plant is Spike?
  [Skip] [Never mind]
Ida: help
  A day with me
Ida: golden barrel cactus
  Which pot?
Ida: fern 4
  Fern: 4. Water today.
  = checked
""",
    )


def test_step_by_step_to_the_end(house: InProcess) -> None:
    play(
        house,
        """
Ida: /add
  What do you call the plant?
Ida: Spike
  What kind
Ida: golden barrel cactus
  Which pot?
Ida: plants
  4 plants in 4 rooms
Ida: 300 cm
  300 cm can't be right. I take 200 cm or less.
  Which pot?
Ida: big one
  doesn't make a pot for me
  [Skip] [Never mind]
Ida: 12 cm, no hole
  Where does it stand?
Ida: skip
  Spike is on the list: Golden barrel cactus (Kroenleinia grusonii), 12 cm, no hole pot
  (9 cm deep, I assume).
  Mind: spines.
  = arrived
Ida: /add
  What do you call
Ida: cancel
  nothing changed
Ida: /add
  What do you call
Ida: Viola, african violet, 10 cm pot, kitchen
  Viola is on the list: African violet
  = arrived
Ida: /add
  What do you call
Ida: Nemo
  What kind
Ida: no idea
  Which pot?
Ida: skip
  Where
Ida taps: Skip
  Nemo is on the list: a kind I don't know yet.
  I'm careful with it
  treat it as if it were
  = arrived
""",
    )


def test_names_that_are_words(stage: InProcess) -> None:
    play(
        stage,
        """
Ida: /add Dry, golden pothos, 15 cm pot
  = arrived
Ida: /add No, jade plant, 10 cm pot
  = arrived
Ida: /add Two, aloe vera, 12 cm pot
  = arrived
Ida: /add Light, peace lily, 15 cm pot
  = arrived
Ida: /add Yesterday, basil, 12 cm pot
  = arrived
Ida: /add Box, jade plant, 10 cm pot
  Box is on the list
  = arrived
Ida: dry 3
  Dry: 3. Water today.
  = checked
Ida: dry is dry by stick
  Dry: dry by stick.
  = checked
Ida: no 1
  No: 1. Dry, but leave it.
  = checked
Ida: no
  No: probe
  Jade plant
Ida: two 3
  Two: 3. Leave it
  = checked
Ida: light
  Light: probe
Ida: light is light
  Light: dry by lifting.
  = checked
Ida: yesterday 3
  Yesterday: 3. Water it well today.
  = checked
Ida: yesterday 3 yesterday
  Yesterday: 3, yesterday. Kept with its date
  = checked
Ida: yesterday two 4
  Two: 4, yesterday.
  = checked
Ida: gave no 100 ml
  No: 100 ml given.
  = poured
""",
    )


def test_names_with_numbers_and_signs(stage: InProcess) -> None:
    play(
        stage,
        """
Ida: /add Fig, fiddle leaf fig, 20 cm pot
  = arrived
Ida: /add fig, fiddle leaf fig, 15 cm pot
  There is a Fig already. What shall this one be called?
  [Add as Fig 2] [Never mind]
Ida: yes
  Fig 2 is on the list
  = arrived
Ida: fig 2
  Fig 2, or Fig reading 2?
  [Fig 2] [Fig: 2]
Ida: fig 2 3
  Fig 2 or Fig? A colon ends a name, as *fig 2: 3*.
  [Fig 2: 3] [Fig: 2 3]
Ida taps: Fig: 2 3
  Fig: 2 and 3.
  = checked
Ida: fig 2: 3
  Fig 2: 3.
  = checked
Ida: fig: 2
  Fig: 2.
  = checked
Ida: fig 4
  Fig: 4.
  = checked
Ida: /pour fig 2
  Fig 2, first
Ida: /add 🌵, golden barrel cactus, 10 cm pot
  A name needs letters
  [Add as Golden barrel cactus] [Never mind]
Ida: yes
  Golden barrel cactus is on the list
  = arrived
Ida: /add 🌵 Spike, golden barrel cactus, 10 cm pot
  🌵 Spike is on the list
  = arrived
Ida: 🌵 2
  🌵 Spike: 2.
  = checked
Ida: /add 42
  Plant 42, or another name with letters?
  [Add as Plant 42]
Ida taps: Add as Plant 42
  Plant 42 is on the list
  = arrived
Ida: /add Ms. Élan-Vital (old), basil, 12 cm pot
  = arrived
Ida: elan 3
  Ms. Élan-Vital (old): 3.
  = checked
Ida: /add
  What do you call
Ida: 🌴
  A name needs letters
""",
    )


def test_kinds_that_are_unclear(stage: InProcess) -> None:
    play(
        stage,
        """
Ida: /add Jade, jade, 12 cm pot
  Which "jade" is it?
  [Jade plant] [Elephant bush or dwarf jade]
  = arrived
Ida: jade plant
  Jade: Jade plant (Crassula ovata)
  Poisonous
  = described
Ida: /add Spiny, cactus, 12 cm pot
  Which "cactus" is it?
  [Desert cactus] [Holiday cactus] [Bunny ears] [Golden barrel]
  = arrived
Ida: /add Weirdo, xyzzy plantus, 15 cm pot
  Weirdo is on the list: xyzzy plantus (a kind I don't know)
  I'm careful with it: water when the top half is dry.
  /plant weirdo species NAME
  treat it as if it were
  = arrived
Ida: /plant weirdo species nonsense
  I don't know "nonsense"; kept as you said it.
  = described
Ida: boston fern
  Weirdo: Boston fern
  = described
Ida: /add boston fern
  Boston fern is on the list: Boston fern (Nephrolepis exaltata).
  No amounts yet: which pot?
  [Probe now] [Change something]
  = arrived
Ida: 15 cm pot
  Boston fern's pot: 15 cm wide, 11 cm deep, 1.1 L of mix.
  = described
Ida: boston fern 3
  About 450 ml
  = checked
Ida: bought a monstera deliciosa
  Keep it three weeks apart
  = arrived
""",
    )


@pytest.mark.parametrize("mix", [one.names[0] for one in mixes().values()])
def test_every_mix(stage: InProcess, mix: str) -> None:
    """A mix is understood, said back, and takes a check and a pour."""
    play(
        stage,
        f"""
Ida: /add Goldie, golden pothos, 15 cm pot, {mix}
  {mix}
  = arrived
Ida: goldie 1 empty
  Goldie
  = checked
Ida: /dose goldie
  Goldie
Ida: /plant goldie mix cactus mix
  Goldie grows in cactus mix
  = described
Ida: /plant goldie mix mud
  I don't know the mix "mud". I know peat mix
""",
    )


def test_sixty_pasted_lines(stage: InProcess) -> None:
    kinds = ("Boston fern", "golden pothos", "lily", "xyzzy plantus", "snake plant")
    lines = [f"Plant {n}, {kinds[n % 5]}, 15 cm pot, room {n % 6}" for n in range(58)]
    lines += ["Plant 3, basil", "🌵, cactus"]
    said = play(
        stage,
        f"""
Ida: /add⏎{"⏎".join(lines)}
  (long)
  Added 58 plants.
  Already on the list, left as they were: Plant 3.
  12 kinds can be several plants: Plant 2, Plant 7, Plant 12, Plant 17, Plant 22 and 7 more.
  Kind not known, so I'm careful: Plant 3
  left out: 🌵, cactus.
  /plants shows them
  = {"arrived " * 58}
""",
    )
    assert len(said) == 1


def test_lines_without_a_command(stage: InProcess) -> None:
    play(
        stage,
        """
Ida: fern, boston fern, 15 cm pot, bathroom⏎viper, snake plant, 16 cm pot, study
  Shall I add these 2 plants, fern and so on?
  [Add all 2] [Never mind]
Ida: yes
  Added 2 plants.
  = arrived arrived
Ida: goldie, golden pothos, 15 cm pot, kitchen
  Shall I add goldie?
Ida: no
  nothing changed
""",
    )


def test_two_hundred_plants_do_not_drown_a_phone(stage: InProcess) -> None:
    for part in range(4):
        lines = [f"P{part}x{n}, golden pothos, 15 cm pot, room {n % 14}" for n in range(50)]
        stage.say("Ida", "/add\n" + "\n".join(lines))
    (said,) = stage.say("Ida", "/plants")
    assert said.text.startswith("200 plants in 14 rooms:")
    assert said.text.count("\n") <= 13
    assert "and 4 more rooms" in said.text
    (room,) = stage.say("Ida", "/plants room 3")
    assert room.text.startswith("Room 3, 16 plants:")
    stage.wait_days(5)
    (due,) = stage.say("Ida", "/plants due")
    assert due.text.startswith("200 plants want something today:")
    assert due.text.endswith("and 192 more")
    (which,) = stage.say("Ida", "p 3")
    assert len(labels(which)) == 4
    assert "(196 more fit.)" in which.text
    (unknown,) = stage.say("Ida", "/check zzz 3")
    assert "and 196 more" in unknown.text


def test_pots_that_cannot_be(stage: InProcess) -> None:
    play(
        stage,
        """
Ida: /add Fern, boston fern, 300 cm pot
  300 cm pot can't be right
  No amounts yet
  = arrived
Ida: /plant fern pot -5 cm
  less than nothing
Ida: /plant fern pot nan cm
  I can't read a number
Ida: /plant fern pot 10^400 cm
  can't
Ida: /plant fern pot 15 cm
  15 cm wide
  = described
""",
    )


# What a person hears of a plant's poison, by what the lists say for pets.
CAUTIONS = {
    Danger.SEVERE: "after any contact call a vet or poison centre at once",
    Danger.TOXIC: "Keep from pets and children; if eaten: vet or poison centre.",
    Danger.IRRITANT: "Keep from pets and children; if eaten: vet or poison centre.",
    Danger.CONFLICTING: "treat it as if it were.",
    Danger.UNKNOWN: "treat it as if it were.",
    Danger.NOT_LISTED: "On no poison list I know; that doesn't make it safe.",
}
# The sketch of a first plant in the voice's page has 48 words, without a caution.
MOST_WORDS, MOST_WORDS_IN_DANGER = 55, 63


def test_every_kind_comes_with_its_caution_in_few_words(stage: InProcess) -> None:
    counts = []
    for n, kind in enumerate(library()):
        line = f"/add Plant{n}, {kind.name.partition(',')[0]}, 15 cm pot, bathroom, north window"
        (said,) = stage.say("Ida", line)
        told = kind.toxicity
        caution = CAUTIONS[Danger.SEVERE if told.emergency else told.pets]
        if said.text.count("Which "):  # a genus asks; its answer is another test's matter
            continue
        assert caution in said.text, said.text
        assert told.harm in said.text, said.text
        assert said.text.count("safe") == (told.pets is Danger.NOT_LISTED), said.text
        words = len(said.text.split())
        assert words <= (MOST_WORDS_IN_DANGER if told.emergency else MOST_WORDS), said.text
        counts.append(words)
    assert len(counts) > 280
    assert sorted(counts)[len(counts) // 2] <= 48
