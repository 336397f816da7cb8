"""What people type after probing: forms, names, dates, many at once; and what each leads to."""

from __future__ import annotations

import pytest

from tests.conversation.talking import InProcess, play

# What was typed, and how it is said back.
FORMS = {
    "fern 3": "Fern: 3.",
    "Fern 3": "Fern: 3.",
    "FERN 3": "Fern: 3.",
    "fern, 3": "Fern: 3.",
    "fern: 3": "Fern: 3.",
    "fern:3": "Fern: 3.",
    "fern=3": "Fern: 3.",
    "fern - 3": "Fern: 3.",
    "ferns 3": "Fern: 3.",
    "the fern 3": "Fern: 3.",
    "fren 3": "Fern: 3.",
    "fern reads 3": "Fern: 3.",
    "my fern is at 3": "Fern: 3.",
    "3 fern": "Fern: 3.",
    "3 for the fern": "Fern: 3.",
    "fern three": "Fern: 3.",
    "fern 3/10": "Fern: 3.",
    "fern 3 today": "Fern: 3.",
    "/fern 3": "Fern: 3.",
    "probed fern 3": "Fern: 3.",
    "I just probed the fern: 3": "Fern: 3.",
    "fern 3.5": "Fern: 3.5.",
    "fern 3 4": "Fern: 3 and 4.",
    "fern 3/4": "Fern: 3 and 4.",
    "fern 3;4": "Fern: 3 and 4.",
    "fern 3, 4": "Fern: 3 and 4.",
    "fern 3 and 4": "Fern: 3 and 4.",
    "fern 3,4,5": "Fern: 3, 4 and 5.",
    "fern 4m 6d": "Fern: middle 4, deep 6.",
    "fern 4 middle 6 deep": "Fern: middle 4, deep 6.",
    "fern reads 3 in the middle and 5 deep": "Fern: middle 3, deep 5.",
    "fern moist by stick": "Fern: moist by stick.",
    "fern is very dry by finger": "Fern: dry by finger.",
    "fern is light": "Fern: dry by lifting.",
    "fern 8 limp": "Fern: 8, limp.",
    "fern ３": "Fern: 3.",
    "fern 3 yesterday": "Fern: 3, yesterday.",
    "yesterday fern 3": "Fern: 3, yesterday.",
    "fern dry by stick yesterday": "Fern: dry by stick, yesterday.",
    "fern 3 2 days ago": "Fern: 3, 2 days ago.",
    "fern 3 last night": "Fern: 3, yesterday.",
}


@pytest.mark.parametrize("said", FORMS)
def test_forms(house: InProcess, said: str) -> None:
    play(house, f"Ida: {said}\n  {FORMS[said]}\n  = checked")


# What can't be taken, what is said, and the ways out that are offered.
UNCLEAR = {
    "fern 3,4": ("3,4: two places, or 3.4?", ["3 and 4", "3.4"]),
    "fern 14": ("The scale ends at 10. Did you mean 1 and 4?", ["1 and 4", "4", "10"]),
    "fern 0": ("The scale begins at 1, which is dry. Did you mean 1?", ["1"]),
    "fern -3": ("Did you mean 3?", ["3"]),
    "fern 300": ("The scale ends at 10", ["10"]),
    "f 3": ("Fern or Fig?", ["Fern 3", "Fig 3"]),
    "3": ("3 for which plant?", ["Fern 3", "Goldie 3", "Fig 3", "Viper 3"]),
    "3 4": ("3 4 for which plant?", ["Fern 3 4", "Goldie 3 4", "Fig 3 4", "Viper 3 4"]),
    "frns 3": ("Did you mean Fern?", ["check fern 3"]),
    "gx 3": ('I don\'t know "gx". I know Fern, Goldie, Viper and Fig.', []),
    "gooldi 3": ("Goldie: 3", None),
    "goldy 3": ('I don\'t know "goldy". Did you mean Goldie?', ["check goldie 3"]),
    "fern tomorrow 3": ("tomorrow", []),
    "fern 3 2031-01-01": ("hasn't been yet", []),
    "fern 3 2025-02-30": ("is no day I know", []),
    "fern 3 x": ('I didn\'t understand "x".', []),
    "fern 1 2 3 4 5 6 7 8 9 10 1 2 3": ("More than 12 places", []),
    "fern feels strange": ("I know Fern, but not the rest.", []),
    "fern nan": ("I know Fern, but not the rest.", []),
    "fern 1e5": ("I didn't understand", []),
    "fern ٣٣٣٣": ("The scale ends at 10", ["10"]),
    "fern 3 kg": ("Fern: 3.00 kg. I can't tell", None),
    "fern 9999 kg": ("can't be right", []),
}


@pytest.mark.parametrize("said", UNCLEAR)
def test_every_refusal_says_what_would_work(house: InProcess, said: str) -> None:
    before = house.journal()
    (heard,) = house.say("Ida", said)
    text, buttons = UNCLEAR[said]
    assert text in heard.text, heard.text
    if buttons is not None:
        assert [one.label for one in heard.buttons] == buttons
        assert house.journal() == before
    for option in heard.buttons:
        (followed,) = house.say("Ida", option.send)
        assert "don't know" not in followed.text
        assert "didn't understand" not in followed.text


def test_several_at_once(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3, fig 2
  Fern: 3. Water it well today. 450 ml.
  Fig: 2. Water today. 2.4 L.
  [Pour Fern] [Pour Fig]
  = checked checked
Ida: fern 3 4 fig 5
  Fern: 3 and 4.
  Fig: 5.
  = checked checked
Ida: fern 3 and goldie 6
  Fern: 3.
  Goldie: 6.
  = checked checked
Ida: /check fern 3⏎goldie 4m 5d⏎zebra 3⏎viper banana
  Fern: 3.
  Goldie: middle 4, deep 5.
  "zebra 3" wasn't kept. I don't know "zebra".
  "viper banana" wasn't kept. I didn't understand "banana".
  = checked checked
Ida: fern 3, 4, yesterday
  Fern: 3 and 4, yesterday.
  = checked
""",
    )


def test_sixty_lines_of_readings(stage: InProcess) -> None:
    stage.say("Ida", "/add\n" + "\n".join(f"P{n}, golden pothos, 15 cm pot" for n in range(58)))
    lines = [f"P{n}: {1 + n % 8}" for n in range(58)] + ["ghost 3", "P1 banana"]
    said = play(
        stage,
        f"""
Ida: {"⏎".join(lines)}
  (long)
  58 checks kept.
  Water today (30): P0 550 ml, P1 550 ml
  and 22 more
  28 to leave for now.
  "ghost 3" wasn't kept.
  "P1 banana" wasn't kept.
  /plants due shows what is to be done.
  [Pour P0] [Pour P1] [Pour P2] [Pour P3]
  = {"checked " * 58}
""",
    )
    assert said[0].text.count("\n") < 8
    play(stage, f"Ida: {'⏎'.join(f'P{n % 50} 3' for n in range(61))}\n  nothing was kept")
    again = play(
        stage, f"Ida: {'⏎'.join(['P1 2', *['P1 3'] * 9])}\n  10 checks kept.\n  = {'checked ' * 10}"
    )
    assert again[0].text.count("P1") == 1  # one pot, however often it was told


def test_a_question_takes_a_bare_answer(house: InProcess) -> None:
    play(
        house,
        """
Ida: /check fern
  What does it read, from 1 (dry) to 10 (wet)?
  [Never mind]
Ida: 4
  Fern: 4.
  = checked
Ida: goldie is dry
  I can't tell from that.
  [By finger] [By stick] [By lifting]
  = checked
Ida: by stick
  Goldie: dry by stick. Water today.
  = checked
Ida: fig limp
  I can't tell
  Probe as deep as you can
  = checked
Ida: 7
  Limp on a wet pot is drowning, not thirst.
  = checked
Ida: viper 3m
  = checked
Ida: /check viper
  What does it read
Ida: goldie 5
  Goldie: 5.
  = checked
Ida: /check viper
  What does it read
Ida: what
  I know about your plants.
Ida: 2
  Viper: 2.
  = checked
""",
    )


def test_small_pots_are_better_weighed_and_two_depths_are_asked_for(stage: InProcess) -> None:
    """Under 8 cm weigh; a wet floor can't tell of the top: common practice, no source."""
    play(
        stage,
        """
Ida: /add Tiny, basil, 6 cm pot
  = arrived
Ida: tiny 4
  A pot this small is better weighed
  = checked
Ida: /plant tiny wet 0.42 kg
  a kitchen scale beats any probe
  = described
Ida: /plant tiny dry 0.5 kg
  The wet weight must be above the dry one
Ida: /plant tiny dry 300 g
  = described
Ida: tiny 310 g
  Tiny: 0.31 kg. Water
  About
  = checked
Ida: /add Lily, peace lily, 20 cm pot
  = arrived
... 1 day
Ida: lily 8
  Leave it for now.
  Probe the middle too, or feel the surface, as *4m*.
  = checked
Ida: 3m
  Lily: deep 8, middle 3.
  = checked
""",
    )


def test_backdated(house: InProcess) -> None:
    play(
        house,
        """
... 3 days
Ida: fern 4
  Fern: 4. Water today.
  = checked
Ida: fern 8 yesterday
  Fern: 8, yesterday. Kept with its date; what came after counts more.
  Fern now: wants water since today.
  = checked
Ida: gave fern 300 ml 2 days ago
  Fern: 300 ml given, 2 days ago. Kept.
  = poured
Ida: /story fern
  Today, you: 4
  Yesterday, you: 8
  Last Tuesday, you: 300 ml given
""",
    )


def test_a_cactus_in_winter(stage: InProcess) -> None:
    """A warm winter room: a sip a month, at most (common practice, no source)."""
    winter = InProcess(start=stage.clock.now().replace(month=12, day=1))
    play(
        winter,
        """
Ida: /add Spike, golden barrel cactus, 12 cm pot, study, south window, cactus mix
  cactus mix
  = arrived
Ida: gave spike 50 ml
  = poured
... 10 days
Ida: spike 1 1
  Dry, but leave it.
  = checked
... 25 days
Ida: spike 1 1
  Water today.
  a sip once a month
  = checked
""",
    )
    winter.close()


def test_not_today(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 4
  [Pour with me] [I've done it] [Not today]
  = checked
Ida: not today
  Fern comes up again tomorrow.
  = postponed
Ida: /later
  Which plant? Try: /later fern
  [Fern] [Goldie] [Viper] [Fig]
Ida: viper
  Viper isn't due before Monday the 9th; nothing changed.
""",
    )


def test_a_weight_that_cant_be_this_pots(house: InProcess) -> None:
    """Between 5 and 9 kg, or half as much again beyond: 3 to 11. Said in bulk and in /fix too."""
    play(
        house,
        """
Ida: /plant fern wet 9 kg
  = described
Ida: /plant fern dry 5 kg
  = described
Ida: fern 0.57 kg
  Fern weighs from 5.00 kg dry to 9.00 kg wet, as far as I know; 0.57 kg is too far off.
  /repot fern
Ida: fern 12 kg
  12.00 kg is too far off.
Ida: fern 10.9 kg
  = checked
Ida: /fix 29 kg
  29.00 kg is too far off.
Ida: /check fern 29 kg, goldie 4
  29.00 kg is too far off.
  Goldie: 4.
  = checked
""",
    )


def test_water_in_a_tray_or_a_reservoir(house: InProcess) -> None:
    """Half full is low; a pint for a tray is no flood; what is refused says what would work."""
    play(
        house,
        """
Ida: /add Trap, venus flytrap, 9 cm pot, kitchen
  = arrived
Ida: trap half full
  Trap: low. Fill it up.
  = checked
Ida: gave trap 568 ml
  Trap: 568 ml given. Kept.
  not: standing water
  = poured
Ida: trap feels strange
  I know Trap, but not the rest. Try: *trap half full*, *trap is empty*
Ida: /add Pot, golden pothos, 15 cm self-watering pot, kitchen
  = arrived
Ida: pot half
  Pot: low.
  = checked
Ida: pot dry by finger
  Above a reservoir the surface is dry first; the middle decides.
  Probe the middle, as *4m*
  not: feel the surface
  = checked
Ida: 3m
  Pot: middle 3. Fill it up.
  = checked
Ida: nobody 3
  I know Fern, Goldie, Viper, Fig and 2 more.
""",
    )
