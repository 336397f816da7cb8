"""Who may do what: whoever was sent away or whose time it isn't, and what a part doesn't allow.

Commands that need more than care are refused before they run. What a sitter changed all the
same, by a button or a plain sentence, is rolled back: the journal says what was done.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from bot.talk import say
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.actions import rights
from core.actions.rights import Right, Standing
from core.journal import ledger
from core.store import belonging, people

MOST_OTHERS = 4

# Commands that need more than care; /household, /invite and /forget look for themselves.
NEEDS = {
    "add": Right.ARRANGE,
    "settings": Right.ARRANGE,
    "away": Right.ARRANGE,
    "sensor": Right.ARRANGE,
}
# What works for somebody who may not act here: getting in elsewhere, getting out.
_OPEN = ("/join", "/help", "/household", "/forget")


def pass_through(turn: Turn, reply: Callable[[Turn], Reply | None]) -> Reply | None:
    """What somebody hears: the reply itself, or why they may not."""
    text = turn.message.text.strip()
    standing = rights.standing(turn.who, turn.now)
    if standing is not Standing.IN and not _stays_open(turn, text):
        meant = turn.message.addressed or text[:1] in ("/", "!")
        return _shut(turn, standing) if meant else None
    if rights.may(turn.who, Right.ARRANGE) or standing is not Standing.IN:
        return reply(turn)
    return _within_care(turn, reply)


def _stays_open(turn: Turn, text: str) -> bool:
    words = text.replace("!", "/", 1).casefold().split(maxsplit=1)
    first = words[0].partition("@")[0] if words else ""
    if first == "/household":
        return turn.who.direct and len(words) > 1
    return first in _OPEN or (first == "/start" and len(words) > 1)


def _shut(turn: Turn, standing: Standing) -> Reply:
    """Why somebody may not act here now, and what they can do instead."""
    who = turn.who
    since, until = time_words(turn, who.since, who.until)
    why = turn.words(f"people-{standing.value}", household=who.household, since=since, until=until)
    if not turn.who.direct:
        return answer(why)
    theirs = people.households_of(turn.tx, turn.who.person_id)
    others = [one for one in theirs if one.id != turn.who.household_id][:MOST_OTHERS]
    buttons = tuple(Option(one.name[:40], f"/household {one.name}") for one in others)
    return answer(why, turn.words("people-elsewhere"), buttons=buttons)


def time_words(turn: Turn, since: datetime | None, until: datetime | None) -> tuple[str, str]:
    """First and last day of a sitter's time, as days are said."""
    zone = turn.who.zone
    first = say.day(turn.words, since, turn.now, zone) if since else ""
    last = say.day(turn.words, until - timedelta(seconds=1), turn.now, zone) if until else ""
    return first, last


def _within_care(turn: Turn, reply: Callable[[Turn], Reply | None]) -> Reply | None:
    before = turn.teller.ordinal
    with turn.tx.begin_nested() as attempt:
        said = reply(turn)
        oversteps = turn.teller.ordinal > before and _arranges(turn)
        if oversteps:
            attempt.rollback()
    if not oversteps:
        return said
    turn.teller.ordinal = before
    turn.looked_up.clear()
    return _not_allowed(turn, Right.ARRANGE)


def _arranges(turn: Turn) -> bool:
    """Whether this message wrote what a part of care alone doesn't allow."""
    told = ledger.told_by_message(turn.tx, turn.who.household_id, [turn.teller.inbox_id or 0])
    return any(one.body.kind in rights.ARRANGING for one in told)


def forbidden(turn: Turn, command: str) -> Reply | None:
    """The refusal of a command that somebody's part doesn't allow."""
    needs = NEEDS.get(command, Right.CARE)
    return None if rights.may(turn.who, needs) or needs is Right.CARE else _not_allowed(turn, needs)


def lacks(turn: Turn, needs: Right) -> Reply | None:
    """The refusal of what needs a right that somebody's part doesn't give."""
    return None if rights.may(turn.who, needs) else _not_allowed(turn, needs)


def not_arranging(turn: Turn) -> Reply | None:
    """The refusal of what changes the household's ways."""
    return lacks(turn, Right.ARRANGE)


def not_keeper(turn: Turn) -> Reply | None:
    """The refusal of what only keepers do."""
    return lacks(turn, Right.GOVERN)


def _not_allowed(turn: Turn, needs: Right) -> Reply:
    everybody = belonging.of_household(turn.tx, turn.who.household_id)
    keepers = [one.name for one in everybody if one.role == people.KEEPER]
    names = turn.words.either(keepers) if keepers else turn.words("common-someone")
    return answer(turn.words(f"people-needs-{needs.value}", keepers=names))
