"""A household is deleted: by whom, with what word, who hears of it, and what works afterwards."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from sqlalchemy import func, select

from bot.duty.steps import STEPS
from core.store.tables import Base
from tests.conversation.talking import InProcess, play
from tests.conversation.test_households import code_of
from tests.conversation.test_photos import send


def word_of(stage: InProcess, who: str = "Ida", chat: str = "main") -> str:
    """The word that confirms it."""
    said = stage.say(who, "/forget household", chat)[0].text
    found = re.search(r"/forget household ([A-Z0-9]{5}) today", said)
    assert found, said
    return found[1]


def rows(stage: InProcess) -> dict[str, int]:
    """How many rows each table has that has any."""
    with stage.store.read() as tx:
        counted = {
            name: tx.execute(select(func.count()).select_from(table)).scalar_one()
            for name, table in Base.metadata.tables.items()
        }
    return {name: n for name, n in counted.items() if n}


@pytest.fixture
def whole() -> Iterator[InProcess]:
    """A house where all that falls due is done, deleted households too."""
    stage = InProcess(rounds=True)
    stage.say("Ida", "/add fern, Boston fern, 15 cm pot, bathroom, north window")
    yield stage
    stage.close()


def test_it_is_asked_before_and_says_what_goes(house: InProcess) -> None:
    play(
        house,
        """
Ida: fern 3 4
  Fern: 3 and 4.
  = checked
Tom: fern 3
  Fern: 3.
  = checked
Noor (dm:Noor): hello
  Good to meet you, Noor.
Ida: /forget
  /forget household deletes all that was told of Ida's household; first I say what that is and ask.
  One entry: /undo.
Ida: delete everything
  Delete Ida's household for good? Nobody can bring it back.
  These go: 4 plants, 6 entries of the journal and settings, codes and what we said to each other.
  Tom loses it as well.
  not: other chat
  If you are sure, send /forget household
Ida: /forget household ABCDE
  Nothing is deleted: "ABCDE" isn't the word.
Ida: /plants
  Fern
""",
    )


def test_only_a_keeper_is_asked(house: InProcess) -> None:
    word = word_of(house)
    play(
        house,
        f"""
Tom: /forget household
  Only a keeper does that. Ask Ida.
Tom: /forget household {word}
  Only a keeper does that. Ask Ida.
Tom: /plants
  Fern
""",
    )


def test_a_word_is_one_keepers_and_of_what_was_shown(house: InProcess) -> None:
    code = code_of(house, "/invite keeper")
    house.say("Noor", f"/join {code}", "dm:Noor")
    theirs, mine = word_of(house, "Noor", "dm:Noor"), word_of(house)
    play(
        house,
        f"""
Ida: /forget household {theirs}
  Nothing is deleted
Tom: fern 3
  Fern: 3.
  = checked
Ida: /forget household {mine}
  Nothing is deleted
""",
    )
    old = word_of(house)
    house.wait_days(1)
    newer = word_of(house)
    assert newer != old
    house.wait_days(1)
    play(
        house,
        f"""
Ida: /forget household {old}
  Nothing is deleted
Ida: /forget household {newer.lower()}
  (reminder) Ida has deleted
  --
  Ida's household is deleted
""",
    )


def test_all_chats_hear_of_it_and_begin_anew(house: InProcess) -> None:
    """A group, a private chat of a sitter, an open pour, a code: nothing of it works any more."""
    code, sitter = code_of(house), code_of(house, "/invite sitter 2 March - 9 March")
    play(
        house,
        f"""
Noor (dm:Noor): /join {sitter}
  You sit for Ida's household from today
Noor (studio): hello
  Good to meet you, Noor.
Tom (attic): hello
  Good to meet you, Tom.
Tom (attic): /join {code_of(house)}
  This chat belongs to Ida's household now
Tom (attic): /pour fern anyway
  first half
""",
    )
    word = word_of(house)
    play(
        house,
        f"""
Ida: /forget household {word}
  (reminder) Ida has deleted Ida's household, with its plants, journal and photos.
  not: begins anew
  --
  (reminder) Ida has deleted Ida's household, with its plants, journal and photos. Your next word
  --
  Ida's household is deleted, with its plants, journal and photos.
  What stands in your chats stays there
  Your next word begins anew.
... 2 days
Tom (attic) taps: Poured
  That button is outdated.
Tom (attic): /plants
  I don't know any plants here yet.
Noor (dm:Noor): /household
  Noor's household: Noor, keeper.
Noor (studio): /household
  Noor's household: Noor, keeper.
Tom (dm:Tom): /join {code}
  That code doesn't work.
Ida: /plants
  I don't know any plants here yet.
Ida: /household
  Ida's household: Ida, keeper.
  not: Tom, member
""",
    )


def test_nothing_is_left_of_it(whole: InProcess) -> None:
    """Two days later there are the numbers of messages, and nothing else."""
    whole.say("Tom", "fern 3")
    whole.say("Noor", f"/join {code_of(whole)}", "dm:Noor")
    whole.say("Ida", "/room bathroom 18C 60%")
    whole.say("Ida", "/low 2C tonight")
    word = word_of(whole)
    whole.say("Ida", f"/forget household {word}")
    assert set(rows(whole)) == {
        "household", "chat", "person", "identity", "membership", "inbox", "outbox",
    }  # fmt: skip
    whole.wait_days(3)
    assert set(rows(whole)) == {"inbox"}
    with whole.store.read() as tx:
        inbox = Base.metadata.tables["inbox"]
        assert set(tx.execute(select(inbox.c.payload)).scalars()) == {"{}"}
    play(
        whole,
        """
Ida: hello
  Good to meet you, Ida.
""",
    )


def test_it_is_told_after_the_quiet_hours(whole: InProcess) -> None:
    whole.say("Noor", f"/join {code_of(whole)}", "dm:Noor")
    word = word_of(whole)
    play(
        whole,
        f"""
... 14 hours
Ida: /forget household {word}
  Ida's household is deleted
... 9 hours
... 1 hour
  (reminder) Ida has deleted Ida's household
""",
    )


def test_somebody_with_several_goes_on_in_another(house: InProcess) -> None:
    house.say("Noor", f"/join {code_of(house, '/invite keeper')}", "dm:Noor")
    play(
        house,
        """
Noor (dm:Noor): /household new Elm Road
  Elm Road is founded
Noor (dm:Noor): /add ivy, ivy, 12 cm pot, hall
  Elm Road · Ivy is on the list
  = arrived
Noor (dm:Noor): /household ida
  Ida's household now
""",
    )
    word = word_of(house, "Noor", "dm:Noor")
    play(
        house,
        f"""
Noor (dm:Noor): /forget household {word}
  (reminder) Noor has deleted Ida's household
  --
  Ida's household is deleted, with its plants, journal and photos.
  Elm Road now: what you say here is about its plants.
Noor (dm:Noor): /plants
  Ivy
  not: Fern
Ida: /plants
  I don't know any plants here yet.
""",
    )


# --- somebody -------------------------------------------------------------------------------


def my_word(stage: InProcess, who: str, chat: str = "main") -> str:
    """The word that confirms that somebody is forgotten."""
    said = stage.say(who, "/forget me", chat)[0].text
    found = re.search(r"/forget me ([A-Z0-9]{5}) today", said)
    assert found, said
    return found[1]


def kept_with(stage: InProcess, word: str) -> set[str]:
    """The columns of all that is kept in which a word stands."""
    with stage.store.read() as tx:
        return {
            f"{table.name}.{name}"
            for table in Base.metadata.tables.values()
            for row in tx.execute(select(table)).mappings()
            for name, value in row.items()
            if word in str(value)
        }


def test_somebody_is_asked_and_then_forgotten(house: InProcess) -> None:
    house.say("Tomaso", f"/join {code_of(house)}", "dm:Tomaso")
    house.say("Tomaso", "what is this", "dm:Tomaso")
    play(
        house,
        """
Tomaso (dm:Tomaso): fern 3
  Fern: 3.
  = checked
Tomaso: just chatting
Tomaso (dm:Tomaso): /pour fern anyway
  first half
Tomaso (dm:Tomaso): forget me
  Shall I forget you, Tomaso? Nobody can undo it.
  Your name, your accounts, what you wrote to me and your codes go.
  What you did in Ida's household stays as somebody's.
  If you are sure, send /forget me
Tomaso (dm:Tomaso): /forget me ABCDE
  Nobody is forgotten
""",
    )
    word = my_word(house, "Tomaso", "dm:Tomaso")
    play(
        house,
        f"""
Ida: /forget me {word}
  You are the only keeper of Ida's household, and others are there.
Tomaso (dm:Tomaso): /forget me {word}
  You are forgotten; what you did stays as somebody's.
  What stands in your chats stays there
  not: Ida's household
Ida: /story fern
  somebody
  not: Tomaso
Ida: /story today by tomaso
  I know Ida here; whose?
  [Ida]
Ida: /story today
  3 (somebody)
Ida: /household
  Ida's household: Ida, keeper.
Ida: /pour fern
  Somebody began to pour Fern
""",
    )
    house.steps = STEPS
    house.restart()
    house.wait_days(3)
    assert kept_with(house, "Tomaso") == {"inbox.chat"}  # the number of a message, without words
    play(
        house,
        """
Tomaso (dm:Tomaso): hello
  Good to meet you, Tomaso.
Tomaso (dm:Tomaso): /household
  Tomaso's household: Tomaso, keeper.
""",
    )


def test_whoever_is_alone_goes_with_all_of_it(whole: InProcess) -> None:
    word = my_word(whole, "Ida")
    play(
        whole,
        f"""
Ida: /forget me
  Ida's household, where nobody else is, is deleted.
  not: stays as somebody's
Ida: /forget me {word}
  You are forgotten
""",
    )
    whole.wait_days(3)
    assert set(rows(whole)) == {"inbox"}


def test_a_sitter_whose_time_is_over_may_be_forgotten(house: InProcess) -> None:
    house.say("Noor", f"/join {code_of(house, '/invite sitter 2 March - 3 March')}", "dm:Noor")
    house.wait_days(3)
    assert "ended" in house.say("Noor", "/plants", "dm:Noor")[0].text
    word = my_word(house, "Noor", "dm:Noor")
    play(house, f"Noor (dm:Noor): /forget me {word}\n  You are forgotten")
    play(house, "Ida: /household\n  Ida's household: Ida, keeper.\n  not: Noor")


def test_their_photos_go_and_the_journal_knows_of_none(house: InProcess, tmp_path: Path) -> None:
    picture = tmp_path / "leaf.jpg"
    Image.new("RGB", (40, 30), (30, 120, 40)).save(picture, "JPEG")
    for who in ("Ida", "Tom"):
        send(house, picture, "fern", who=who)
    assert "Fern (2)" in house.say("Ida", "/photo")[0].text
    said = house.say("Tom", "/forget me")[0].text
    assert "what you wrote to me, one photo and your codes go" in said
    word = my_word(house, "Tom")
    play(
        house,
        f"""
Tom: /forget me {word}
  You are forgotten
  = undone
Ida: /photo
  Photos of Fern (1).
Tom: /photo fern
  Ida
Tom: /household
  Ida's household: Ida, keeper; Tom, member.
""",
    )
    assert rows(house)["photo"] == 1


def test_a_group_hears_nothing_of_other_households(house: InProcess) -> None:
    house.say("Noor", f"/join {code_of(house)}", "dm:Noor")
    play(
        house,
        """
Noor (dm:Noor): /household new Elm Road
  Elm Road is founded
Noor: /forget me
  Please ask me in a private chat
  not: Elm Road
Noor (dm:Noor): /forget me
  What you did in Ida's household stays as somebody's.
  Elm Road, where nobody else is, is deleted.
""",
    )
