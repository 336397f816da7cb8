"""A town of households on three networks, and what each of its chats may hear.

Everything enters by the port and is worked on by the program's own clerk; what may be heard is
kept here from what was said alone, never looked up where the program keeps it.
"""

from __future__ import annotations

import asyncio
import itertools
import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import text as sql

from bot.duty.clerk import Clerk
from bot.duty.darkroom import Darkroom
from bot.duty.delivery import Delivery
from bot.duty.steps import STEPS
from bot.duty.sweep import Sweeper
from bot.duty.workroom import Result, Workroom
from bot.port import Incoming, Pick, Press
from bot.talk.files import needs_stored, with_stored
from bot.talk.message import Message, Picture, Reply, Step, write
from bot.talk.reception import Held, Reception
from bot.talk.turn import Means
from bot.tally import Tally
from core.actions import sensors
from core.store import people, postbox
from core.store.opening import open_store
from core.store.outbox import Parcel
from core.store.people import Address

ZONE = "Europe/Berlin"
START = datetime(2026, 3, 2, 7, 30, tzinfo=ZoneInfo(ZONE))
NETWORKS = {"terminal": "local", "telegram": "17", "matrix": "@potside:example.org"}
PEOPLE, GROUPS = 2, 1
BROKEN = "went wrong on my side"
AIR = "https://pots.example/air/"

# What the program keeps for a household, in columns that nothing done elsewhere may touch.
KEPT = {
    "household": "id, name, zone, settings, drying, home_chat_id",
    "plant": "household_id, id, name, room, state, left_at",
    "event": "household_id, id, kind, body, person_id, undone_by",
    "dialogue": "household_id, id, chat_id, subject, stage, version, state, options, closed_at",
    "membership": "household_id, person_id, role, since, until, asked",
    "invite": "household_id, id, digest, role, used_at",
    "sensor": "household_id, id, room, heard_at, state",
    "photo": "household_id, id, plant_id, note, state",
}


@dataclass(frozen=True)
class Account:
    """Somebody's account on one network: a person of their own until they link it."""

    network: str
    number: int

    @property
    def name(self) -> str:
        """What others see."""
        return f"Q{self.network[:3]}{'ab'[self.number]}"


@dataclass(frozen=True)
class Code:
    """A code as it was told: for which household, by which account, what it makes of its user."""

    text: str
    house: int
    maker: Account
    kind: str
    until: datetime
    sits: tuple[datetime, datetime] | None = None


Span = tuple[datetime, datetime] | None


@dataclass(frozen=True)
class Heard:
    """What was said in a chat: all of it as text, and whose secrets and names it might hold."""

    network: str
    chat: str
    text: str
    secrets: frozenset[int]
    names: frozenset[int]


@dataclass
class Town:
    """The program with a store in memory, and the record of who may know what."""

    now: datetime = START
    said_in: dict[int, tuple[str, str]] = field(default_factory=dict)
    buttons: dict[int, int] = field(default_factory=dict)
    heard: list[Heard] = field(default_factory=list)
    houses: set[int] = field(default_factory=set)
    # What only one household knows -> the households that know it; names of households apart.
    secrets: dict[str, set[int]] = field(default_factory=dict)
    titles: dict[str, set[int]] = field(default_factory=dict)
    parts: dict[Account, dict[int, Span]] = field(default_factory=dict)
    ever: dict[Account, set[int]] = field(default_factory=dict)
    sent_away: set[tuple[Account, int]] = field(default_factory=set)
    same: dict[Account, Account] = field(default_factory=dict)
    groups: dict[tuple[str, str], int] = field(default_factory=dict)
    codes: list[Code] = field(default_factory=list)
    used: set[str] = field(default_factory=set)
    moved: dict[tuple[str, int], str] = field(default_factory=dict)
    # Secrets of sensors as they were just told; whose each is; words that confirm a deletion.
    addresses: list[str] = field(default_factory=list)
    instruments: dict[str, int] = field(default_factory=dict)
    words: list[str] = field(default_factory=list)
    # Groups whose household was deleted: its name may still be said there, in the news of that.
    once: dict[tuple[str, str], set[int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.store = open_store("sqlite://")
        self.loop = asyncio.new_event_loop()
        self.ids = itertools.count(1)
        self.sweeper = Sweeper(self.store, STEPS)
        clock: Callable[[], datetime] = lambda: self.now  # noqa: E731 - one that can be moved
        self.clerks = {
            network: Clerk(
                self.store,
                Reception(
                    self.store, ZONE, claims=clock, network=network, means=Means(sensors=AIR)
                ),
                _Here(),
                clock,
                self._post,
                Tally(),
                hands=1,
                together=1,
            )
            for network in NETWORKS
        }
        self.shelves = [Darkroom(self.store, network, clock) for network in NETWORKS]
        self.outs = [Delivery(self.store, _Ear(name, self), clock) for name in NETWORKS]

    def close(self) -> None:
        """Give everything back."""
        self.loop.close()
        self.store.close()

    # --- doing --------------------------------------------------------------------------------

    def message(
        self,
        who: Account,
        group: int,
        said: str,
        step: Step | None = None,
        photo: Picture | None = None,
    ) -> Message:
        """What somebody says: in private (group 0) or in one of their network's groups."""
        chat = self.chat(who, group)
        where = Address(
            who.network, NETWORKS[who.network], chat, f"u{who.number}", who.name, direct=group == 0
        )
        return Message(where, str(next(self.ids)), said, self.now, step=step, photo=photo)

    def chat(self, who: Account, group: int) -> str:
        """The address of somebody's private chat (group 0) or of a group of their network."""
        if group == 0:
            return f"dm{who.number}"
        return self.moved.get((who.network, group), f"group{group}")

    def somebody_at(self, place: tuple[str, str], like: Account) -> tuple[Account, int]:
        """Whose private chat a place is, or for a group somebody of its network."""
        network, chat = place
        if chat.startswith("dm"):
            return Account(network, int(chat[2:])), 0
        return Account(network, like.number), 1

    def hear(self, came: Incoming) -> None:
        """Let something come in by the port."""
        clerk = self.clerks[_network_of(came)]
        for chat in self.loop.run_until_complete(clerk.take_in([came])):
            self.loop.run_until_complete(clerk.attend(chat))
        self._develop()
        self._deliver()

    def wait(self, span: timedelta) -> None:
        """Time passes; what falls due is done, each at its moment."""
        until = self.now + span
        while True:
            dues = [due for name in NETWORKS if (due := self.sweeper.next_due(name)) is not None]
            if not dues or min(dues) > until:
                break
            self.now = max(self.now, min(dues))
            self.sweeper.sweep(self.now)
            self._deliver()
        self.now = until

    def _develop(self) -> None:
        """Pictures come: what is in each is how its network called it."""
        for shelf in self.shelves:
            for coming in shelf.claim():
                shelf.keep(coming.id, coming.ref.encode())

    def _deliver(self) -> None:
        for out in self.outs:
            out.deliver_due()

    def _post(self, held: Held) -> None:
        self.take(held.parcel, held.reply)
        with self.store.write() as tx:
            tx.execute(sql("UPDATE outbox SET state = 'sent' WHERE id = :one"), {"one": held.row})

    def take(self, parcel: Parcel, reply: Reply) -> None:
        """Something is said in a chat: words, buttons and what they send, files, facts."""
        self.said_in[parcel.id] = (parcel.network, parcel.chat)
        if reply.buttons:
            self.buttons[parcel.id] = len(reply.buttons)
        secrets, names = self.may_hear(parcel.network, parcel.chat)
        self.addresses += re.findall(rf"{re.escape(AIR)}([\w-]+)", write(reply))
        text = write(reply).casefold()
        if needs_stored(reply):
            with self.store.read() as tx:
                whole = with_stored(tx, parcel, reply)
            text += "".join((one.data or b"").decode().casefold() for one in whole.files)
        self.heard.append(
            Heard(parcel.network, parcel.chat, text, frozenset(secrets), frozenset(names))
        )

    # --- looking ------------------------------------------------------------------------------

    def rows(self, *but: int) -> dict[str, list[Any]]:
        """All that is kept for every household but some."""
        found = {}
        with self.store.read() as tx:
            for table, columns in KEPT.items():
                rows = tx.execute(sql(f"SELECT {columns} FROM {table}")).all()  # noqa: S608
                found[table] = [tuple(row) for row in rows if row[0] not in but]
        return found

    def one(self, query: str, **values: Any) -> list[Any]:
        """The first column of a query."""
        with self.store.read() as tx:
            return list(tx.execute(sql(query), values).scalars())

    def speaks_of(self, where: Address) -> int | None:
        """The household that is meant by whoever speaks there, as the program has it."""
        with self.store.read() as tx:
            found = people.find(tx, where)
        return None if found is None else found.household_id

    def behind(self, press: Press) -> object:
        """What the program finds behind a button."""
        where = press.message.address
        with self.store.read() as tx:
            return postbox.choice(
                tx, where.network, where.account, where.chat, row=press.row, index=press.index
            )

    # --- who may know what --------------------------------------------------------------------

    def root(self, who: Account) -> Account:
        """The account whose person somebody is."""
        while who in self.same:
            who = self.same[who]
        return who

    def own(self, who: Account) -> set[int]:
        """The households that somebody may hear of now."""
        parts = self.parts.get(self.root(who), {})
        return {
            house for house, span in parts.items() if span is None or span[0] <= self.now < span[1]
        }

    def may_hear(self, network: str, chat: str) -> tuple[set[int], set[int]]:
        """The households whose secrets, and whose names, may be said in a chat."""
        if not chat.startswith("dm"):
            here = self.groups.get((network, chat))
            once = self.once.get((network, chat), set())
            return ({here}, {here} | once) if here is not None else (set(), once)
        who = Account(network, int(chat[2:]))
        return self.own(who), self.ever.get(self.root(who), set())

    def joins(self, who: Account, house: int, span: Span = None) -> None:
        """Somebody has a part in a household from now on."""
        root = self.root(who)
        self.parts.setdefault(root, {})[house] = span
        self.ever.setdefault(root, set()).add(house)
        self.sent_away.discard((root, house))

    def meets(self, who: Account, house: int) -> None:
        """Somebody speaks in a household's group, which gives them a part if they have none."""
        if house not in self.parts.get(self.root(who), {}):
            self.joins(who, house)

    def goes(self, who: Account, house: int) -> None:
        """Somebody's part in a household ends."""
        root = self.root(who)
        self.parts.get(root, {}).pop(house, None)
        self.sent_away.add((root, house))

    def becomes(self, who: Account, other: Account) -> None:
        """Two accounts are one person; of two parts the larger holds."""
        mine, theirs = self.root(who), self.root(other)
        for house, span in self.parts.pop(mine, {}).items():
            kept = self.parts.setdefault(theirs, {})
            kept[house] = span if house not in kept or span is None else kept[house]
        self.ever.setdefault(theirs, set()).update(self.ever.pop(mine, set()))
        gone = {house for root, house in self.sent_away if root in (mine, theirs)}
        self.sent_away = {one for one in self.sent_away if one[0] not in (mine, theirs)}
        living = self.parts.get(theirs, {})
        self.sent_away |= {(theirs, house) for house in gone if house not in living}
        self.same[mine] = theirs

    def deleted(self, house: int) -> None:
        """A household is no more: what was its own is nobody's now, but for its people's names."""
        self.houses.discard(house)
        for parts in self.parts.values():
            parts.pop(house, None)
        for place in [place for place, here in self.groups.items() if here == house]:
            self.once.setdefault(place, set()).add(self.groups.pop(place))
        self.sent_away = {one for one in self.sent_away if one[1] != house}

    def forgotten(self, who: Account) -> None:
        """Somebody is nobody: their accounts are strangers', what was theirs alone is gone."""
        root = self.root(who)
        mine = self.parts.pop(root, {})
        others = {house for parts in self.parts.values() for house in parts}
        for house in mine:
            if house not in others:
                self.deleted(house)
        for account in [one for one in everybody() if self.root(one) == root and one != root]:
            self.same.pop(account, None)
        self.ever.pop(root, None)
        self.sent_away = {one for one in self.sent_away if one[0] != root}

    def hears_of_air(self, secret: str, celsius: float) -> sensors.Heard:
        """A sensor tells of its room by an address."""
        with self.store.write() as tx:
            return sensors.hear(tx, secret, sensors.Reading(celsius, 45.0), self.now)

    def speaks_in(self, who: Account, network: str, chat: str) -> bool:
        """Whether a chat is a private one of this person, by any of their accounts."""
        if not chat.startswith("dm"):
            return False
        return self.root(Account(network, int(chat[2:]))) == self.root(who)

    def called(self, name: str) -> Account | None:
        """The person of that name, unless it was given up for another."""
        known = (one for one in everybody() if one not in self.same)
        return next((one for one in known if one.name.casefold() == name.casefold()), None)

    def new_code(self, text: str, house: int, maker: Account, kind: str) -> Code:
        """A code was told."""
        sits = None
        days = re.findall(r"\d{4}-\d\d-\d\d", kind)
        if days:
            zone = ZoneInfo(ZONE)
            first, last = (datetime.fromisoformat(day).replace(tzinfo=zone) for day in days)
            sits = (first, last + timedelta(days=1))
        lasts = timedelta(hours=1) if kind == "me" else timedelta(days=7)
        code = Code(text, house, maker, kind, self.now + lasts, sits)
        self.codes.append(code)
        return code

    def code(self, text: str) -> Code | None:
        """A code that works now."""
        plain = re.sub(r"[^A-Z0-9]", "", text.upper())
        for one in self.codes:
            if one.text.replace("-", "") == plain and one.text not in self.used:
                return one if self.now < one.until else None
        return None


def everybody() -> list[Account]:
    """All accounts of the town."""
    return [Account(network, number) for network in NETWORKS for number in range(PEOPLE)]


def _network_of(came: Incoming) -> str:
    if isinstance(came, Press | Pick):
        return came.message.address.network
    return came.address.network if isinstance(came, Message) else came.place.network


def edited(message: Message, said: str) -> Message:
    """A message said anew by its author."""
    return replace(message, text=said, edit=message.edit + 1)


@dataclass
class _Ear:
    """A network's sender that keeps what is said."""

    network: str
    town: Town

    def send(self, parcel: Parcel, reply: Reply) -> None:
        """Keep it."""
        self.town.take(parcel, reply)


class _Here(Workroom):
    """A workroom without threads."""

    def __init__(self) -> None:
        """Nothing to be started."""

    async def run(self, work: Callable[[], Result], urgency: int = 0) -> Result:
        """Do it now."""
        del urgency
        return work()
