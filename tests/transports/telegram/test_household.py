"""A household as it lives: a group of three and a private chat, from the first plant to a move."""

from __future__ import annotations

from datetime import timedelta

from sqlalchemy import select

from core.store.tables import Event, Inbox, Plant, table_of
from tests.transports.telegram.clocks import Ahead
from tests.transports.telegram.world import (
    BOT,
    IDA,
    NOOR,
    TOM,
    Call,
    Served,
    World,
    group,
    labels,
    private,
    served,
    supergroup,
)

HOME, NEW = group(-400), supergroup(-1400)
INBOX, EVENT, PLANT = (table_of(one) for one in (Inbox, Event, Plant))


async def test_a_household_lives(world: World, db_url: str) -> None:
    """A check, a pour with its timer, an undo, a move to a supergroup, a restart; each once."""
    clock = Ahead()
    async with served(world, db_url, clock) as house:
        asked = await _until_the_timer(world, house, clock)
    comes = world.message(IDA, NEW, "", migrate_from_chat_id=HOME["id"])
    leaves = world.message(IDA, HOME, "", migrate_to_chat_id=NEW["id"])
    await world.update({"message": comes}, {"message": leaves})
    async with served(world, db_url, clock) as house:
        await _in_the_new_chat(world, asked)
        kinds = _journal(house)
    assert kinds.count("checked") == 1
    assert kinds.count("undone") == 1
    assert len(await world.sent()) == 12


async def _until_the_timer(world: World, house: Served, clock: Ahead) -> Call:
    """Everybody speaks, in the group and alone; the question that a timer asked."""
    await world.member(IDA, HOME, "left", "member")
    hello = await world.next_in(HOME, 0)
    assert "Good to meet you, Ida" in hello["shown"]
    await world.ask(IDA, HOME, "/add fern, Boston fern, 15 cm pot, bathroom, north window")
    own = await world.ask(NOOR, private(NOOR), "/add basil, basil, 12 cm pot, kitchen")
    assert "Basil is on the list" in own["shown"]
    verdict = await world.ask(TOM, HOME, f"@{BOT} fern 3")
    assert "Water it well today" in verdict["shown"]
    first = await world.tap(TOM, verdict, "Pour with me")
    assert "first half" in first["shown"]
    await world.tap(NOOR, first, "Poured")
    seen = len(await world.sent(HOME["id"]))
    clock.ahead += timedelta(minutes=8)
    await house.duties.tick()
    asked = await world.next_in(HOME, seen)
    assert "any water in the saucer?" in asked["shown"]
    return asked


async def _in_the_new_chat(world: World, asked: Call) -> None:
    """The question asked before the move is answered after it, and nothing was lost."""
    shown = {**asked, "message": {**asked["message"], "chat": NEW}}
    second = await world.tap(IDA, shown, "No, none")
    assert "other half" in second["shown"]
    assert "Poured" in labels(second)
    await world.tap(IDA, second, "Poured")
    undone = await world.ask(TOM, NEW, "/undo")
    assert undone["shown"]
    plants = await world.ask(NOOR, NEW, "/plants")
    assert "Fern" in plants["shown"]
    assert "Basil" not in plants["shown"]
    alone = await world.ask(NOOR, private(NOOR), "/plants")
    assert "Basil" in alone["shown"]


def _journal(house: Served) -> list[str]:
    """The kinds of events; every message was worked on, and there are two plants."""
    with house.store.read() as tx:
        assert list(tx.execute(select(INBOX.c.state).distinct()).scalars()) == ["done"]
        assert len(tx.execute(select(PLANT.c.id)).all()) == 2
        return list(tx.execute(select(EVENT.c.kind).order_by(EVENT.c.id)).scalars())
