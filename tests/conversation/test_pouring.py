"""The coached pour: each way from the first portion to the empty saucer."""

from __future__ import annotations

from tests.conversation.talking import InProcess, play


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
  *empty*, *low*, *half* or *full*
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


def test_what_is_said_of_the_halves_adds_up_to_the_whole(house: InProcess) -> None:
    """0.44 L is said as 450 ml, a half of 0.22 as 200: the second is what is left."""
    play(
        house,
        """
Ida: fern 3 3
  About 450 ml
  = checked
Ida: /pour fern
  first half: 200 ml
Ida: poured
... 8 minutes
  (reminder) any water in the saucer
Ida: no
  the other half then: 250 ml
Ida: poured
  Fern is done: 450 ml
  = poured
""",
    )


def test_not_yet_is_not_done(house: InProcess) -> None:
    """What is denied is never kept as done; where a question is asked, it is the other answer."""
    play(
        house,
        """
Ida: fern 4
  = checked
Ida: /pour fern
  first half: 180 ml
Ida: no
  Nothing new is kept.
  first half: 180 ml
  [Poured] [Stands on top] [Ran straight through]
Ida: not poured yet
  Nothing new is kept.
Ida: nothing poured
  Nothing new is kept.
Ida: I haven't poured
  Nothing new is kept.
Ida: not yet
  Nothing new is kept.
Ida: no, it stands on top
  let it sink in. I'll be back in 10 minutes
... 10 minutes
  (reminder) Fern: has the water gone in?
Ida: sunk in
  the other half then
Ida: poured
  Fern is done: 350 ml
  = poured
... 30 minutes
  (reminder) now look in the saucer
Ida: not emptied yet
  Nothing new is kept.
  now look in the saucer
Ida: emptied
  Fern is done.
  = drained
""",
    )
