"""One person on two accounts: a code of their own makes both the same, in name and in choice."""

from __future__ import annotations

import pytest
from sqlalchemy import text as sql

from core.actions.rebuilding import households, rebuild
from core.store.opening import open_store
from tests.conversation.talking import InProcess, play
from tests.conversation.test_households import code_of


def own_code(stage: InProcess) -> str:
    """A code by which another account becomes Ida."""
    return code_of(stage, "/invite me", "dm:Ida")


def test_two_accounts_one_name(house: InProcess) -> None:
    member = code_of(house)
    play(
        house,
        f"""
Ida: /invite me
  In a group somebody else could use such a code to be you.
Ada (dm:Ada): /join {member}
  You are a member
Ada (dm:Ada): fern 3
  = checked
Ida (dm:Ida): /story fern
  Today, Ada: 3
""",
    )
    code = own_code(house)
    play(
        house,
        f"""
Ada: /join {code}
  That code is for a private chat with me
Ida (dm:Ida): /join {code}
  That is you already.
Ada (dm:Ada): /join {code}
  You are Ida here, too
Ada (dm:Ada): /story fern
  Today, you: 3
Tom: /story fern
  Today, Ida: 3
Ada (dm:Ada): gave fern 300 ml
  = poured
Ida: gave fern 100 ml
  100 ml given
  = poured
Ada (dm:Ada): /undo
  100 ml
  = undone
Tom: /household
  Ida, keeper
  not: Ada
Tom (dm:Tom): /join {code}
  That code doesn't work.
""",
    )


def test_both_speak_of_the_household_that_was_chosen(stage: InProcess) -> None:
    stage.say("Ida", "/household name Birch Street", "dm:Ida")
    stage.say("Ida", "/add fern, Boston fern, 15 cm pot", "dm:Ida")
    code = own_code(stage)
    play(
        stage,
        f"""
Ada (dm:Ada): hello
  Good to meet you, Ada.
Ada (dm:Ada): /join {code}
  both speak of Birch Street now
  not: ·
Ada (dm:Ada): /household new Elm Road
  Elm Road is founded
Ida (dm:Ida): /plants
  Elm Road ·
Ida (dm:Ida): /household birch
  Birch Street now: what you say here is about its plants.
Ada (dm:Ada): fern 3
  Birch Street · Fern: 3.
  = checked
""",
    )


def test_what_both_had_is_kept(stage: InProcess) -> None:
    """Plants of the other account stay a household of its own; its journal has the one name."""
    stage.say("Ida", "/add fern, Boston fern, 15 cm pot", "dm:Ida")
    stage.say("Ada", "/add ivy, ivy, 12 cm pot", "dm:Ada")
    stage.say("Ada", "ivy 3", "dm:Ada")
    code = own_code(stage)
    play(
        stage,
        f"""
Ada (dm:Ada): /join {code}
  Ida's household · You are Ida here, too
Ada (dm:Ada): /household Ada
  Ada's household now: what you say here is about its plants.
Ida (dm:Ida): /story ivy
  you: 3
""",
    )


def test_the_code_lasts_an_hour(house: InProcess) -> None:
    code = own_code(house)
    play(house, f"... 61 minutes\nNoor (dm:Noor): /join {code}\n  That code doesn't work.")


def test_a_sitter_may_have_two_accounts_and_gains_nothing_by_it(house: InProcess) -> None:
    sitter = code_of(house, "/invite sitter 2 March - 7 March")
    house.say("Noor", f"/join {sitter}", "dm:Noor")
    play(house, "Noor (dm:Noor): /invite\n  Only a keeper does that.")
    said = house.say("Noor", "/invite me", "dm:Noor")[0].text
    code = said.split("\n")[0].removeprefix("Code: ")
    play(
        house,
        f"""
Nora (dm:Nora): /join {code}
  You are Noor here, too
Nora (dm:Nora): /add ivy, ivy, 12 cm pot
  leaves the list as it is
Nora (dm:Nora): fern 3
  = checked
... 6 days
Nora (dm:Nora): fern 3
  Your time at Ida's household ended
""",
    )


def test_an_edit_reaches_no_other_household(stage: InProcess) -> None:
    """What was said for one household is neither changed nor told again from another."""
    for said in ("/add fern, Boston fern, 15 cm pot", "/household new Elm Road"):
        stage.say("Ida", said, "dm:Ida")
    stage.say("Ada", f"/join {own_code(stage)}", "dm:Ada")
    play(
        stage,
        """
Ida (dm:Ida): /add fern, Boston fern, 15 cm pot
  = arrived
Ida (dm:Ida): fern 8
  Elm Road · Fern: 8.
  = checked
Ada (dm:Ada): /household Ida
  Ida's household now: what you say here is about its plants.
Ida edits: fern 4
  That was told for another household
  not: Fern
""",
    )


@pytest.mark.parametrize("round_", [False, True])
def test_nothing_is_left_of_the_other_on_either_engine(db_url: str, *, round_: bool) -> None:
    """Whatever named them names the one; the journal adds up to what is kept."""
    store = open_store(db_url)
    stage = InProcess(store=store)
    code = code_of(stage)
    stage.say("Ida", "/add fern, Boston fern, 15 cm pot")
    stage.say("Ada", f"/join {code}", "dm:Ada")
    stage.say("Ada", "fern 3", "dm:Ada")
    stage.say("Ada", "/pour fern", "dm:Ada")
    if round_:
        stage.say("Tom", "/round Ada")
    own = own_code(stage)
    assert "You are Ida here, too" in stage.say("Ada", f"/join {own}", "dm:Ada")[0].text
    with store.read() as tx:
        assert list(tx.execute(sql("SELECT name FROM person ORDER BY id")).scalars()) == [
            "Ida",
            *(["Tom"] if round_ else []),
        ]
    if round_:
        assert "Ida does it today" in stage.say("Tom", "/round")[0].text
    assert "first half" in stage.say("Ida", "/pour fern")[0].text
    with store.read() as tx:
        assert [one for here in households(tx) for one in rebuild(tx, here, write=False)] == []
    store.close()
