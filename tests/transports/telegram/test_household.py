"""A household as it lives with `potside serve`: a group of three and a private chat.

A check, an undo, a coached pour with its timer, begun by one, killed and moved to a supergroup and
stopped in the middle, finished by another: read from outside as people read it, to the last word
that came, then from the journal.
"""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import select

from bot.duty import rebuild
from core.store.opening import open_store
from core.store.tables import Dialogue, Event, Inbox, Person, Plant, table_of
from tests.transports.marked import all_marked
from tests.transports.telegram.child import environment, serve
from tests.transports.telegram.world import (
    BOT,
    IDA,
    NOOR,
    TOM,
    Call,
    World,
    arrived,
    group,
    labels,
    private,
    supergroup,
)

HOME, NEW, ALONE = group(-400), supergroup(-1400), private(NOOR)
INBOX, EVENT, PLANT, PERSON, DIALOGUE = (
    table_of(one) for one in (Inbox, Event, Plant, Person, Dialogue)
)
FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"

ADDED = "Probe now / Pot is shallower / Pot is deeper / Change something"
PART = "Poured / Stands on top / Ran straight through"

STORY = """\
Today, Noor: saucer tipped out
Today, Ida: 450 ml given
Today, Tom: 3
Today, Ida: added"""

# Where each message was heard, how it begins, its buttons. Every one that came is here.
HEARD = (
    (HOME, "Good to meet you, Ida.", "That's right / US cups / Imperial pints"),
    (HOME, "Fern is on the list: Boston fern", ADDED),
    (ALONE, "Basil is on the list: Basil", ADDED),
    (HOME, "Fern: 3. Water it well today.", "Pour with me / I've done it / Not today"),
    (HOME, "Fern, first half: 200 ml", PART),
    (HOME, "Fern: good. I'll be back in 7 minutes.", ""),
    (NEW, "Fern: any water in the saucer?", "No, none / Yes / It sank in at once"),
    (NEW, "Fern, the other half then: 250 ml", f"{PART} / Stopped early"),
    (NEW, "Fern is done: 450 ml", ""),
    (NEW, "Fern: now look in the saucer", "Emptied / Nothing in it"),
    (NEW, "Good. Fern is done.", ""),
    (NEW, "Fern: 8. Leave it for now.", ""),
    (NEW, "Taken back: Fern 8.", ""),
    (NEW, f"Fern, newest first:\n{STORY}", ""),
    (ALONE, "Noor's household · One plant in one room:\nKitchen: Basil", ""),
)
# What was told of which plant by whom, and whether that was taken back.
JOURNAL = [
    ("arrived", "Fern", "Ida", False),
    ("arrived", "Basil", "Noor", False),
    ("checked", "Fern", "Tom", False),
    ("poured", "Fern", "Ida", False),
    ("drained", "Fern", "Noor", False),
    ("checked", "Fern", "Noor", True),
    ("undone", None, "Noor", False),
]


@dataclass(slots=True)
class Program:
    """`potside serve`, whose clock can be set ahead; started, killed and stopped."""

    told: dict[str, str]
    folder: Path
    running: subprocess.Popen[bytes] = field(init=False)

    def start(self, ahead: int = 0) -> None:
        """Serve from now on, on a clock that is so many minutes ahead."""
        self.pass_to(ahead)
        self.running = serve(self.told, self.folder / "log", ahead=self.folder / "ahead")

    def pass_to(self, ahead: int) -> None:
        """Set its clock so many minutes ahead."""
        (self.folder / "new").write_text(str(60 * ahead))
        (self.folder / "new").replace(self.folder / "ahead")

    def end(self, how: signal.Signals) -> None:
        """Killed or told to stop; then it ends well."""
        self.running.send_signal(how)
        assert self.running.wait(20) == (0 if how is signal.SIGTERM else -how)


def _where_it_is_ten() -> str:
    """A zone in which neither a morning nor a midnight falls into the next hour."""
    east = (10 - datetime.now(UTC).hour + 12) % 24 - 12
    return f"Etc/GMT{-east:+d}"  # whose signs are the other way round


@pytest.fixture
def program(world: World, sqlite_url: str, tmp_path: Path) -> Iterator[Program]:
    """Not running yet; not running any more."""
    told = environment(world.base, world.token, sqlite_url, TZ=_where_it_is_ten())
    made = Program(told, tmp_path)
    made.start()
    yield made
    made.running.kill()
    made.running.wait(20)


async def test_a_household_lives(world: World, program: Program) -> None:
    """Each word is heard and each deed done once, whoever does it, after whichever restart."""
    await _until_half_is_poured(world)
    program.end(signal.SIGKILL)
    killed = time.time()
    await _moves(world)
    program.start(ahead=8)
    looked = await _shown(world, NEW, "any water in the saucer?")
    other = await _taps(world, IDA, looked, "No, none", "other half")
    program.end(signal.SIGTERM)
    program.start(ahead=9)
    await _taps(world, IDA, other, "Poured", "Fern is done")
    await _hears_of_the_move(world)
    program.pass_to(40)
    now = int(time.time()) + 60 * 40
    full = await _shown(world, NEW, "tip out what stands there")
    await _taps(world, NOOR, full, "Emptied", "Good. Fern")
    await world.ask(NOOR, NEW, f"@{BOT} fern 8", date=now)
    await world.ask(NOOR, NEW, "/undo", date=now)
    await world.ask(TOM, NEW, "/story fern")
    await world.ask(NOOR, ALONE, "/plants")
    await all_marked(program.told["POTSIDE_DB"])
    program.end(signal.SIGTERM)
    await _heard_in_full(world, killed)
    _kept_in_full(program.told["POTSIDE_DB"])
    assert "Traceback" not in (program.folder / "log").read_text()


async def _until_half_is_poured(world: World) -> None:
    """All three speak in the group, one alone too; the bot is waiting for water to sink in."""
    await world.member(IDA, HOME, "left", "member")
    await _shown(world, HOME, "Good to meet you")
    await world.ask(IDA, HOME, FERN)
    await world.ask(NOOR, ALONE, "/add basil, basil, 12 cm pot, kitchen")
    verdict = await world.ask(TOM, HOME, f"@{BOT} fern 3")
    half = await _taps(world, TOM, verdict, "Pour with me", "first half")
    await _taps(world, NOOR, half, "Poured", "7 minutes")


async def _moves(world: World) -> None:
    """The group becomes a supergroup while nobody listens."""
    await world.set(chat={"id": NEW["id"], "about": NEW})
    await world.set(chat={"id": HOME["id"], "moved_to": NEW["id"]})


async def _hears_of_the_move(world: World) -> None:
    """The two service messages, late: what was learnt when speaking is no second move."""
    comes = world.message(IDA, NEW, "", migrate_from_chat_id=HOME["id"])
    leaves = world.message(IDA, HOME, "", migrate_to_chat_id=NEW["id"])
    await world.update({"message": comes}, {"message": leaves})


async def _shown(world: World, chat: Call, words: str) -> Call:
    """The newest message in a chat with these words, once it is there."""

    def found(calls: list[Call]) -> list[Call]:
        return [one for one in calls if arrived(one, chat["id"]) and words in one["shown"]]

    return found(await world.wait(lambda calls: bool(found(calls)), 20, words))[-1]


async def _taps(world: World, who: Call, shown: Call, label: str, then: str) -> Call:
    """Somebody presses a button; what is shown then."""
    chat = shown["message"]["chat"]
    await world.update(world.tapped(who, shown, label))
    return await _shown(world, chat, then)


async def _heard_in_full(world: World, killed: float) -> None:
    """Nothing else was said. Twice only what a kill met before its mark, which is soon written."""
    said: dict[str, Call] = {}
    for one in await world.sent():
        sys.stdout.write(f"{one['message']['chat']['id']} {one['shown']} {labels(one)}\n")
        first = said.setdefault(one["shown"], one)
        assert one is first or killed - 1 < first["at"] < killed, "for no reason twice"
    for one, (chat, begins, wanted) in zip(said.values(), HEARD, strict=True):
        assert one["message"]["chat"]["id"] == chat["id"], one["shown"]
        assert " / ".join(labels(one)) == wanted, one["shown"]
        assert one["shown"].startswith(begins)


def _kept_in_full(url: str) -> None:
    """The journal, fact by fact; every message was worked on, and no pour is left under way."""
    journal = (
        select(EVENT.c.kind, PLANT.c.name, PERSON.c.name, EVENT.c.undone_by.is_not(None))
        .outerjoin(PLANT, PLANT.c.id == EVENT.c.plant_id)
        .join(PERSON, PERSON.c.id == EVENT.c.person_id)
        .order_by(EVENT.c.id)
    )
    store = open_store(url)
    with store.read() as tx:
        kept = [tuple(row) for row in tx.execute(journal)]
        states = set(tx.execute(select(INBOX.c.state)).scalars())
        pours = select(DIALOGUE.c.closed_at).where(DIALOGUE.c.subject == "pour")
        under_way = [one for one in tx.execute(pours).scalars() if one is None]
    store.close()
    assert kept == JOURNAL
    assert states == {"done"}
    assert not under_way
    assert rebuild.run(url, write=False) == 0
