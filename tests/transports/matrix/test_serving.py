"""`potside serve` on Matrix as a program: killed at any moment, stopped in good order, examined."""

from __future__ import annotations

import asyncio
import os
import random
import signal
import subprocess
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from sqlalchemy import select

from core.store.opening import open_store
from core.store.tables import Event, Inbox, Outbox, Plant, table_of
from tests.transports.marked import all_marked
from tests.transports.matrix.child import environment
from tests.transports.matrix.people import Crowd, Person
from tests.transports.matrix.proxy import Proxy
from tests.transports.matrix.world import FERN, Bot, move_in, until
from tests.transports.telegram.child import doctor, memory_mib, serve

KILLS = int(os.environ.get("POTSIDE_KILLS", "4"))
ROOMS = 3
MOST_MIB = 200
WRONG = {"POTSIDE_MATRIX_PASSWORD": "not this one"}

OUTBOX, PLANT, EVENT, INBOX = (table_of(one) for one in (Outbox, Plant, Event, Inbox))


@contextmanager
def _program(bot: Bot, log: Path, **more: str) -> Iterator[subprocess.Popen[bytes]]:
    """The bot as a child process; ended as an operator would."""
    program = serve(environment(bot, **more), log)
    try:
        yield program
        program.send_signal(signal.SIGTERM)
        assert program.wait(20) == 0, log.read_text()
    finally:
        program.kill()
        program.wait(20)


async def test_killed_at_random_moments(people: Crowd, bot: Bot, tmp_path: Path) -> None:
    """With encrypted traffic: every message is acted on once, nothing is answered twice.

    A send that had gone out when the kill came is repeated under its own transaction id, by which
    the homeserver knows it.
    """
    dice = random.Random(17)  # noqa: S311 - the same moments in every run
    log = tmp_path / "log"
    ida = await people("ida")
    with _program(bot, log):
        rooms = [await move_in(ida, bot, encrypted=n > 0) for n in range(ROOMS)]
        for room in rooms:
            await ida.ask(room, "!help", "A day with me")
    names: list[str] = []
    for number in range(KILLS):
        program = serve(environment(bot), log)
        for n, room in enumerate(rooms):
            names.append(f"K{number:03}p{n}")
            await ida.say(room, f"!add {names[-1]}, Boston fern, 15 cm pot")
        # From its start to well after its answers, so that no phase is spared.
        await asyncio.sleep(dice.uniform(0.3, 4.5))
        program.kill()
        program.wait(20)
    with _program(bot, log):
        text = [one.text for room in rooms for one in ida.others(room)]
        for name in names:
            await _hears_of(ida, name)
        await ida.ask(rooms[0], "!help", "A day with me")  # so it is up
        await all_marked(bot.database)
        await asyncio.sleep(1)
    answers = Counter(
        name for one in ida.heard for name in names if f"{name} is on the list" in one.text
    )
    assert set(answers) == set(names), text
    assert not [name for name, count in answers.items() if count > 1]
    assert not ida.sealed
    _acted_on_once(bot.database, names)
    assert "Traceback" not in log.read_text()
    print(f"\n{KILLS} kills, {len(names)} messages, each answered once")


# What may be done on the homeserver while the program dies before it hears so, in the order in
# which a new bot comes to it.
POINTS = (
    ("/login", ""),
    ("/keys/upload", ""),
    ("/join", "asked in"),
    ("/keys/claim", ""),  # to say hello
    ("/sendToDevice/m.room.encrypted", FERN),
    ("/send/m.room.encrypted", "!check fern 3"),
    ("/send/m.room.encrypted", "!check fern 4"),
    ("/send/m.room.encrypted", "!check fern 5"),
)


async def test_killed_between_a_deed_and_its_answer(
    people: Crowd, bot_behind: Bot, proxy: Proxy, tmp_path: Path
) -> None:
    """The homeserver has done what we asked, we are dead before we know: all goes on, once."""
    log = tmp_path / "log"
    ida = await people("ida")
    room = ""
    for part, said in POINTS:
        fault = proxy.fault(part, "late", seconds=60)
        program = serve(environment(bot_behind), log)
        try:
            if said == "asked in":
                room = await ida.open(bot_behind.id)
            elif said:
                await ida.say(room, said)
            await until(fault.reached.is_set, partial("never came to {}".format, part), 30)
        finally:
            program.kill()
            program.wait(20)
    with _program(bot_behind, log):
        for part in ("Good to meet you", "on the list", "Fern: 3.", "Fern: 4.", "Fern: 5."):
            await ida.hears(room, part, within=40)
        await all_marked(bot_behind.database)
        await ida.ask(room, "!plants", "Fern")
        texts = [one.text for one in ida.others(room)]
    assert len(texts) == len(set(texts)) == 6, texts
    assert not ida.sealed
    assert "Traceback" not in log.read_text()


async def _hears_of(who: Person, name: str) -> None:
    await who.until(
        lambda: any(f"{name} is on the list" in one.text for one in who.heard), 60, f"for {name}"
    )


def _acted_on_once(url: str, names: list[str]) -> None:
    store = open_store(url)
    with store.read() as tx:
        plants = Counter(tx.execute(select(PLANT.c.name)).scalars())
        arrived = tx.execute(select(EVENT.c.id).where(EVENT.c.kind == "arrived")).all()
        states = Counter(tx.execute(select(INBOX.c.state)).scalars())
    store.close()
    assert plants == Counter(names)
    assert len(arrived) == len(names)
    assert set(states) == {"done"}


async def test_stopped_started_and_examined(people: Crowd, bot: Bot, tmp_path: Path) -> None:
    """In good order on SIGTERM; what the doctor says while it runs and when the password is off."""
    log = tmp_path / "log"
    ida = await people("ida")
    with _program(bot, log) as program:
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
        resident = memory_mib(program)
        status, said = await asyncio.to_thread(doctor, environment(bot))
        assert status == 0, said
        assert bot.id in said
        assert "keys are in order" in said
        assert "WRONG" not in said
        await ida.ask(room, "!plants", "Fern")
    assert resident is None or resident < MOST_MIB
    with _program(bot, log):
        await ida.ask(room, "!check fern 3", "Fern: 3.")
    told = environment(bot, **WRONG, POTSIDE_MATRIX_STORE=str(tmp_path / "x"))
    status, said = await asyncio.to_thread(doctor, told)
    assert status == 1
    assert "password are refused" in said
    for file in bot.keys.glob("*.db*"):
        file.unlink()
    status, said = await asyncio.to_thread(doctor, environment(bot))
    assert status == 1
    assert "lost or replaced" in said
    text = log.read_text()
    for secret in ("Traceback", environment(bot)["POTSIDE_MATRIX_PASSWORD"], "Boston", "fern"):
        assert secret not in text


async def test_a_refused_start(bot: Bot, tmp_path: Path) -> None:
    """It ends at once, and says what would help."""
    log = tmp_path / "log"
    program = serve(environment(bot, **WRONG), log)
    assert await asyncio.to_thread(program.wait, 30) == 1
    text = log.read_text()
    assert "doctor" in text
    assert "Traceback" not in text
