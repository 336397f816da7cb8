"""Households among people: codes, parts, several of them, what each may do."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from bot.talk.commands import people
from core.actions import chats
from tests.conversation.talking import InProcess, play


def code_of(stage: InProcess, asked: str = "/invite", chat: str = "main") -> str:
    """A fresh code that Ida makes."""
    said = stage.say("Ida", asked, chat)[0].text
    found = re.search(r"Code: ([A-Z0-9-]{14})", said)
    assert found, said
    return found[1]


def test_a_code_makes_a_member_in_private(house: InProcess) -> None:
    code = code_of(house)
    play(
        house,
        f"""
Noor (dm:Noor): /join {code.lower()}
  You are a member of Ida's household now.
Noor (dm:Noor): fern 3
  Fern: 3.
  = checked
Tom (dm:Tom): /join {code}
  That code doesn't work.
Ida: /story fern
  Noor
""",
    )


def test_a_link_brings_the_code(house: InProcess) -> None:
    code = code_of(house, "/invite keeper").replace("-", "")
    play(
        house,
        f"""
Noor (dm:Noor): /start {code}
  You are a keeper of Ida's household now.
Tom (dm:Tom): /start pot_17
  I don't know what "pot_17" stands for.
  Good to meet you, Tom.
Ida: /household
  Ida's household: Ida, keeper; Noor, keeper.
""",
    )


def test_a_code_lasts_a_week(house: InProcess) -> None:
    code = code_of(house)
    house.wait_days(7)
    play(house, f"Noor (dm:Noor): /join {code}\n  That code doesn't work.")


def test_guessing_is_limited(house: InProcess) -> None:
    code = code_of(house)
    for n in range(5):
        said = house.say("Noor", f"/join ABCD-EFGH-JKM{'ABCDE'[n]}", "dm:Noor")
        assert "That code doesn't work." in said[0].text
    play(
        house,
        f"""
Noor (dm:Noor): /join {code}
  too many codes that didn't work
Noor (studio): /join {code}
  too many codes that didn't work
... 61 minutes
Noor (dm:Noor): /join {code}
  You are a member
""",
    )


def test_two_chats_one_household(house: InProcess) -> None:
    code = code_of(house)
    play(
        house,
        f"""
Noor (studio): hello
  Good to meet you, Noor.
Noor (studio): /join {code}
  This chat belongs to Ida's household now
Tom (studio): fern 3
  Fern: 3.
  = checked
Ida: /pour fern
  first half
Tom (studio): /pour fern
  Ida began to pour Fern just now; nothing is in yet.
  [Poured] [Stands on top] [Ran straight through]
Tom (studio) taps: Poured
  Fern: good.
Ida taps: Poured
  That step is done.
Noor (studio): /household
  Tom is pouring Fern
""",
    )


def test_a_chat_with_plants_is_not_given_away(house: InProcess) -> None:
    code = code_of(house)
    play(
        house,
        f"""
Noor (studio): /add ivy, ivy, 12 cm pot
  Ivy is on the list
  = arrived
Noor (studio): /join {code}
  The plants of this chat would be lost here
  What works:
Noor (studio): ivy 3
  Ivy: 3.
  = checked
Noor (dm:Noor): /join {code}
  Ida's household · You are a member of Ida's household now.
""".replace("Ida's household · ", ""),
    )


def test_a_sitter_between_two_dates(house: InProcess) -> None:
    code = code_of(house, "/invite sitter 5 March - 7 March")
    play(
        house,
        f"""
Noor (studio): /join {code}
  That code makes one person a sitter.
Noor (dm:Noor): /join {code}
  You sit for Ida's household from Thursday to Saturday.
Noor (dm:Noor): fern 3
  You sit for Ida's household from Thursday to Saturday; until then
... 3 days
Noor (dm:Noor): fern 3
  Fern: 3.
  = checked
Noor (dm:Noor): /add ivy, ivy, 12 cm pot
  A sitter looks after the plants and leaves the list as it is. Ida can change it.
Noor (dm:Noor): /plant fern rename Ferdi
  leaves the list as it is
Noor (dm:Noor): /settings units us
  leaves the list as it is
Noor (dm:Noor): /invite
  Only a keeper does that. Ask Ida.
... 3 days
Noor (dm:Noor): fern 3
  Your time at Ida's household ended
  /household new
Noor (dm:Noor): /household new Elm Road
  Elm Road is founded
Noor (dm:Noor): fern 3
  not: Fern: 3
""",
    )


def test_parts_change_and_end(house: InProcess) -> None:
    play(
        house,
        """
Tom: fern 3
  Fern: 3.
  = checked
Tom: /household remove Ida
  Only a keeper does that. Ask Ida.
Ida: /household remove me
  Ida is the only keeper.
Ida: /household keeper Tom
  Tom is a keeper now
Ida: /household member me
  Ida is a member now.
Ida: /household remove tom
  Only a keeper does that. Ask Tom.
Tom: /household remove ida
  Ida no longer belongs to Ida's household.
Ida: fern 3
  You no longer belong to Ida's household.
Ida (dm:Ida): /plants
  not: Fern
Tom: /household
  Tom, keeper
  not: Ida, member
Tom: /story fern
  Tom: 3
""",
    )


def test_a_professional_with_clients(stage: InProcess) -> None:
    play(
        stage,
        """
Ida (dm:Ida): /household name Birch Street
  This household is called Birch Street now.
Ida (dm:Ida): /add fern, Boston fern, 15 cm pot, bathroom
  Fern is on the list
  = arrived
Ida (dm:Ida): /household new Elm Road
  Elm Road is founded
Ida (dm:Ida): fern: 3
  Elm Road · Birch Street has a plant called "fern", and here is none.
  [Birch Street]
Ida (dm:Ida): /add goldie, golden pothos, 15 cm pot, kitchen
  Elm Road · Goldie is on the list
  = arrived
Ida (dm:Ida): fern 3
  Elm Road · Birch Street has a plant called "fern", and here is none.
  [Birch Street]
Ida (dm:Ida): /pour the fern
  Elm Road · Birch Street has a plant called "fern"
  [Birch Street]
Ida (dm:Ida): basil 3
  Elm Road · I don't know "basil". I know Goldie.
Ida (dm:Ida): goldie 3
  Elm Road · Goldie: 3.
  = checked
Ida (dm:Ida): /household birch
  Birch Street now: what you say here is about its plants.
Ida (dm:Ida): fern 3
  Birch Street · Fern: 3.
  = checked
Ida (dm:Ida): /household oak
  I know no household of yours called "oak".
  [Birch Street] [Elm Road]
Ida (dm:Ida): /household new elm road
  is another of your households
""",
    )
    [shown] = stage.say("Ida", "/household", "dm:Ida")
    assert "You belong to Elm Road, too." in shown.text


def test_a_button_speaks_of_its_own_household(stage: InProcess) -> None:
    for line in ("/household name Birch Street", "/add fern, Boston fern, 15 cm pot", "fern 3"):
        stage.say("Ida", line, "dm:Ida")
    shown = stage.recorder.sent[-1]
    stage.say("Ida", "/household new Elm Road", "dm:Ida")
    stage.recorder.sent.append(shown)
    play(stage, "Ida (dm:Ida) taps: Pour with me\n  Birch Street · Fern, first half")


def test_whoever_was_sent_away_is_not_asked_to_do_the_round(house: InProcess) -> None:
    """Nor is a sitter before and after their time; what they had taken is anybody's again."""
    code = code_of(house, "/invite sitter 5 March - 6 March")
    house.say("Noor", f"/join {code}", "dm:Noor")
    play(
        house,
        """
Tom: hello
  Good to see you
Ida: /round who
  Who does it?
  [Ida] [Tom]
Ida: /round tom
  Tom does the round today.
Ida: /household remove tom
  no longer belongs
Ida: /round
  not: Tom
  not: Someone
  (long)
Ida: /round who
  There is nobody else here yet
Ida: /round tom
  I know no room, plant or person "tom".
... 3 days
Ida: /round who
  [Ida] [Noor]
... 3 days
Ida: /round who
  There is nobody else here yet
""",
    )


def test_keepers_are_told_in_private_that_the_home_chat_is_gone(house: InProcess) -> None:
    """After the quiet hours, once; members aren't, and what is said unasked comes there then."""
    house.say("Tom", f"/join {code_of(house)}", "dm:Tom")
    code = code_of(house, "/invite keeper")
    house.say("Noor", f"/join {code}", "dm:Noor")
    house.wait(timedelta(hours=15))
    for _ in range(2):
        with house.store.write() as tx:
            assert chats.chat_gone(tx, "terminal", "local", "main", house.clock.now())
    assert house.wait(timedelta(hours=7)) == []
    [told] = house.wait(timedelta(hours=2))
    assert told.chat == "dm:Noor"
    assert "I can't write to the household's chat any more" in told.text
    assert told.kind == "reminder"


def test_chats_that_speak_as_themselves_are_nobody_to_write_to(
    house: InProcess, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on a network where nobody is written to first."""
    monkeypatch.setattr(people, "ALWAYS_REACHED", "")
    house.say("Ida", "/help", "dm:Ida")
    house.say("chat:1", "fern 7")
    play(house, "Ida: /household\n  chat:1 is a chat that speaks as itself; no person is behind it")
    house.say("chat:2", "fern 7")
    play(
        house,
        """
Ida: /household
  chat:1 and chat:2 are chats that speak as themselves; no person is behind them
  not: can't write first
""",
    )
