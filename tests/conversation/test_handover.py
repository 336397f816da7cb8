"""Handing over: what is open, due and poisonous, for a week, some days, a sitter's time, a room."""

from __future__ import annotations

from datetime import timedelta

from tests.conversation.talking import InProcess, play
from tests.conversation.test_households import code_of


def test_a_page_for_whoever_is_next(house: InProcess) -> None:
    play(
        house,
        """
Ida: /handover
  Handover, today to Monday the 9th: 4 plants, 4 to probe.
  Bathroom: Fern (Wednesday)
  Kitchen: Goldie (Thursday)
  Rough so far: a few more waterings
  Poisonous or irritating: Goldie, Viper and Fig.
  No plant here is promised to be safe to eat.
  Probe first, then tell me, as *fern 3*
  not: Open now
  not: Last:
  [Bathroom] [Kitchen] [Study] [Living room]
  (long)
Ida: fern 3
  = checked
Tom: gave goldie 300 ml
  = poured
Tom: /handover
  Open now: Fern was read and nothing was done yet.
  Bathroom: Fern (drier than it likes since today)
  Last: Ida probed Fern today; Tom watered Goldie today.
  (long)
Ida: /pour fern
  first half
Tom: /handover
  Open now: Ida is pouring Fern.
  (long)
Ida: stopped, 100 ml
  = poured
Tom: /handover
  the saucer of Fern is still to be looked at
  Ida watered Fern today
  (long)
""",
    )


def test_one_room_plant_by_plant(house: InProcess) -> None:
    play(
        house,
        """
Tom: goldie 8
  = checked
Ida: /handover kitchen
  Kitchen, one plant:
  Goldie: probe
  Tom probed Goldie today.
  Poisonous (burns mouth and throat).
  Probe first
  not: Fern
Ida: /plant goldie hole no
  = described
Ida: /handover kit
  No hole in the pot: never more than I say.
Ida: /handover cellar
  "cellar" is no room, sitter or span of days that I know.
  Rooms: bathroom, kitchen, study and living room.
  Try: /handover, /handover 1-14 June
""",
    )


def test_some_days(house: InProcess) -> None:
    play(
        house,
        """
Ida: /handover 2-3 march
  Handover, today to tomorrow: 4 plants, none to probe.
  not: Fern (
  (long)
Ida: /handover until thursday
  Handover, today to Thursday: 4 plants, 3 to probe.
  (long)
""",
    )


def test_a_sitters_time(house: InProcess) -> None:
    code = code_of(house, "/invite sitter 4 March - 6 March")
    play(
        house,
        f"""
Noor (dm:Noor): /join {code}
  You sit for Ida's household from Wednesday to Friday. /handover shows then what is open and due.
Ida: /handover
  Handover to Noor, Wednesday to Friday: 4 plants
  (long)
Ida: /handover noor
  Handover to Noor
  (long)
Noor (dm:Noor): /handover
  until then there is nothing to do for you
... 3 days
Noor (dm:Noor): /handover
  Handover to Noor, today to tomorrow
  (long)
... 3 days
Ida: /handover
  Handover, today to Sunday the 15th
  (long)
""",
    )


def test_after_a_cold_night(house: InProcess) -> None:
    house.say("Ida", "/spot fig sill of the south window")
    house.wait(timedelta(hours=9))
    house.say("Ida", "/low -6")
    house.tap("Ida", "Moved")
    [page] = house.say("Tom", "/handover")
    assert "Fig stands elsewhere because of the cold and goes back" in page.text


def test_many_rooms_are_counted(stage: InProcess) -> None:
    stage.say(
        "Ida", "/add\n" + "\n".join(f"p{n}, golden pothos, 15 cm pot, room{n}" for n in range(9))
    )
    [page] = stage.say("Ida", "/handover")
    assert "and 3 more rooms" in page.text
    assert page.text.count("\n") < 14


def test_nothing_to_hand_over(stage: InProcess) -> None:
    play(stage, "Ida: /handover\n  I don't know any plants here yet.")


def test_what_holds_for_all_dates_is_said_once(house: InProcess) -> None:
    (said,) = house.say("Ida", "/handover")
    assert said.text.count("ough so far") == 1
    assert ", and" not in said.text
