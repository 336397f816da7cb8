"""A morning on both networks: `potside serve` says the rounds, and people answer them in place.

Plants that came nine days ago are due. How far a day has come isn't waited for: the moments of the
morning and of the evening are set in the database, and the program finds them while it runs.
"""

from __future__ import annotations

import asyncio
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sqlalchemy import update

from core.actions import rounds
from core.store.opening import open_store
from core.store.tables import Dialogue, Household, table_of
from tests.transports.both.program import OnMatrix, OnTelegram, Program, Talk
from tests.transports.both.test_a_day import invited, nothing_twice
from tests.transports.both.test_household import both
from tests.transports.matrix.people import Crowd, Said
from tests.transports.matrix.world import Ahead, Bot, move_in
from tests.transports.telegram.world import IDA, TOM, Call, World, labels, supergroup

DIALOGUE, HOUSEHOLD = table_of(Dialogue), table_of(Household)
POT = "Boston fern, 15 cm pot"
AGO = timedelta(days=9)
SOON = timedelta(seconds=3)


def _where_it_is_ten() -> str:
    """A zone in which it is between ten and eleven, so that the morning has come."""
    ahead = 10 - datetime.now(UTC).hour
    ahead += 24 if ahead < -12 else 0
    return f"Etc/GMT{-ahead:+d}"


def _soon(url: str) -> None:
    """Every household's round falls due in a moment."""
    store = open_store(url)
    with store.write() as tx:
        tx.execute(update(HOUSEHOLD).values(round_at=datetime.now(UTC) + SOON))
    store.close()


def _evening_comes(url: str) -> None:
    """The evening's moment comes, for every round that was told."""
    store = open_store(url)
    told = (DIALOGUE.c.subject == rounds.SUBJECT, DIALOGUE.c.closed_at.is_(None))
    with store.write() as tx:
        asked = update(DIALOGUE).where(*told).values(due_at=datetime.now(UTC))
        assert tx.execute(asked).rowcount == 2
    store.close()


@dataclass(slots=True)
class Homes:
    """Birch Street is at home on Telegram, Ash Lane on Matrix; each has a chat on the other."""

    ida: OnTelegram
    tom: OnTelegram
    max: OnMatrix
    uma: OnMatrix
    tom_too: OnTelegram


async def _settle_in(world: World, bot: Bot, people: Crowd, talk: Talk) -> Homes:
    """Nine days ago, three plants each."""
    past = Ahead()
    past.ahead = -AGO
    max_, uma = await people("max"), await people("uma")
    async with both(world, bot, past, zone=_where_it_is_ten()) as house:
        birch, ash = await asyncio.gather(
            move_in(max_, bot, name="Birch Street"), move_in(uma, bot, name="Ash Lane")
        )
        homes = Homes(
            OnTelegram(talk, IDA, supergroup(-1500), "Birch Street, Telegram"),
            OnTelegram(talk, TOM, supergroup(-1500), "Birch Street, Telegram"),
            OnMatrix(talk, max_, birch, "Birch Street, Matrix"),
            OnMatrix(talk, uma, ash, "Ash Lane, Matrix"),
            OnTelegram(talk, TOM, supergroup(-1600), "Ash Lane, Telegram"),
        )
        await homes.ida.ask(f"/add\nfern, {POT}, hall\npip, {POT}, hall\ndot, {POT}, kitchen")
        await homes.uma.ask(f"!add\nivy, {POT}, hall\nmoss, {POT}, hall\nrook, {POT}, study")
        await homes.max.ask(f"!join {invited((await homes.ida.ask('/invite'))['shown'])}")
        await homes.tom_too.ask(f"/join {invited((await homes.uma.ask('!invite')).text)}")
        await house.duties.tick()  # each household's next morning is planned
    return homes


async def test_a_morning(world: World, bot: Bot, people: Crowd, tmp_path: Path) -> None:
    talk = Talk(world)
    homes = await _settle_in(world, bot, people, talk)
    program = Program.of(world, bot, tmp_path / "log")
    ida, uma = homes.ida, homes.uma
    before = len(await ida.heard()), len(uma.heard())
    _soon(bot.database)
    with program.running():
        try:
            here, there = await ida.unasked(before[0]), await uma.unasked(before[1])
            await _answered_on_telegram(homes, here)
            await _answered_on_matrix(homes, there)
            before = len(uma.heard()), len(await ida.heard())
            await program.kill()
            _evening_comes(bot.database)
            program.start()
            left = (await uma.unasked(before[0])).text
            assert left.startswith("Still to look at from today: Rook.")
            assert "Rook: 7." in (await uma.ask("rook 7")).text
            assert "Rook" not in (await homes.tom_too.ask("/plants due"))["shown"]
        finally:
            print(talk)
        await program.stop()
    assert len(await ida.heard()) == before[1]  # all was looked at: no word in the evening
    await nothing_twice([homes.ida, homes.max, homes.uma, homes.tom_too], talk)
    assert "Traceback" not in program.log.read_text()


async def _answered_on_telegram(homes: Homes, round_: Call) -> None:
    """By a button, by somebody else's reply to what that asked, in bulk; seen on Matrix."""
    assert round_["shown"].startswith("Good morning. Three to probe, in walking order:\nHall: Fern")
    assert labels(round_) == ["Start", "This evening", "Someone does it"]
    asked = await homes.ida.tap(round_, "Start")
    assert "Probe Fern" in asked["shown"]
    done = await homes.tom.reply(asked, "6 7")
    assert "Fern: 6 and 7." in done["shown"]
    seen = (await homes.max.ask("!round")).text
    assert "Two to probe" in seen
    assert "Fern" not in seen.partition("Also today")[0]
    many = (await homes.ida.ask("/check pip 7, dot 3"))["shown"]
    assert "Pip: 7. Leave it for now." in many
    assert "Dot: 3. Water it well today." in many
    assert "Dot (wants water, by today's reading)" in (await homes.max.ask("!round")).text


async def _answered_on_matrix(homes: Homes, round_: Said) -> None:
    """By a reaction, a bare reading, a letter; seen on Telegram; one plant is left."""
    assert round_.encrypted
    assert round_.text.startswith("Good morning. Three to probe, in walking order:\nHall: Ivy")
    asked = await homes.uma.react(round_, 1)
    assert "Probe Ivy" in asked.text
    on = await homes.uma.ask("7")
    assert "Ivy: 7." in on.text
    assert "a) Skip it" in on.text
    skipped = await homes.uma.ask("a")
    assert "Moss comes up again tomorrow" in skipped.text
    assert "Probe Rook" in skipped.text
    seen = (await homes.tom_too.ask("/round"))["shown"]
    assert "One to probe:\nStudy: Rook" in seen
