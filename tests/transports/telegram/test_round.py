"""The morning round as a group on Telegram gets it and answers it, by button and by text."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tests.transports.telegram.clocks import Ahead
from tests.transports.telegram.world import (
    IDA,
    TOM,
    Call,
    Served,
    World,
    group,
    labels,
    served,
)

HOME = group(-700)
BERLIN = ZoneInfo("Europe/Berlin")


class Mornings:
    """A clock that is set from one hour on the household's wall to another."""

    def __init__(self, world: World, house: Served, clock: Ahead) -> None:
        self._world, self._house, self._clock = world, house, clock
        self.day: date = clock.now().astimezone(BERLIN).date()

    def stamp(self) -> dict[str, int]:
        """The date of a message said now."""
        return {"date": int(self._clock.now().timestamp())}

    async def at(self, days: int, hour: time) -> None:
        """So many days on, at an hour; what is due is done."""
        self.day += timedelta(days=days)
        wanted = datetime.combine(self.day, hour, BERLIN).astimezone(UTC)
        self._clock.ahead += wanted - self._clock.now()
        await self._house.duties.tick()


async def test_a_round_is_heard_walked_and_answered(world: World, sqlite_url: str) -> None:
    clock = Ahead()
    async with served(world, sqlite_url, clock, zone="Europe/Berlin") as house:
        await world.ask(IDA, HOME, "/add fern, Boston fern, 15 cm pot, bathroom, north window")
        await world.ask(IDA, HOME, "/add goldie, golden pothos, 15 cm pot, kitchen, east window")
        await world.ask(TOM, HOME, "/plants")
        mornings = Mornings(world, house, clock)
        await house.duties.tick()
        seen = len(await world.sent(HOME["id"]))
        await mornings.at(4, time(8))
        told = await world.next_in(HOME, seen)
        assert "Two to probe, in walking order" in told["shown"]
        assert labels(told) == ["Start", "This evening", "Someone does it"]
        await _walked(world, told, mornings)
        await mornings.at(0, time(19))
        seen = len(await world.sent(HOME["id"]))
        await mornings.at(1, time(8))
        await _put_off(world, await world.next_in(HOME, seen), mornings)


async def _walked(world: World, told: Call, mornings: Mornings) -> None:
    """By a button, an answer to what was asked, a sentence, and a command."""
    asked = await world.tap(IDA, told, "Start")
    assert "Probe Fern" in asked["shown"]
    verdict = await world.tap(IDA, asked, "Skip it")
    assert "Goldie" in verdict["shown"]
    now = mornings.stamp()
    done = await world.ask(IDA, HOME, "6 7", reply_to_message=verdict["message"], **now)
    assert "Goldie: 6 and 7. Leave it for now" in done["shown"]
    assert "That was all" in done["shown"]
    late = await world.tap(TOM, told, "Start")
    assert "all for today" in late["shown"]
    again = await world.ask(TOM, HOME, "/round", **now)
    assert "Good morning" not in again["shown"]


async def _put_off(world: World, told: Call, mornings: Mornings) -> None:
    """This evening then: reminded once, and "Tomorrow" ends it."""
    later = await world.tap(TOM, told, "This evening")
    assert "I'll ask at 19:00" in later["shown"]
    seen = len(await world.sent(HOME["id"]))
    await mornings.at(0, time(19))
    asked = await world.next_in(HOME, seen)
    assert "Still to look at from today" in asked["shown"]
    over = await world.tap(IDA, asked, "Tomorrow")
    assert "tomorrow's round" in over["shown"]
