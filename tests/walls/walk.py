"""A random walk through the town: what people do, and what must hold whatever they do."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from itertools import combinations
from typing import Any

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    precondition,
    rule,
    run_state_machine_as_test,
)

from bot.port import Back, Gone, Moved, Pick, Place, Press
from bot.talk.message import Message, Picture, Quote, Step
from core.actions import sensors
from core.store.people import Address
from tests.walls.lines import KINDS, LINES, UNNAMED
from tests.walls.town import (
    BROKEN,
    GROUPS,
    NETWORKS,
    Account,
    Code,
    Heard,
    Town,
    edited,
    everybody,
)

IN_ONE_WALK = 150

LET_IN = re.compile(
    r"you are a (?:member|keeper) of|you sit for .*handover shows then|this chat belongs to"
)
LINKED = re.compile(r"you are \w+ here, too")
DELETED = re.compile(r"is deleted, with its plants")
FORGOTTEN = re.compile(r"you are forgotten")
WORD = re.compile(r"forget (?:household|me) ([a-z0-9]{5}) today")
# Of six accounts so many may be another's: with all of them one person, there would be no walls.
MOST_LINKED = 3
LEAST_HOUSES = 4
CODE = re.compile(r"code: ([a-z0-9]{4}-[a-z0-9]{4}-[a-z0-9]{4})")

accounts = st.sampled_from(everybody())
places = st.integers(0, GROUPS)
numbers = st.integers(0, 10_000)


class Walk(RuleBasedStateMachine):
    """People of the town at random."""

    def __init__(self) -> None:
        super().__init__()
        self.town = Town()
        self.last: dict[Account, tuple[Message, int]] = {}
        self.serial = 0

    def teardown(self) -> None:
        """Give the store back."""
        self.town.close()

    @initialize(linked=st.sampled_from(((), *combinations(NETWORKS, 2), (*NETWORKS,))))
    def begin(self, linked: tuple[str, ...]) -> None:
        """Four households; perhaps the first people of several networks are one person."""
        self.settle()
        for network in linked[1:]:
            self.link(Account(linked[0], 0), Account(network, 0))

    def settle(self) -> None:
        """Four households with secrets: two of one person each, two of a group."""
        for who, group in (
            (Account("telegram", 0), 0),
            (Account("matrix", 1), 1),
            (Account("terminal", 0), 1),
            (Account("matrix", 0), 0),
        ):
            self.said(who, group, f"/household name Qhouse{len(self.town.houses)}")
            self.plant(who, group)
            self.said(who, group, f"/sensor new qroom{self.serial}")
            self.note(who, group, 0)
            self.said(who, group, f"/pour Qplant{self.serial - 1} anyway")

    # --- what people do -----------------------------------------------------------------------

    @rule(who=accounts, group=places, line=st.sampled_from(LINES), n=numbers, forged=st.booleans())
    def speak(self, who: Account, group: int, line: str, n: int, *, forged: bool) -> None:
        """A command or a sentence, about anything, perhaps as an answer to any stage."""
        town = self.town
        plants = [token for token in town.secrets if token.startswith("qplant")]
        here = town.speaks_of(town.message(who, group, "").address)
        own = [token for token in plants if here in town.secrets[token]] or plants
        codes = [one.text for one in town.codes] or ["ABCD-EFGH-JKMN"]
        rooms = town.one("SELECT DISTINCT room FROM plant WHERE household_id = :h", h=here)
        said = line.format(
            plant=(own[n % len(own)] if n % 3 else plants[n % len(plants)]).capitalize(),
            room=rooms[n % len(rooms)] if rooms and n % 3 else f"qroom{n % (self.serial + 1)}",
            note=f"qnote{n % (self.serial + 1)}",
            house=f"Qhouse{n % 5}",
            person=everybody()[n % len(everybody())].name,
            n=n % 90,
            id=n % 12,
            code=codes[n % len(codes)],
            word=["ABCDE", *town.words][-1 - n % (1 + len(town.words))],
        )
        stages = town.one("SELECT id FROM dialogue WHERE closed_at IS NULL") or [0]
        step = Step(stages[n % len(stages)], 1 + n // 7 % 2) if forged else None
        self.said(who, group, said, step)

    @rule(who=accounts, group=places, line=st.sampled_from(UNNAMED), n=numbers)
    def reply(self, who: Account, group: int, line: str, n: int) -> None:
        """What names no plant, in reply to any message ever sent, mostly of other chats."""
        rows = [*self.town.said_in]
        quote = Quote(row=[*rows, max(rows) + 1][n % (len(rows) + 1)])
        message = replace(self.town.message(who, group, line), quotes=quote)
        self.came(who, group, message, tapped=True)

    @rule(who=accounts, group=places)
    def plant(self, who: Account, group: int) -> None:
        """A plant with a name and a room that only this household knows."""
        self.serial += 1
        name, room = f"Qplant{self.serial}", f"qroom{self.serial}"
        self.said(who, group, f"/add {name}, golden pothos, 15 cm pot, {room}, east window")
        for house in self.town.one("SELECT household_id FROM plant WHERE name = :n", n=name):
            self.town.secrets[name.casefold()] = {house}
            self.town.secrets[room] = {house}

    @rule(who=accounts, group=places, n=numbers)
    def note(self, who: Account, group: int, n: int) -> None:
        """Words that only this household has written."""
        here = self.town.speaks_of(self.town.message(who, group, "").address)
        plants = self.town.one(
            "SELECT name FROM plant WHERE household_id = :h AND left_at IS NULL", h=here
        )
        if not plants:
            return
        self.serial += 1
        note = f"qnote{self.serial}"
        self.said(who, group, f"/scout {plants[n % len(plants)]} {note} on a leaf")
        written = "SELECT household_id FROM event WHERE body LIKE :n"
        for house in self.town.one(written, n=f"%{note}%"):
            self.town.secrets[note] = {house}

    @rule(who=accounts, group=places, n=numbers)
    def picture(self, who: Account, group: int, n: int) -> None:
        """A picture that only this household has, with or without words that name its plant."""
        town, plants = self.town, [one for one in self.town.secrets if one.startswith("qplant")]
        self.serial += 1
        ref, caption = f"qpicture{self.serial}", ("", plants[n % len(plants)], "a leaf")[n % 3]
        last = max(town.one("SELECT id FROM photo"), default=0)
        message = town.message(who, group, caption, photo=Picture(ref))
        self.came(who, group, message)
        for house in town.one("SELECT household_id FROM photo WHERE id > :last", last=last):
            town.secrets[ref] = {house}

    @rule(who=accounts, group=places, n=numbers, kind=st.sampled_from(KINDS))
    def code(self, who: Account, group: int, n: int, kind: str) -> None:
        """A code is made, of any sort; or one is used: a fresh one, a used one, one near it."""
        if kind in ("link", "join"):
            self.join(who, group * (n % 2), n, link=kind == "link")
            return
        if kind.startswith("sitter"):
            first = self.town.now.date() + timedelta(days=int(kind[-1]))
            kind = f"sitter {first.isoformat()} - {(first + timedelta(days=1)).isoformat()}"
        self.said(who, group, f"/invite {kind}".strip())

    @precondition(lambda walk: len(walk.town.same) < MOST_LINKED)
    @rule(who=accounts, other=accounts)
    def link(self, who: Account, other: Account) -> None:
        """Somebody makes a code of their own, and uses it from another account, on any network."""
        self.said(who, 0, "/invite me")
        if self.town.codes:
            self.said(other, 0, f"/join {self.town.codes[-1].text}")

    @precondition(lambda walk: len(walk.town.houses) > LEAST_HOUSES)
    @rule(
        who=accounts, other=accounts, group=places, n=numbers,
        what=st.sampled_from(("household", "household", "me")),
    )  # fmt: skip
    def delete(self, who: Account, other: Account, group: int, n: int, what: str) -> None:
        """Somebody asks what a deletion means, and says the word there; or somebody else does."""
        self.said(who, group, f"/forget {what}")
        word = self.town.words[-1] if self.town.words else "ABCDE"
        self.said(other if n % 4 else who, group, f"/forget {what} {word}")

    @precondition(lambda walk: walk.town.instruments)
    @rule(n=numbers)
    def push(self, n: int) -> None:
        """A sensor tells of its room, by an address that was told or one near it."""
        town = self.town
        secret, house = list(town.instruments.items())[n % len(town.instruments)]
        near = n % 3 == 0
        rows = town.rows()
        heard = town.hears_of_air(secret[::-1] if near else secret, 18 + n % 9)
        assert not (near and heard is not sensors.Heard.UNKNOWN)
        self.unchanged(rows, set() if near else {house}, "a sensor")

    def join(self, who: Account, group: int, n: int, *, link: bool) -> None:
        """A code that was made, used ones too, or one that is near it, or any."""
        made = self.town.codes[::-1]
        fresh = [one for one in made if one.text not in self.town.used]
        among = (fresh if n % 5 < 3 else made) or made
        code = among[n // 5 % len(among)].text if among else "ABCD-EFGH-JKMN"
        if n % 5 == 3:
            code = code[:-1] + ("A" if code[-1] != "A" else "B")
        self.said(who, group, f"/start {code.replace('-', '')}" if link else f"/join {code}")

    @rule(who=accounts, group=places, n=numbers, how=st.sampled_from(("any", "there", "number")))
    def tap(self, who: Account, group: int, n: int, how: str) -> None:
        """A button of any message ever sent, or of none; one lately sent, where it was; a digit."""
        town, rows = self.town, [*self.town.buttons]
        row = [*rows, max(rows) + 1][n % (len(rows) + 1)] if how == "any" else rows[-1 - n % 4]
        if how == "there":
            who, group = town.somebody_at(town.said_in[row], who)
        message = town.message(who, group, str(n % 4 + 1))
        if how == "number":
            self.came(who, group, Pick(message, n % 4 + 1), tapped=True)
            return
        press = Press(message, row, n // 9 % town.buttons.get(row, 1))
        if town.said_in.get(row) != (who.network, message.address.chat):
            assert town.behind(press) is None, "a button of another chat"
        self.came(who, group, press, tapped=True)

    @rule(
        who=accounts, line=st.sampled_from(("fern 4", "/plants", "/gave {plant} 200 ml")), n=numbers
    )
    def edit(self, who: Account, line: str, n: int) -> None:
        """The last message, said anew."""
        if who not in self.last:
            return
        first, group = self.last[who]
        plants = [token for token in self.town.secrets if token.startswith("qplant")]
        again = edited(first, line.format(plant=plants[n % len(plants)]))
        self.last[who] = (again, group)
        self.came(who, group, again, tapped=again.step is not None)

    @rule(minutes=st.sampled_from((1, 1, 8, 8, 45, 45, 400, 1440, 4000)))
    def wait(self, minutes: int) -> None:
        """Time passes: pours go on, rounds are said, nights are warned of, parts end."""
        before = len(self.town.heard)
        self.town.wait(timedelta(minutes=minutes))
        for heard in self.town.heard[before:]:
            self.harmless(heard)

    @rule(who=accounts, group=places, kind=st.sampled_from(("gone", "back", "moved")))
    def chat_changes(self, who: Account, group: int, kind: str) -> None:
        """A chat is gone, is back, or goes on under another address."""
        town, chat = self.town, self.town.chat(who, group)
        place = Place(who.network, NETWORKS[who.network], chat)
        before = len(town.heard)
        if kind != "moved":
            town.hear(Gone(place) if kind == "gone" else Back(place))
        elif group and (who.network, chat) in town.groups:
            self.serial += 1
            to = f"group{self.serial}m"
            town.hear(Moved(place, to))
            town.moved[who.network, group] = to
            town.groups[who.network, to] = town.groups.pop((who.network, chat))
            for row, at in town.said_in.items():
                town.said_in[row] = (who.network, to) if at == (who.network, chat) else at
        for heard in town.heard[before:]:
            self.harmless(heard)

    # --- what must hold -----------------------------------------------------------------------

    def said(self, who: Account, group: int, said: str, step: Step | None = None) -> None:
        """Somebody says something."""
        message = self.town.message(who, group, said, step)
        self.last[who] = (message, group)
        self.came(who, group, message, tapped=step is not None)

    def came(
        self, who: Account, group: int, came: Message | Press | Pick, *, tapped: bool = False
    ) -> None:
        """Something comes in; whatever it does stays within the walls."""
        town = self.town
        message = came if isinstance(came, Message) else came.message
        before, code = town.speaks_of(message.address), self.code_in(message.text)
        rows, first, own = town.rows(), len(town.heard), town.own(who)
        town.hear(came)
        heard, here = town.heard[first:], (who.network, message.address.chat)
        said = "\n".join(one.text for one in heard if (one.network, one.chat) == here)
        assert BROKEN not in said, message.text
        self.let_in(message.address, said, code)
        after = town.speaks_of(message.address)
        self.belongs(message.address, after)
        self.told(who, message.text, said, before, after)
        touched = {one for one in (before, after) if one is not None}
        touched |= (own | town.own(who)) if tapped else set()
        touched |= {code.house} if code is not None else set()
        of_all = LINKED.search(said) or FORGOTTEN.search(said)
        touched |= town.ever.get(town.root(who), set()) if of_all else set()
        self.unchanged(rows, touched, message.text)
        for token, owners in town.secrets.items():
            if token in message.text.casefold():
                owners.update(touched)  # whoever says it knows it
        for one in heard:
            self.harmless(one, message.text if (one.network, one.chat) == here else "")
        if DELETED.search(said) and before is not None:
            town.deleted(before)
        if FORGOTTEN.search(said):
            town.forgotten(who)

    def code_in(self, said: str) -> Code | None:
        """The code that is used by a text, if it works."""
        word, _, text = said.partition(" ")
        return self.town.code(text) if word in ("/join", "/start") else None

    def let_in(self, where: Address, said: str, code: Code | None) -> None:
        """Whoever is let in had a code that works, of the sort that lets in like that."""
        town, who = self.town, Account(where.network, int(where.sender[1:]))
        if LET_IN.search(said):
            assert code is not None, said
            assert code.kind != "me", said
            town.used.add(code.text)
            town.joins(who, code.house, code.sits)
            if "this chat belongs to" in said:
                assert not where.direct, said
                assert not code.sits, said
                town.groups[where.network, where.chat] = code.house
        if LINKED.search(said):
            assert code is not None, said
            assert (code.kind, where.direct) == ("me", True), said
            assert town.root(who) != town.root(code.maker), said
            town.used.add(code.text)
            town.becomes(who, code.maker)

    def belongs(self, where: Address, house: int | None) -> None:
        """Whoever speaks for a household was let in, is in its group, or has just founded it."""
        town, who = self.town, Account(where.network, int(where.sender[1:]))
        if house is None:
            return  # somebody has just left, and speaks for none until the next word
        if house not in town.houses:
            town.houses.add(house)
            town.joins(who, house)
            if not where.direct:
                town.groups[where.network, where.chat] = house
        if not where.direct:
            assert town.groups[where.network, where.chat] == house
            if (town.root(who), house) not in town.sent_away:
                town.meets(who, house)
        else:
            assert house in town.parts[town.root(who)]

    def told(
        self, who: Account, text: str, said: str, before: int | None, after: int | None
    ) -> None:
        """Put down what else follows from an answer: a new code, somebody gone, a title."""
        town = self.town
        made = CODE.search(said)
        if made and after is not None:
            code = town.new_code(made[1].upper(), after, who, text.removeprefix("/invite").strip())
            town.secrets[code.text.casefold()] = {after}
        gone = re.search(r"(q\w+) no longer belongs to", said)
        other = town.called(gone[1]) if gone else None
        if other is not None and before is not None:
            town.goes(other, before)
        if "you no longer belong to" in said and before is not None and "leave" in text:
            town.goes(who, before)
        if after is not None:
            town.instruments |= dict.fromkeys(town.addresses, after)
            town.secrets |= {secret.casefold(): {after} for secret in town.addresses}
        town.addresses.clear()
        town.words += [word.upper() for word in WORD.findall(said)]
        for title in re.findall(r"Q(?:house|new)\d*", text):
            town.titles.setdefault(title.casefold(), set()).update({before or 0, after or 0})

    def unchanged(self, rows: dict[str, list[Any]], touched: set[int], said: str) -> None:
        """Of households that this had nothing to do with, every row is as it was."""
        now = self.town.rows()
        for table, before in rows.items():
            then, left = (
                sorted(repr(one) for one in some if one[0] in self.town.houses - touched)
                for some in (before, now[table])
            )
            assert then == left, f"{said}: {table}"

    def harmless(self, heard: Heard, quoted: str = "") -> None:
        """What was said holds nothing that its chat may not know, but for words quoted back."""
        town, quoted = self.town, quoted.casefold()
        secrets, names = town.may_hear(heard.network, heard.chat)
        secrets, names = secrets | heard.secrets, names | heard.names
        for token, owners in town.secrets.items():
            if _holds(heard.text, token) and not (owners & secrets) and token not in quoted:
                raise AssertionError(f"{token} of {owners}, in {heard.chat} of {secrets}: {heard}")
        for title, owners in town.titles.items():
            if _holds(heard.text, title) and not (owners & names) and title not in quoted:
                raise AssertionError(f"{title} of {owners}, in {heard.chat} of {names}: {heard}")
        for one in everybody():
            name, theirs = one.name.casefold(), town.ever.get(town.root(one), set())
            quoted_back = name in quoted or town.speaks_in(one, heard.network, heard.chat)
            if _holds(heard.text, name) and not (theirs & names) and not quoted_back:
                raise AssertionError(f"{name}, in {heard.chat} of {names}: {heard}")


def _holds(text: str, token: str) -> bool:
    """Whether a text has a token, not as the beginning of another."""
    return token in text and re.search(rf"{token}(?![a-z0-9])", text) is not None


def take(steps: int) -> None:
    """Walks of so many steps in all. Raises AssertionError where a wall has a hole."""
    walk = settings(
        max_examples=max(1, steps // IN_ONE_WALK),
        stateful_step_count=IN_ONE_WALK,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=(Phase.generate,),
    )
    run_state_machine_as_test(Walk, settings=walk)
