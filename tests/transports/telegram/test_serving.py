"""`potside serve` as a program: killed at any moment, stopped in good order, examined."""

from __future__ import annotations

import asyncio
import os
import random
import signal
import socket
import sys
import time
from collections import Counter
from pathlib import Path

import pytest
from sqlalchemy import select

from core.store.opening import open_store
from core.store.tables import Event, Inbox, Outbox, Plant, table_of
from tests.transports.marked import all_marked
from tests.transports.telegram.child import (
    children,
    doctor,
    environment,
    is_there,
    loaded,
    memory_mib,
    serve,
)
from tests.transports.telegram.test_photos import leaf, put
from tests.transports.telegram.world import IDA, Call, World, arrived, person, private

KILLS = int(os.environ.get("POTSIDE_KILLS", "10"))
AT_ONCE = 8
# A kill between a send and its mark repeats what was sent in that moment, of all chats at most.
MOST_DOUBLES_A_KILL = AT_ONCE
MOST_MIB = 150

OUTBOX, PLANT, EVENT, INBOX = (table_of(one) for one in (Outbox, Plant, Event, Inbox))


async def _speak(world: World, number: int) -> list[str]:
    """Some people each add a plant of a name that comes only once; the names."""
    people = [person(5000 + n, f"P{n}") for n in range(AT_ONCE)]
    names = [f"K{number:03}p{n}" for n in range(AT_ONCE)]
    messages = [
        world.message(one, private(one), f"/add {name}, Boston fern, 15 cm pot")
        for one, name in zip(people, names, strict=True)
    ]
    await world.update(*[{"message": message} for message in messages])
    return names


async def test_killed_at_random_moments(world: World, tmp_path: Path) -> None:
    """Every message is acted on exactly once and answered at least once (nbramia/LifeOS #57).

    A double is an answer whose send had gone out when the kill came, before its mark: counted.
    """
    dice = random.Random(17)  # noqa: S311 - the same moments in every run
    url = f"sqlite:///{tmp_path / 'potside.db'}"
    told = environment(world.base, world.token, url)
    log = tmp_path / "log"
    names: list[str] = []
    for number in range(KILLS):
        program = serve(told, log)
        names += await _speak(world, number)
        before = len((await world.look())["calls"])
        await world.wait(lambda calls, n=before: len(calls) > n, 20)  # type: ignore[misc]
        await asyncio.sleep(dice.uniform(0, 1.2))
        program.kill()
        program.wait(20)
    before = _starts((await world.look())["calls"])
    program = serve(told, log)
    try:
        # Up, and so listening to signals: all may have been answered before it began.
        await world.wait(lambda calls: _starts(calls) > before, 20)
        await _all_answered(world, names)
        await all_marked(url)
    finally:
        program.send_signal(signal.SIGTERM)
        assert program.wait(20) == 0
    _acted_on_once(url, names)
    answers = Counter(
        name for one in await world.sent() for name in names if f"{name} is on" in one["shown"]
    )
    doubles = sum(answers.values()) - len(answers)
    print(f"\n{KILLS} kills, {len(names)} messages, {doubles} answers came twice")
    assert doubles <= KILLS * MOST_DOUBLES_A_KILL / 2
    assert "Traceback" not in log.read_text()


def _starts(calls: list[Call]) -> int:
    """How often a program asked who it is, which each does once it can be stopped."""
    return sum(one["method"] == "getMe" for one in calls)


async def _all_answered(world: World, names: list[str]) -> None:
    ends = time.monotonic() + 240
    while True:
        text = "\n".join(one["shown"] for one in await world.sent())
        missing = [name for name in names if f"{name} is on the list" not in text]
        if not missing:
            return
        assert time.monotonic() < ends, missing[:10]
        await asyncio.sleep(0.1)


def _acted_on_once(url: str, names: list[str]) -> None:
    store = open_store(url)
    with store.read() as tx:
        plants = Counter(tx.execute(select(PLANT.c.name)).scalars())
        events = list(tx.execute(select(EVENT.c.kind)).scalars())
        open_ = list(tx.execute(select(INBOX.c.id).where(INBOX.c.state != "done")).scalars())
        states = Counter(tx.execute(select(OUTBOX.c.state)).scalars())
    store.close()
    assert plants == Counter(names)
    assert len(events) == len(names)
    assert not open_
    assert set(states) == {"sent"}


async def test_a_graceful_stop_and_little_memory(world: World, tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'potside.db'}"
    program = serve(environment(world.base, world.token, url), tmp_path / "log")
    home = private(IDA)
    try:
        await world.ask(IDA, home, "/add fern, Boston fern, 15 cm pot")
        await world.ask(IDA, home, "fern 3")
        sizes = await put(world, "leaf", leaf())
        await world.ask(IDA, home, "", caption="/photo fern", photo=sizes)
        assert (await world.ask(IDA, home, "/chart fern"))["method"] == "sendPhoto"
        for pid in children(program):  # nobody misses what draws when it is ended
            os.kill(pid, signal.SIGKILL)
        assert (await world.ask(IDA, home, "/chart fern"))["method"] == "sendPhoto"
        resident, apart = memory_mib(program), children(program)
        assert not {"matplotlib", "PIL"} & loaded(program)
    finally:
        program.send_signal(signal.SIGTERM)
        begun = time.monotonic()
        assert program.wait(15) == 0
    assert time.monotonic() - begun < 5
    assert resident is None or (resident < MOST_MIB and len(apart) == 1)
    assert not [pid for pid in apart if is_there(pid)]
    print(f"\nresident: {resident} MiB")
    _all_sent(url, 5)
    assert "Traceback" not in (tmp_path / "log").read_text()


def _all_sent(url: str, count: int) -> None:
    store = open_store(url)
    with store.read() as tx:
        states = list(tx.execute(select(OUTBOX.c.state)).scalars())
    store.close()
    assert states == ["sent"] * count


async def test_doctor_on_a_healthy_bot(world: World, tmp_path: Path) -> None:
    told = environment(world.base, world.token, f"sqlite:///{tmp_path / 'potside.db'}")
    status, said = await asyncio.to_thread(doctor, told)
    assert status == 0, said
    for part in ("database: opens", "@PotsideTestBot", "privacy mode is on", "nobody else polls"):
        assert part in said
    assert world.token not in said


async def test_doctor_sees_what_is_wrong(world: World, tmp_path: Path) -> None:
    told = environment(world.base, "123:revoked", f"sqlite:///{tmp_path / 'potside.db'}")
    status, said = await asyncio.to_thread(doctor, told)
    assert status == 1
    assert "token is refused" in said
    away = environment("http://127.0.0.1:9", world.token, f"sqlite:///{tmp_path / 'potside.db'}")
    status, said = await asyncio.to_thread(doctor, away)
    assert status == 1
    assert "can't be reached" in said


async def test_doctor_shows_uncertain_messages_and_a_second_poller(
    world: World, tmp_path: Path
) -> None:
    url = f"sqlite:///{tmp_path / 'potside.db'}"
    told = environment(world.base, world.token, url)
    program = serve(told, tmp_path / "log")
    try:
        await world.ask(IDA, private(IDA), "/help")
        await world.fault("sendMessage", "cut_after")
        await world.say(IDA, private(IDA), "/plants")
        await world.wait(lambda calls: sum(arrived(one) for one in calls) == 2)
        await asyncio.sleep(0.3)
    finally:
        program.send_signal(signal.SIGTERM)
        program.wait(15)
    other = asyncio.create_task(_poll_on(world))
    status, said = await asyncio.to_thread(doctor, told)
    other.cancel()
    assert status == 0
    assert "uncertain: reply" in said
    assert "something polls with this token" in said


async def _poll_on(world: World) -> None:
    """Another program that polls, asking again soon when it is thrown out."""
    url = f"{world.base}/bot{world.token}/getUpdates"
    while True:
        async with world.session.get(url, params={"timeout": 5}) as answer:
            await answer.read()
        await asyncio.sleep(0.5)


def test_an_address_that_is_taken(standin: str, tmp_path: Path) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        address = f"127.0.0.1:{other.getsockname()[1]}"
        url = f"sqlite:///{tmp_path / 'potside.db'}"
        program = serve(environment(standin, "2:x", url, POTSIDE_HTTP=address), tmp_path / "log")
        assert program.wait(20) == 1
    said = (tmp_path / "log").read_text()
    assert "can't be had" in said
    assert "Traceback" not in said


@pytest.mark.skipif(sys.platform == "win32", reason="signals")
@pytest.mark.parametrize(
    ("more", "part"),
    [
        ({"POTSIDE_TELEGRAM_WEBHOOK": "https://x.example/t", "POTSIDE_TELEGRAM_SECRET": "",
          "POTSIDE_WEB": "127.0.0.1:0"}, "POTSIDE_TELEGRAM_SECRET is empty"),
        ({"POTSIDE_TELEGRAM_WEBHOOK": "https://x.example/t"}, "needs POTSIDE_WEB"),
        ({"POTSIDE_TELEGRAM_API": "telegram"}, "is no URL"),
        ({"POTSIDE_HTTP": "here"}, "is no address"),
        ({"POTSIDE_TELEGRAM_TOKEN": ""}, "No network to serve"),
        ({"POTSIDE_ALLOW_FILE": "/does/not/exist"}, "can't be read"),
    ],
)  # fmt: skip
def test_settings_that_make_no_sense(
    standin: str, tmp_path: Path, more: dict[str, str], part: str
) -> None:
    told = environment(standin, "1:x", f"sqlite:///{tmp_path / 'potside.db'}", **more)
    program = serve(told, tmp_path / "log")
    assert program.wait(20) == 2
    assert part in (tmp_path / "log").read_text()
