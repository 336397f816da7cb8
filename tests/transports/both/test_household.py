"""One house on two networks at once: the Telegram stand-in and a real homeserver."""

from __future__ import annotations

import asyncio
import re
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import datetime, timedelta

import pytest

from bot.clock import Clock, RealClock
from bot.serving import serving
from bot.tally import Tally
from bot.transports.matrix.account import Patience
from bot.transports.matrix.network import Matrix
from bot.transports.telegram.network import Account, Telegram
from core.store.opening import open_store
from tests.transports.matrix.people import Crowd, Person
from tests.transports.matrix.world import Ahead, Bot, move_in, until
from tests.transports.matrix.world import Served as OnMatrix
from tests.transports.matrix.world import served as served_on_matrix
from tests.transports.telegram.world import (
    IDA,
    QUICK,
    TOM,
    UNLIMITED,
    Call,
    World,
    arrived,
    group,
    private,
    supergroup,
)

HOME = supergroup(-1500)
FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"


@asynccontextmanager
async def both(
    world: World, bot: Bot, clock: Clock, *, wait: bool = True, zone: str = "UTC"
) -> AsyncIterator[OnMatrix]:
    """The real thing on both networks."""
    tally = Tally()
    told = Account(world.token, world.base, limits=UNLIMITED, patience=QUICK)
    telegram = Telegram(told, clock.now, tally)
    matrix = Matrix(bot.account(), clock.now, tally)
    store = open_store(bot.database)
    try:
        async with (
            asyncio.timeout(120),
            serving(store, clock, [telegram, matrix], tally, zone=zone, wait=wait) as duties,
        ):
            yield OnMatrix(store, matrix, tally, duties)
    finally:
        store.close()


async def _one_household(world: World, bot: Bot, noor: Person) -> str:
    """A Telegram group of Ida and Tom, and a Matrix room of Noor's that joins it; the room."""
    await world.ask(IDA, HOME, FERN)
    await world.ask(TOM, HOME, "/plants")
    said = (await world.ask(IDA, HOME, "/invite"))["shown"]
    code = re.search(r"[A-Z0-9]{4}-[A-Z0-9]{4}-[A-Z0-9]{4}", said)
    assert code, said
    room = await move_in(noor, bot, name="Birch Street")  # a room with a name is a group
    await noor.ask(room, f"!join {code[0].casefold()}", "This chat belongs to")
    return room


async def test_a_household_on_both(world: World, bot: Bot, people: Crowd) -> None:
    """A check there, a pour here: each sees what the other does, and who; across a restart."""
    clock = Ahead()
    noor = await people("noor")
    async with both(world, bot, clock):
        room = await _one_household(world, bot, noor)
        assert "Fern" in (await noor.ask(room, "!plants", "Bathroom")).text
        await noor.ask(room, "fern 3", "Fern: 3.")
        assert "Noor" in (await world.ask(IDA, HOME, "/story fern"))["shown"]
        half = await world.ask(IDA, HOME, "/pour fern")
        seen = await noor.ask(room, "!pour fern", "Ida began to pour Fern")
        assert "1. Poured" in seen.text
    async with both(world, bot, clock) as house:
        shown = await _race(world, noor, room, half, seen.id)
        assert house.count("poured") == 0
        clock.ahead += timedelta(minutes=7, seconds=5)
        before = len(await world.sent(HOME["id"])), len(noor.others(room))
        await house.duties.tick()
        await until(lambda: _asked_once(house), house.states)
        await asyncio.sleep(0.5)
        there = [one["shown"] for one in (await world.sent(HOME["id"]))[before[0] :]]
        here = [one.text for one in noor.others(room)[before[1] :]]
        assert sum("any water in the saucer" in text for text in there + here) == 1, shown


def _asked_once(house: OnMatrix) -> bool:
    return set(house.states()) == {"sent"}


async def _race(world: World, noor: Person, room: str, half: Call, seen: str) -> tuple[str, str]:
    """Both say at once that it is poured: one wins, the other is told; what both hear."""
    before = len(await world.sent(HOME["id"])), len(noor.others(room))
    await asyncio.gather(
        world.update(world.tapped(IDA, half, "Poured")), noor.react(room, seen, "1\ufe0f\u20e3")
    )
    there = (await world.next_in(HOME, before[0]))["shown"]
    here = (await noor.hears(room, "", before[1])).text
    won = [text for text in (there, here) if "7 minutes" in text]
    told = [text for text in (there, here) if "That step is done" in text]
    assert len(won) == len(told) == 1, (there, here)
    return there, here


async def test_unasked_messages_go_to_the_home_chat(world: World, bot: Bot, people: Crowd) -> None:
    """The morning's round is said once, in the chat where the household began."""
    clock = Ahead()
    noor = await people("noor")
    async with both(world, bot, clock) as house:
        room = await _one_household(world, bot, noor)
        before = len(await world.sent(HOME["id"])), len(noor.others(room))
        clock.ahead += timedelta(days=9)  # by then it wants to be probed
        await house.duties.tick()  # mornings long past are not made up for
        now = clock.now()
        clock.ahead += _next_morning(now) - now
        await house.duties.tick()
        said = (await world.next_in(HOME, before[0]))["shown"]
        assert said.startswith("Good morning")
        assert "Fern" in said
        await until(lambda: set(house.states()) == {"sent"}, house.states)
        assert len(noor.others(room)) == before[1]


def _next_morning(now: datetime) -> datetime:
    """A minute after the hour at which a household hears its round."""
    then = now.replace(hour=8, minute=1, second=0, microsecond=0)
    return then if then > now else then + timedelta(days=1)


async def test_one_person_on_both(world: World, bot: Bot, people: Crowd) -> None:
    """Whoever says so on both is one person: their plants, their `/undo`, their name."""
    home = private(IDA)
    noor = await people("noor")
    async with both(world, bot, Ahead()) as house:
        await world.ask(IDA, home, FERN)
        said = (await world.ask(IDA, home, "/invite me"))["shown"]
        code = re.search(r"[A-Z0-9]{4}-[A-Z0-9]{4}-[A-Z0-9]{4}", said)
        assert code, said
        room = await move_in(noor, bot, direct=True)
        await noor.ask(room, f"!join {code[0]}")
        await noor.ask(room, "fern 3", "Fern: 3.")
        undone = (await world.ask(IDA, home, "/undo"))["shown"]
        assert "3" in undone
        assert house.journal() == ["arrived", "checked", "undone"]


@pytest.mark.postgres
async def test_a_program_for_each_network(
    world: World, bot: Bot, people: Crowd, postgres_database: str
) -> None:
    """Two programs on one PostgreSQL, each for one network: neither waits for the other's turn."""
    bot.database = postgres_database
    noor, tally = await people("noor"), Tally()
    told = Account(world.token, world.base, limits=UNLIMITED, patience=QUICK)
    store = open_store(postgres_database)
    async with served_on_matrix(bot):
        room = await move_in(noor, bot)
        network = Telegram(told, RealClock().now, tally)
        async with serving(store, RealClock(), [network], tally, zone="UTC"):
            assert "Fern is on" in (await world.ask(IDA, private(IDA), FERN))["shown"]
            await noor.ask(room, "!help", "A day with me")
    store.close()


async def test_one_network_away_stops_no_other(world: World, bot: Bot, people: Crowd) -> None:
    """errbotio/errbot #1399: both run in one process; a fault of one is no fault of the other."""
    there, bot.base = bot.base, "http://127.0.0.1:9"
    bot.told = {"patience": Patience(pause=0.05, longest_pause=0.3)}
    async with both(world, bot, Ahead(), wait=False) as house:
        await world.ask(IDA, group(-1600), "/help")
        health = [branch.network.health().well for branch in house.duties.branches]
        assert health == [True, False]
    bot.base = there
    noor = await people("noor")
    async with both(world, bot, Ahead()):
        room = await move_in(noor, bot)
        await world.set(chat={"id": IDA["id"], "blocked": "Forbidden: bot was blocked by the user"})
        await world.say(IDA, private(IDA), "/help")
        await noor.ask(room, "!help", "A day with me")
        assert not [one for one in await world.sent(IDA["id"]) if arrived(one)]


async def test_a_stranger_on_one_sees_nothing_of_the_other(
    world: World, bot: Bot, people: Crowd
) -> None:
    """The same name, the same plants' names: each network's strangers stay strangers."""
    noor, mallory = await people("noor"), await people("ida")
    async with both(world, bot, Ahead()):
        await _one_household(world, bot, noor)
        room = await move_in(mallory, bot)
        assert "Fern" not in (await mallory.ask(room, "!plants")).text
        assert "Fern" not in (await mallory.ask(room, "!story fern")).text
        guessed = await mallory.ask(room, "!join ABCD-EFGH-JKMN")
        assert "doesn't work" in guessed.text
