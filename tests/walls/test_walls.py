"""Walls: nothing done in one household reaches another's plants, people, codes or questions.

Each chat's household has names that nobody else could know. A generator lets people of two
networks talk, tap forged and stale buttons, and guess; whatever a household hears is searched for
the others' secrets. POTSIDE_STEPS=10000 for the long walk.
"""

from __future__ import annotations

import itertools
import os
import random
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import text as sql

from bot.talk.message import Message, Step
from bot.talk.reception import Reception
from core.store.opening import open_store
from core.store.people import Address

STEPS = int(os.environ.get("POTSIDE_STEPS", "300"))
START = datetime(2026, 3, 2, 7, 30, tzinfo=ZoneInfo("Europe/Berlin"))
HOUSES = 6
LINES = (
    "/plants", "/household", "/invite", "/invite keeper", "/round", "/undo", "/start", "/help",
    "/check {plant} 3", "{plant} 3 4", "/pour {plant}", "poured", "none", "yes", "no", "/cancel",
    "/gave {plant} 300 ml", "/story {plant}", "/why {plant}", "/plant {plant}", "/dose {plant}",
    "/plant {plant} rename Stolen", "/plant {plant} retire died", "/fix 4", "/later {plant}",
    "/household {house}", "/household remove {person}", "/household keeper {person}",
    "/join {code}", "/start {code}", "/household leave", "/spot {plant} kitchen, north window",
)  # fmt: skip


class World:
    """Households on two networks, their secrets, and everything that was said."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)  # noqa: S311 - a walk, not a secret
        self.store = open_store("sqlite://")
        self.reception = Reception(self.store, "Europe/Berlin")
        self.ids = itertools.count(1)
        self.now = START
        self.people = [
            (n, ("telegram", "matrix")[n % 2], f"Mx{n}secret", f"addr{n}") for n in range(HOUSES)
        ]
        for who in self.people:
            self.say(who, f"/household name House{who[0]}secret")
            self.say(who, f"/add Plant{who[0]}secret, golden pothos, 15 cm pot, kitchen")

    def say(self, who: tuple[int, str, str, str], said: str, step: Step | None = None) -> str:
        """What one person hears to what they say in their own private chat."""
        number, network, name, address = who
        where = Address(network, "bot", f"chat{number}", address, name, direct=True)
        self.now += timedelta(minutes=1)
        message = Message(where, str(next(self.ids)), said, self.now, step=step)
        inbox = self.reception.take_in(message)
        assert inbox is not None
        assert self.reception.attend(inbox) is None
        with self.store.read() as tx:
            return "\n".join(
                tx.execute(
                    sql("SELECT body FROM outbox WHERE inbox_id = :one"), {"one": inbox}
                ).scalars()
            )

    def secrets_of(self, number: int) -> tuple[str, ...]:
        """What nobody outside a household may hear."""
        return (f"plant{number}secret", f"house{number}secret", f"mx{number}secret")

    def own_rows(self, number: int) -> tuple[object, ...]:
        """All that a household's plant and journal are, to be compared."""
        with self.store.read() as tx:
            chat = sql("SELECT household_id FROM chat WHERE address = :one")
            house = tx.execute(chat, {"one": f"chat{number}"}).scalar_one()
            plants = tx.execute(
                sql("SELECT name, state FROM plant WHERE household_id = :h"), {"h": house}
            )
            events = tx.execute(
                sql("SELECT count(*) FROM event WHERE household_id = :h"), {"h": house}
            )
            return (*map(tuple, plants), events.scalar_one())


def test_no_household_hears_of_or_changes_another() -> None:
    world = World(seed=5)
    try:
        for _ in range(STEPS):
            _step(world)
    finally:
        world.store.close()


def _step(world: World) -> None:
    chance = world.chance
    me, other = chance.choice(world.people), chance.choice(world.people)
    said = chance.choice(LINES).format(
        plant=f"Plant{other[0]}secret",
        house=f"House{other[0]}secret",
        person=other[2],
        code="".join(chance.choices("ABCDEFGHJKMN", k=12)),
    )
    forged = Step(chance.randint(0, 60), chance.randint(1, 3)) if chance.random() < 0.3 else None
    others = [one[0] for one in world.people if one is not me]
    before = [world.own_rows(number) for number in others]
    heard = world.say(me, said, forged).casefold()
    assert "went wrong" not in heard, said
    quoted = said.casefold()
    for number in others:
        for secret in world.secrets_of(number):
            assert secret not in heard or secret in quoted, f"{said}: {heard}"
    assert [world.own_rows(number) for number in others] == before, said


def test_the_walls_can_be_seen_through_where_there_are_none() -> None:
    """The search itself finds a secret that is one's own."""
    world = World(seed=6)
    try:
        assert "plant0secret" in world.say(world.people[0], "/plants").casefold()
        assert "plant0secret" not in world.say(world.people[1], "/plants").casefold()
    finally:
        world.store.close()
