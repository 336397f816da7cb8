"""/invite and /join, and the code in a link: how people and chats come to a household."""

from __future__ import annotations

import secrets
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from bot.talk import gate, say
from bot.talk.grammar.ahead import read_span
from bot.talk.grammar.refusal import Unclear
from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.actions import invites
from core.actions.invites import Came
from core.store import people

ROLES = {
    "": people.MEMBER,
    "member": people.MEMBER,
    "someone": people.MEMBER,
    "somebody": people.MEMBER,
    "keeper": people.KEEPER,
    "sitter": people.SITTER,
}
OWN = frozenset({"me", "myself", "self"})
GROUPED = 4  # letters between dashes


def invite(turn: Turn, rest: str) -> Reply:
    """A code for a member, a keeper, a sitter between two dates, or one's own other account."""
    word, _, dates = rest.strip(" .").partition(" ")
    if word.casefold() in OWN and not dates.strip():
        return _own(turn)
    return gate.not_keeper(turn) or _for_others(turn, word, dates)


def _for_others(turn: Turn, word: str, dates: str) -> Reply:
    role = ROLES.get(word.casefold())
    if role is None or (dates.strip() and role != people.SITTER):
        return answer(turn.words("invite-which"))
    if role != people.SITTER:
        return _code(turn, role)
    days = read_span(dates, turn.now, turn.who.zone) if dates.strip() else None
    if days is None:
        return answer(turn.words("invite-sitter-when"))
    if isinstance(days, Unclear):
        return answer(turn.words.refusal(days.key, days.args))
    first, last = (_midnight(day, turn.who.zone) for day in (days[0], days[1] + timedelta(days=1)))
    return _code(turn, role, (first, last))


def _midnight(day: date, zone: ZoneInfo) -> datetime:
    return datetime.combine(day, time(), zone)


def _fresh() -> str:
    letters = "".join(secrets.choice(invites.LETTERS) for _ in range(invites.LENGTH))
    return "-".join(letters[at : at + GROUPED] for at in range(0, len(letters), GROUPED))


def _own(turn: Turn) -> Reply:
    """A code by which another account becomes the same person: for nobody else's eyes."""
    if not turn.who.direct:
        return answer(turn.words("invite-own-private"))
    code = _fresh()
    until = invites.invite(turn.tx, turn.who, code, invites.SELF, turn.now)
    return answer(
        turn.words("invite-code", code=code),
        turn.words(
            "invite-own", name=turn.who.person, until=f"{until.astimezone(turn.who.zone):%H:%M}"
        ),
        turn.words("invite-own-how", code=code),
    )


def _code(turn: Turn, role: str, sitting: tuple[datetime, datetime] | None = None) -> Reply:
    code = _fresh()
    until = invites.invite(turn.tx, turn.who, code, role, turn.now, sitting)
    first, last = gate.time_words(turn, *sitting) if sitting else ("", "")
    how = "invite-how-sitter" if sitting else "invite-how"
    return answer(
        turn.words("invite-code", code=code),
        turn.words(
            f"invite-{role}",
            household=turn.who.household,
            until=say.day(turn.words, until, turn.now, turn.who.zone),
            first=first,
            last=last,
        ),
        turn.words(how, code=code),
        "" if turn.who.direct else turn.words("invite-in-group"),
    )


def join(turn: Turn, rest: str) -> Reply:
    """Use a code: this person, or this group, belongs to the household that gave it."""
    if not rest.strip():
        return answer(turn.words("invite-join-how"))
    joining = invites.join(turn.tx, turn.message.address, turn.who, rest, turn.now)
    if joining.who != turn.who or joining.came is Came.JOINED:
        turn.speak_of(joining.who)
    return _came(turn, joining.came)


def _came(turn: Turn, came: Came) -> Reply:
    who = turn.who
    if came is Came.JOINED:
        first, last = gate.time_words(turn, who.since, who.until)
        key = f"invite-joined-{who.role}"
        return answer(turn.words(key, household=who.household, first=first, last=last))
    more = turn.words("invite-has-plants-how") if came is Came.HAS_PLANTS else ""
    name, household = who.person, who.household
    return answer(turn.words(f"invite-{came.value}", household=household, name=name), more)


def follow(turn: Turn, payload: str) -> Reply | None:
    """What a link's payload stands for: a code; None for what is none of ours."""
    return join(turn, payload) if invites.plain(payload) is not None else None
