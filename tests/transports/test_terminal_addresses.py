"""Addresses on the terminal: what a line came from can be kept, read again and spoken to.

errbotio/errbot #581: sending to a room needed another attribute for each back-end. One address
type, kept with the chat, does for the terminal what it does for the other networks.
"""

from __future__ import annotations

from tests.transports.child import Potside

# Chats as they are addressed, how one comes to speak there, and the plant that is poured there.
# Whoever has a household speaks for it in private, too; Noor has none yet.
PLACES = {
    "main": ((":room main",), "fern"),
    "dm:Ida": ((":dm",), "ivy"),
    "kitchen": ((":room kitchen",), "fern"),
    "ünter/x y": ((":room ünter/x y",), "fern"),
    "dm:Noor": ((":as Noor", ":dm"), "fern"),
}
KINDS = {"fern": "Boston fern", "ivy": "English ivy"}
COMMON = ("chat", "--json", "--as", "Ida", "--tz", "Europe/Berlin", "--start", "2026-03-02T07:30")


def _pours(plant: str) -> tuple[str, ...]:
    """A pour of a new plant, which waits for its water to sink in."""
    added = f"/add {plant}, {KINDS[plant]}, 15 cm pot, hall, north window"
    return added, f"{plant} 2", f"/pour {plant}", f"/pour {plant} poured"


def test_each_chat_is_spoken_to_unasked_by_another_run(potside: Potside, db: str) -> None:
    """A pour is begun in each; the next run says in each that it is time to look, and whose."""
    lines = [line for how, plant in PLACES.values() for line in (*how, *_pours(plant))]
    first = potside.run(*COMMON, "--db", db, said="".join(f"{line}\n" for line in lines))
    assert (first.status, first.err) == (0, "")
    assert {one["chat"] for one in first.messages} == set(PLACES)

    later = potside.run(*COMMON, "--db", db, said=":wait 20m\n:as Tom\n:dm\n/plants\n")
    assert (later.status, later.err) == (0, "")
    unasked = {one["chat"]: one for one in later.messages if one["kind"] == "reminder"}
    assert unasked.keys() == PLACES.keys()
    for chat, (_, plant) in PLACES.items():
        assert unasked[chat]["to"] == chat.removeprefix("dm:")
        assert f"{plant.capitalize()}: any water in the saucer?" in unasked[chat]["text"]
    # A private chat is about one's own household, and a stranger's is about nobody else's.
    assert "Ida's household" in unasked["dm:Ida"]["text"]
    assert "I don't know any plants here yet" in later.answer(4)


def test_a_private_chat_speaks_for_the_household_of_whoever_speaks(
    potside: Potside, db: str
) -> None:
    """Told in private is told to the household: both chats know the same plants, once."""
    ended = potside.chat(
        *_pours("fern")[:1], ":dm", *_pours("ivy")[:1], ":room main", "/plants", db=db
    )
    assert "2 plants" in ended.answer(5)
    assert "Fern" in ended.answer(5)
    assert "Ivy" in ended.answer(5)
