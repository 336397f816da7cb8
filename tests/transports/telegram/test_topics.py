"""In a forum: what comes of itself goes to the topic in which it was begun."""

from __future__ import annotations

from datetime import timedelta

from tests.transports.telegram.clocks import Ahead
from tests.transports.telegram.world import IDA, TOM, Call, Served, World, served, supergroup

FORUM = supergroup(-1900, is_forum=True)
FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"


def within(topic: int) -> dict[str, object]:
    return {"message_thread_id": topic, "is_topic_message": True}


async def _poured(world: World, topic: int | None) -> Call:
    """Tom probes and pours in a topic, or in General."""
    where = within(topic) if topic is not None else {}
    verdict = await world.ask(TOM, FORUM, "/check fern 3", **where)
    shown = {**verdict, "message": {**verdict["message"], **where}}
    first = await world.tap(TOM, shown, "Pour with me")
    return await world.tap(TOM, {**first, "message": {**first["message"], **where}}, "Poured")


async def _later(world: World, house: Served, clock: Ahead) -> Call:
    """The pause of a pour is over; what comes of itself."""
    seen = len(await world.sent(FORUM["id"]))
    clock.ahead += timedelta(minutes=8)
    await house.duties.tick()
    asked = await world.next_in(FORUM, seen)
    assert "any water in the saucer?" in asked["shown"]
    return asked


async def test_a_pour_goes_on_in_its_topic_after_a_restart_too(
    world: World, sqlite_url: str
) -> None:
    clock = Ahead()
    await world.set(chat={"id": FORUM["id"], "about": FORUM, "threads": [7, 9]})
    async with served(world, sqlite_url, clock):
        await world.ask(IDA, FORUM, FERN)
        await _poured(world, 7)
    async with served(world, sqlite_url, clock) as house:
        asked = await _later(world, house, clock)
        assert asked["message_thread_id"] == "7"
        elsewhere = await world.ask(IDA, FORUM, "/pour fern none", **within(9))
        assert elsewhere["message_thread_id"] == "9"
        await world.ask(IDA, FORUM, "/pour fern poured", **within(9))
        seen = len(await world.sent(FORUM["id"]))
        clock.ahead += timedelta(hours=1)
        await house.duties.tick()
        rest = await world.next_in(FORUM, seen)
        assert rest["message_thread_id"] == "9"  # whoever answers takes it along


async def test_one_that_was_begun_in_general_goes_on_there(world: World, sqlite_url: str) -> None:
    clock = Ahead()
    await world.set(chat={"id": FORUM["id"], "about": FORUM, "threads": [7]})
    async with served(world, sqlite_url, clock) as house:
        await world.ask(IDA, FORUM, FERN)
        await _poured(world, None)
        assert "message_thread_id" not in await _later(world, house, clock)


async def test_a_topic_that_was_closed_meanwhile(world: World, sqlite_url: str) -> None:
    """The message still arrives: in General."""
    clock = Ahead()
    await world.set(chat={"id": FORUM["id"], "about": FORUM, "threads": [7]})
    async with served(world, sqlite_url, clock) as house:
        await world.ask(IDA, FORUM, FERN)
        await _poured(world, 7)
        await world.set(chat={"id": FORUM["id"], "closed": [7]})
        assert "message_thread_id" not in await _later(world, house, clock)
