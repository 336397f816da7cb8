"""The coached pour: every way, every answer, other hands, restarts, and people who wander off."""

from __future__ import annotations

import itertools
from datetime import timedelta

import pytest

from core.care.pourstate import Answer
from tests.conversation.talking import Heard, InProcess, fits_a_phone, labels, play


def test_stands_on_top_twice(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 4
  Water today
  = checked
Ida: /pour fern
  first half: 180 ml
Ida: stands on top
  let it sink in. I'll be back in 10 minutes
... 10 minutes
  (reminder) Fern: has the water gone in?
  [Yes, sunk in] [No, still on top]
Ida: yes
  the other half then
Ida taps: Stands on top
  stop there, 350 ml
  tight or blocked: look at the hole from below, then at the roots
  = poured
""",
    )


def test_ran_straight_through_then_stands_in_water(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3 4
  Water it well
  = checked
Ida: /pour fern
  first half
Ida: ran straight through
  It ran past: the mix has dried out, or roots fill the pot.
  12 minutes
... 12 minutes
  (reminder) any water in the saucer?
  [No, none] [Yes] [Heavy now]
Ida: yes, 30 ml
  the next portion then
  Water below is no sign of enough here
Ida: ran through again
  stand it in water for 30 minutes
  still light
  [It stands in water]
Ida: it stands in water
  30 minutes
... 30 minutes
  (reminder) Take it out of the water
  [Taken out]
Ida: done
  Fern is done
  = poured
""",
    )


def test_bone_dry_is_given_in_portions(house: InProcess) -> None:
    """Peat that has dried takes less than it lacks (Bartley 2023, HortScience 58:79)."""
    play(
        house,
        """
Ida: goldie 1
  Water today
  little by little: 4 portions, 10 to 15 minutes apart
  = checked
Ida: /pour goldie
  first portion: 140 ml
Ida: poured
  12 minutes
... 12 minutes
  (reminder) any water in the saucer?
Ida: no
  the next portion then: 140 ml
Ida: poured 100 ml
  12 minutes
... 12 minutes
  (reminder) saucer
Ida: heavy now
  Heavy: Goldie has drunk. 250 ml
  = poured
""",
    )


def test_from_the_saucer(house: InProcess) -> None:
    """Water still standing after 10 to 15 minutes is enough: common practice, no source."""
    play(
        house,
        """
Ida: goldie 3
  Water today
  = checked
Ida: /pour goldie bottom
  fill the saucer with 190 ml
  [Filled]
Ida: filled
  7 minutes
... 7 minutes
  (reminder) has it drunk the saucer dry?
  [Yes, dry] [No, still standing]
Ida: dry
  fill the saucer with 190 ml
Ida: done
  7 minutes
... 7 minutes
  (reminder) has it drunk
Ida: still standing
  give it 5 minutes more
... 5 minutes
  (reminder) has it drunk
Ida: no
  drinks no more, so it has had enough: 400 ml
  Tip the rest out
  = poured
""",
    )


def test_no_contact_from_below(house: InProcess) -> None:
    play(
        house,
        """
Ida: goldie 1
  Water today
  = checked
Ida: /pour goldie from the bottom
  fill the saucer
Ida: filled
  7 minutes
... 7 minutes
  (reminder) has it drunk
Ida: no
  5 minutes more
... 5 minutes
  (reminder) has it drunk
Ida: no
  is the pot heavy now, or its surface dark?
  [Heavy now] [Still light]
Ida: no
  the foot finds no water. Wet it once from above: 140 ml
""",
    )


def test_with_a_meter(house: InProcess) -> None:
    """After half, probe deep in 5 to 7 minutes; wet is 8 to 10: common practice, no source."""
    play(
        house,
        """
Ida: goldie 3
  Water today
  = checked
Ida: /pour goldie meter
  first half: 200 ml
Ida: poured
  6 minutes
... 6 minutes
  (reminder) probe again, deep
Ida: 14
  A reading lies between 1 (dry) and 10 (wet)
Ida: 5
  a little more
Ida: poured 60 ml
  6 minutes
... 6 minutes
  (reminder) probe again
Ida: it reads 8
  Wet below: stop there. 300 ml (about 1¼ cups) went into Goldie.
  = poured
""",
    )


def test_no_hole_gets_one_portion_and_no_saucer(stage: InProcess) -> None:
    """Half of what is missing, 0.5 x 0.50 x 1.11 x 5/7 = 0.198 L (direction common practice)."""
    said = play(
        stage,
        """
Ida: /add Cup, boston fern, 15 cm pot, no hole
  no hole
  = arrived
Ida: cup 3 3
  About 200 ml
  in one go
  = checked
Ida: /pour cup bottom
  This pot can't take it that way; this is how it can.
  all in one go: 200 ml
  [Poured] [Stands on top]
Ida: poured
  Nothing more before a new probe.
  In an hour, tip the pot
  = poured
... 1 hour
  (reminder) tip the pot a little, or look down a tube
  [Emptied] [Nothing in it]
Ida: emptied 20 ml
  Good. Cup is done.
  = drained
""",
    )
    assert "saucer" not in " ".join(one.text for one in said)


def test_soaks_and_levels(stage: InProcess) -> None:
    play(
        stage,
        """
Ida: /add Luna, moth orchid in bark, 12 cm pot, bedroom, east window
  Moth orchid
  orchid bark
  No meter here
  look at its roots
  [Probe now] [Change something]
  = arrived
Ida: luna 1
  I can't tell from that.
  A meter reads dry in bark
  [Silvery] [Green] [Light]
  = checked
Ida: green
  Green roots still hold water.
  = checked
Ida: luna silvery
  Soak it today.
  15 minutes
  = checked
Ida: /pour luna
  stand it in water for 15 minutes
Ida: done
  15 minutes
... 15 minutes
  (reminder) Take it out
Ida: yes
  Luna is done
  Next look
  = poured
Ida: /add Tilly, air plant, kitchen
  soak it about once a week
  not: pot
  = arrived
Ida: tilly limp
  Soak it today.
  30 minutes
  = checked
Ida: /add Trap, venus flytrap, 10 cm pot
  Stands in water
  look at its water
  = arrived
Ida: /check trap
  *empty*, *low* or *full*
Ida: empty
  Fill it up.
  Rain or distilled water only.
  = checked
Ida: /pour trap
  fill the tray about 2 cm deep
  Rain or distilled
  [Filled]
Ida: filled
  Trap is done
  = poured
Ida: /add Brom, vriesea, 12 cm pot
  = arrived
Ida: brom 3
  into the cup of leaves
  = checked
Ida: /pour brom
  fill the cup of leaves with fresh water 2 to 3 cm deep
  [Filled]
Ida: done
  Brom is done
  = poured
Ida: /add Bamboo, lucky bamboo, glass of water
  [Lucky bamboo] [House bamboo]
  = arrived
Ida: lucky bamboo
  = described
Ida: bamboo low
  Fill it up.
  Top up the glass
  = checked
""",
    )


def test_reservoir(stage: InProcess) -> None:
    """Half in medium light (tdplants.com 2015); empty some days before the next fill."""
    play(
        stage,
        """
Ida: /add Sip, golden pothos, 20 cm self-watering pot, medium light
  = arrived
Ida: sip 8
  I can't tell
  A reservoir keeps the bottom wet
  = checked
Ida: 3m 8d
  Fill it up.
  Fill the reservoir to half
  = checked
Ida: /pour sip
  fill the reservoir to half
Ida: filled
  Sip is done
  = poured
Ida: sip empty
  Leave it for now.
  roots need air between fills
  = checked
""",
    )


def test_big_pot_in_litres_and_with_a_baster(stage: InProcess) -> None:
    """First portion 1 L from 20 cm up; half of a 30 cm pot is more than its saucer holds."""
    play(
        stage,
        """
Ida: /add Big, monstera deliciosa, 30 cm pot
  = arrived
Ida: big 3
  About 3 L, in 3 portions of 1 L at most.
  = checked
Ida: /pour big
  first portion: 1 L
Ida: poured
  7 minutes
... 7 minutes
  (reminder) saucer
Ida: none
  next portion then: 1 L
Ida: poured
  7 minutes
... 7 minutes
  (reminder) saucer
Ida: there is water
  Stop there
  It is heavy now: take the water out with a baster
  = poured
... 30 minutes
  (reminder) with a baster or a towel; don't lift it
""",
    )


def test_outer_pot_is_looked_into(stage: InProcess) -> None:
    play(
        stage,
        """
Ida: /add Outer, peace lily, 15 cm pot, in an outer pot
  = arrived
Ida: outer 3
  = checked
Ida: /pour outer
  first half
Ida: poured
  7 minutes
... 7 minutes
  (reminder) any water in the outer pot?
Ida: yes
  Lift it out of the outer pot
  = poured
... 30 minutes
  (reminder) lift it out, and tip out what stands in the outer pot
Ida: tipped out 50 ml
  Good
  = drained
""",
    )


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
  [Fern: poured] [Goldie: poured] [Fig: poured]
Ida: goldie
  Goldie: good. I'll be back in 7 minutes.
Ida: done
  [Fern: done] [Fig: done]
Ida taps: Fern: done
  Fern: good. I'll be back in 7 minutes.
Ida: poured
  Fig: good. I'll be back in 7 minutes.
Ida: no
  Which one is that for?
  [Fern: no] [Goldie: no] [Fig: no]
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
  [Goldie: yes] [Fig: yes]
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
  Nothing is asked just now.
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
  /pour fern shows where Fern stands.
... 7 minutes
  (reminder) any water
Ida: no
  the other half
Tom: poured
  Fern is done
  = poured
Tom: /story fern
  Today, you: 450 ml given
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
  Nothing is asked just now.
""",
    )


# --- every way, every answer --------------------------------------------------------------

WAYS = {
    "top": ("fern, Boston fern, 15 cm pot", "fern 4", "/pour fern"),
    "meter": ("fern, Boston fern, 15 cm pot", "fern 4", "/pour fern meter"),
    "bottom": ("fern, Boston fern, 15 cm pot", "fern 4", "/pour fern bottom"),
    "bottom, dry": ("fern, Boston fern, 15 cm pot", "fern 1", "/pour fern bottom"),
    "soak": ("fern, Boston fern, 15 cm pot", "fern 4", "/pour fern soak"),
    "portions": ("fern, Boston fern, 15 cm pot", "fern 1", "/pour fern"),
    "no hole": ("fern, Boston fern, 15 cm pot, no hole", "fern 4", "/pour fern"),
    "tray": ("fern, Venus flytrap, 10 cm pot", "fern empty", "/pour fern"),
    "glass": ("fern, golden pothos, glass of water", "fern low", "/pour fern"),
    "pebbles": ("fern, golden pothos, 15 cm pot, clay pebbles", "fern low", "/pour fern"),
    "reservoir": ("fern, golden pothos, 20 cm self-watering pot", "fern 3m", "/pour fern"),
    "dry side": ("fern, Boston fern, 15 cm pot", "fern 2 8", "/pour fern"),
    "cup": ("fern, Vriesea, 12 cm pot", "fern 3", "/pour fern"),
    "bark": ("fern, moth orchid, 12 cm pot, bark", "fern silvery", "/pour fern"),
    "outer pot": ("fern, Boston fern, 15 cm pot, outer pot", "fern 4", "/pour fern"),
    "big": ("fern, monstera deliciosa, 30 cm pot", "fern 3", "/pour fern"),
}
LONGEST = 60


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("typed", [False, True], ids=["tapped", "typed"])
def test_every_way_ends_whatever_is_answered(way: str, typed: bool) -> None:  # noqa: FBT001
    """Taking turns among what is offered, each pour comes to an end and one watering is kept."""
    for turn in range(3):
        stage = InProcess()
        _begin(stage, way)
        _walk(stage, turn, typed=typed)
        assert stage.journal().count("poured") == 1, (way, turn)
        stage.close()


def _begin(stage: InProcess, way: str) -> Heard:
    plant, reading, pour = WAYS[way]
    stage.say("Ida", f"/add {plant}")
    stage.say("Ida", reading)
    (said,) = stage.say("Ida", pour)
    assert said.buttons, (way, said.text)
    return said


def _walk(stage: InProcess, turn: int, *, typed: bool) -> None:
    """Answer with the first, second or third choice, or type its label, until nothing is asked."""
    for step in itertools.count():
        assert step < LONGEST, "it never ends"
        said = [
            one for one in stage.recorder.sent if "probe again, deep" in one.text or one.buttons
        ]
        asked = said[-1] if said and said[-1] is stage.recorder.sent[-1] else None
        if asked is None:
            if not stage.wait(timedelta(minutes=45)):
                return
            continue
        answered = _answer(stage, asked, turn + step, typed=typed)
        assert len(answered) == 1
        assert fits_a_phone(answered[0].text), answered[0].text


def _answer(stage: InProcess, asked: Heard, turn: int, *, typed: bool) -> list[Heard]:
    if not asked.buttons:
        return stage.say("Ida", str(6 + turn % 4))
    label = labels(asked)[turn % len(asked.buttons)]
    return stage.say("Ida", label) if typed else stage.tap("Ida", label)


@pytest.mark.parametrize("way", WAYS)
def test_every_answer_is_taken_or_told(way: str) -> None:
    """Whatever word for a pour is typed at its first step, one answer comes."""
    for word in (*(answer.value for answer in Answer), "yes", "no", "done", "ok", "5", "50 ml"):
        stage = InProcess()
        _begin(stage, way)
        for said in (word, f"/pour fern {word}"):
            answered = stage.say("Ida", said)
            assert len(answered) == 1, (way, said)
            assert answered[0].text, (way, said)
        stage.close()
