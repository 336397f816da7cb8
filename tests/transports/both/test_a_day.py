"""A day on both networks: `potside serve` as one program, a real homeserver, the stand-in.

One household on both, a professional with three clients, two who are after the same pour, kills,
a lost store: nothing twice, and nothing of one household in another's chats.
"""

from __future__ import annotations

import asyncio
import json
import re
from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

from sqlalchemy import select

from core.actions import pouring
from core.store.opening import open_store
from core.store.tables import Dialogue, Event, Household, Person, table_of
from tests.transports.both.program import OnMatrix, OnTelegram, Program, Talk, at_once, either
from tests.transports.matrix.people import Crowd
from tests.transports.matrix.people import Person as Client
from tests.transports.matrix.world import Bot, move_in, until
from tests.transports.telegram.world import IDA, NOOR, TOM, World, private, supergroup

CODE = re.compile(r"[A-Z0-9]{4}-[A-Z0-9]{4}-[A-Z0-9]{4}")
POT = "Boston fern, 15 cm pot, bathroom, north window"
DIALOGUE, EVENT, HOUSEHOLD, PERSON = (table_of(one) for one in (Dialogue, Event, Household, Person))
# Each household has a Fern, and one plant that nobody else has.
OWN = {"Birch Street": "Pip", "Elm Road": "Quill", "Ash Lane": "Rook"}


DONE = Counter({
    ("Elm Road", "Noor", "checked"): 1,
    ("Ash Lane", "Noor", "checked"): 2,
    ("Birch Street", "Noor", "checked"): 1,
    ("Birch Street", "Max", "checked"): 1,
    ("Birch Street", "Max", "poured"): 1,
})  # fmt: skip
"""Who did what, but for the watering of Fern, which one of two was faster to tell."""


@dataclass(slots=True)
class Street:
    """Who lives where: Birch Street on both, Elm Road on one, Ash Lane on the other; and Noor."""

    ida: OnTelegram
    max: OnMatrix
    tom: OnTelegram
    uma: OnMatrix
    noor: OnTelegram
    noor_sealed: OnMatrix

    def chats(self) -> list[OnTelegram | OnMatrix]:
        """All chats."""
        return [self.ida, self.max, self.tom, self.uma, self.noor, self.noor_sealed]


def invited(said: str) -> str:
    found = CODE.search(said)
    assert found, said
    return found[0]


async def _settle_in(world: World, bot: Bot, people: Crowd, talk: Talk) -> Street:
    """Three households with their chats, and Noor's two private ones."""
    max_, uma, noor = await people("max"), await people("uma"), await people("noor")
    rooms = await asyncio.gather(
        move_in(max_, bot, name="Birch Street"),
        move_in(uma, bot, name="Ash Lane"),
        move_in(noor, bot, direct=True),
    )
    elm = supergroup(-1600, title="Elm Road")
    street = Street(
        OnTelegram(talk, IDA, supergroup(-1500), "Birch Street, Telegram"),
        OnMatrix(talk, max_, rooms[0], "Birch Street, Matrix"),
        OnTelegram(talk, TOM, elm, "Elm Road, Telegram"),
        OnMatrix(talk, uma, rooms[1], "Ash Lane, Matrix"),
        OnTelegram(talk, NOOR, private(NOOR), "Noor, Telegram"),
        OnMatrix(talk, noor, rooms[2], "Noor, Matrix"),
    )
    await street.ida.ask(f"/add\nfern, {POT}\npip, {POT}")
    await street.tom.ask(f"/add\nfern, {POT}\nquill, {POT}")
    await street.uma.ask(f"!add\nfern, {POT}\nrook, {POT}")
    return street


async def _joined(street: Street) -> None:
    """A room joins a group's household; Noor each of them, and is one person on both networks."""
    code = invited((await street.ida.ask("/invite"))["shown"])
    joined = await street.max.ask(f"!join {code.casefold()}")
    assert joined.text.startswith("This chat belongs to Birch Street now")
    assert "Pip" in (await street.max.ask("!plants")).text
    for keeper in (street.ida, street.tom):
        code = invited((await keeper.ask("/invite"))["shown"])
        assert "You are a member of" in (await street.noor.ask(f"/join {code}"))["shown"]
    code = invited((await street.uma.ask("!invite")).text)
    assert "a member of Ash Lane" in (await street.noor_sealed.ask(f"!join {code}")).text
    code = invited((await street.noor.ask("/invite me"))["shown"])
    assert "You are Noor here, too" in (await street.noor_sealed.ask(f"!join {code}")).text


async def _three_clients(street: Street) -> None:
    """Noor says on each network which household she means, and hears it where she could err."""
    here, there = street.noor, street.noor_sealed
    now = await here.ask("/household elm")
    assert now["shown"].startswith("Elm Road, as before")
    probed = await here.ask("fern 3")
    assert probed["shown"].startswith("Elm Road · Fern: 3.")
    told = (await there.ask("!household")).text
    assert "Birch Street and Ash Lane" in told
    assert "private with Noor on Telegram" in told
    await there.ask("!household ash")
    assert (await there.ask("rook 4")).text.startswith("Ash Lane · Rook: 4.")
    # The other chat is hers too, and says where she is; an older button stays with its household.
    assert (await here.ask("fern 5"))["shown"].startswith("Ash Lane · Fern: 5.")
    poured = await here.tap(probed, "Pour with me")
    assert poured["shown"].startswith("Elm Road · Fern, first half")
    assert "Noor began to pour Fern" in (await street.tom.ask("/pour fern"))["shown"]
    await there.ask("!household birch")
    strayed = (await here.ask("quill 4"))["shown"]
    assert strayed.startswith(
        'Birch Street · Elm Road has a plant called "quill", and here is none'
    )
    assert (await there.ask("pip 3")).text.startswith("Birch Street · Pip: 3.")


async def _race(street: Street) -> None:
    """Two are after the same pour, then the same step, then the same watering; one each wins."""
    ida, max_ = street.ida, street.max
    half, seen = await at_once(lambda: ida.ask("/pour pip"), lambda: max_.ask("!pour pip"))
    began = [one for one in (half["shown"], seen.text) if "began to pour Pip just now" in one]
    assert len(began) == 1, (half, seen)
    assert began[0].startswith(("Ida", "Max"))
    done, too = await at_once(lambda: ida.tap(half, "Poured"), lambda: max_.react(seen, 1))
    both = (done["shown"], too.text)
    assert len([one for one in both if "I'll be back in 7 minutes" in one]) == 1, both
    told = [one for one in both if "That step is done" in one]
    assert len(told) == 1, both
    assert re.search(r"(Ida|Max) is pouring Pip", told[0])
    await max_.ask("fern 3")
    mine, yours = await at_once(
        lambda: ida.ask("/gave fern 400 ml"), lambda: max_.ask("!gave fern 400 ml")
    )
    both = (mine["shown"], yours.text)
    asked = [one for one in both if "Is this another watering?" in one]
    assert len(asked) == 1, both
    assert re.match(r"(Ida|Max) watered Fern just now \(400 ml\)\.", asked[0])


async def _killed_in_the_middle(street: Street, program: Program) -> None:
    """kill -9 while Pip's first half sinks in; something is said meanwhile, and time passes."""
    ida, max_ = street.ida, street.max
    await program.kill()
    before = len(await ida.heard()), len(max_.heard())
    await ida.say("/plants")
    await max_.say("!story pip")
    _past(program.told["POTSIDE_DB"], timedelta(minutes=8))
    program.start()
    answered = (await ida.unasked(before[0]))["shown"], (await max_.unasked(before[1])).text
    asked = await either(ida.unasked(before[0] + 1), max_.unasked(before[1] + 1))
    assert "Pip: any water in the saucer?" in "".join((*answered, str(asked)))
    here, there = await ida.ask("/pour pip"), await max_.ask("!pour pip")
    assert re.match(r"(Ida|Max) began to pour Pip just now; 200 ml", there.text)
    await program.kill()
    program.start()
    assert "Pip, the other half then" in (await max_.react(there, 1)).text
    late = await ida.tap(here, "No, none")
    assert "That step is done" in late["shown"]
    assert "Max is pouring Pip" in late["shown"]
    assert "Pip is done: 450 ml" in (await max_.ask("poured")).text


def _past(url: str, span: timedelta) -> None:
    """As if so much time had passed for a pour that rests."""
    store = open_store(url)
    now = datetime.now(UTC)
    soon = (DIALOGUE.c.subject == pouring.SUBJECT, DIALOGUE.c.due_at < now + span)
    with store.write() as tx:
        assert tx.execute(DIALOGUE.update().where(*soon).values(due_at=now)).rowcount == 1
    store.close()


async def _lost_store(street: Street, program: Program, bot: Bot) -> None:
    """The keys are gone at a restart: a new device takes their place, and people see nothing."""
    half = await street.uma.ask("!pour rook")
    await program.kill()
    old = _device(bot)
    for file in bot.keys.glob("*.db*"):
        file.unlink()
    program.start()
    await until(lambda: _device(bot) not in {"", old}, within=30)
    new = _device(bot)
    for one in (street.max, street.uma, street.noor_sealed):
        await one.who.until(partial(_knows, one.who, bot, new), why="for the new device")
    assert "Pip" in (await street.max.ask("!plants")).text
    assert "I'll be back in 7 minutes" in (await street.uma.react(half, 1)).text
    assert "Quill" in (await street.tom.ask("/plants"))["shown"]
    assert "Birch Street" in (await street.noor_sealed.ask("!plants")).text
    assert "Pip" in (await street.ida.ask("/story pip"))["shown"]
    assert "the store was lost or replaced" in program.log.read_text()


def _knows(who: Client, bot: Bot, device: str) -> bool:
    return device in who.client.device_store[bot.id]


def _device(bot: Bot) -> str:
    kept = bot.keys / "login.json"
    return str(json.loads(kept.read_text())["device"]) if kept.exists() else ""


def _done(url: str) -> Counter[tuple[str, str, str]]:
    """Who did what in which household, but for the plants' coming."""
    wanted = (
        select(HOUSEHOLD.c.name, PERSON.c.name, EVENT.c.kind)
        .join(HOUSEHOLD, HOUSEHOLD.c.id == EVENT.c.household_id)
        .join(PERSON, PERSON.c.id == EVENT.c.person_id)
        .where(EVENT.c.kind != "arrived")
    )
    store = open_store(url)
    with store.read() as tx:
        done = Counter((row[0], row[1], row[2]) for row in tx.execute(wanted))
    store.close()
    return done


async def nothing_twice(chats: list[OnTelegram | OnMatrix], talk: Talk) -> None:
    """Each chat holds what was waited for and nothing more; a room begins with a greeting."""
    told = Counter(chat for chat, line in talk.lines if line.startswith("Potside: "))
    for one in chats:
        heard = one.heard() if isinstance(one, OnMatrix) else await one.heard()
        greeting = isinstance(one, OnMatrix)
        assert len(heard) == told[one.name] + greeting, (one.name, "\n--\n".join(heard))
    assert not [one for one in chats if isinstance(one, OnMatrix) and one.who.sealed]


async def _walls(street: Street) -> None:
    """No chat of a household holds another's plant or name, and each holds its own."""
    for one in (street.ida, street.max, street.tom, street.uma):
        said = "\n".join(one.heard() if isinstance(one, OnMatrix) else await one.heard())
        for household, plant in OWN.items():
            for word in (household, plant):
                theirs = household == one.name.partition(",")[0]
                assert (word.casefold() in said.casefold()) == theirs, (one.name, word)


async def test_a_day(world: World, bot: Bot, people: Crowd, tmp_path: Path) -> None:
    talk = Talk(world)
    program = Program.of(world, bot, tmp_path / "log")
    with program.running():
        street = await _settle_in(world, bot, people, talk)
        try:
            await _joined(street)
            await _three_clients(street)
            await _race(street)
            await _killed_in_the_middle(street, program)
            await _lost_store(street, program, bot)
        finally:
            print(talk)
        await program.stop()
    done = _done(bot.database)
    [(where, who, what)] = (done - DONE).keys()
    assert (where, what) == ("Birch Street", "poured")
    assert who in {"Ida", "Max"}
    assert sum(done.values()) == sum(DONE.values()) + 1
    await nothing_twice(street.chats(), talk)
    await _walls(street)
    text = program.log.read_text()
    assert "Traceback" not in text
    assert not [word for word in ("Quill", "fern", "Noor") if word in text]
