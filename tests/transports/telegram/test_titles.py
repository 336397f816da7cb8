"""A household has its group's name, until its people give it one of their own."""

from __future__ import annotations

from sqlalchemy import select

from core.store.tables import Household, table_of
from tests.transports.telegram.world import IDA, TOM, Served, World, group, private, served

HOUSEHOLD = table_of(Household)
HOME = group(-510)


def names(house: Served) -> list[str]:
    with house.store.read() as tx:
        return list(tx.execute(select(HOUSEHOLD.c.name).order_by(HOUSEHOLD.c.id)).scalars())


async def _renamed(world: World, title: str, **more: object) -> None:
    """Somebody renames the group; done when a command after it is answered."""
    chat = {**HOME, "title": title}
    await world.say(TOM, chat, "", new_chat_title=title, **more)
    await world.ask(TOM, chat, "/plants")


async def test_it_follows_until_it_has_a_name_of_its_own(world: World, sqlite_url: str) -> None:
    async with served(world, sqlite_url) as house:
        await world.member(IDA, HOME, "left", "member")
        await world.next_in(HOME, 0)
        assert names(house) == ["Birch Street"]
        await _renamed(world, "Birch  Street\n12")
        assert names(house) == ["Birch Street 12"]
        await world.ask(IDA, HOME, "/household name The greenhouse")
        await _renamed(world, "Holidays")
        assert names(house) == ["The greenhouse"]


async def test_a_title_may_be_long_strange_or_of_a_group_we_never_heard(
    world: World, sqlite_url: str
) -> None:
    async with served(world, sqlite_url) as house:
        await _renamed(world, "x" * 255)  # before anybody had spoken there
        assert names(house) == ["x" * 40]
        await _renamed(world, "<b>&</b>")
        page = await world.ask(TOM, {**HOME, "title": "<b>&</b>"}, "/household")
        assert "<b>&</b>" in page["shown"]  # literally, as the judge undoes our escapes


async def test_alone_it_is_called_after_its_founder(world: World, sqlite_url: str) -> None:
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, private(IDA), "/plants")
        assert "Ida" in names(house)[0]
