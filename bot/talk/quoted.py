"""A reply to one of our messages: the plant that it doesn't name is the one which that was about.

It counts in the chat where our message was said, for the household that it was said for.
"""

from __future__ import annotations

from bot.talk.message import Message
from bot.talk.turn import Turn
from core.journal import plants
from core.journal.plants import Plant
from core.store import dialogues, postbox
from core.store.dialogues import Talk
from core.store.engine import Transaction
from core.store.people import Present
from core.store.postbox import Earlier

# Words before a reading or an amount that are no plant's name.
FILLERS = frozenset(
    "about around roughly nearly almost only just still now it it's its this that is was at reads "
    "read says said has had got with".split()
)


def earlier(tx: Transaction, who: Present, message: Message) -> Earlier | None:
    """What a message replies to, if it is ours and was said in the same chat."""
    quote = message.quotes
    if quote is None:
        return None
    return postbox.earlier(tx, who.chat_id, row=quote.row, said=quote.said)


def _ours(turn: Turn) -> Earlier | None:
    found = turn.once("quoted", lambda: earlier(turn.tx, turn.who, turn.message))
    return found if found is not None and found.household_id == turn.who.household_id else None


def plant(turn: Turn) -> Plant | None:
    """The one plant that the message replied to was about; None where there is none such."""
    found = _ours(turn)
    if found is None or found.about is None:
        return None
    living = any(one.id == found.about for one in turn.names())
    return plants.get(turn.tx, found.about) if living else None


def question(turn: Turn) -> Talk | None:
    """The open question or job that the message replied to asked, if it is still asked so."""
    found = _ours(turn)
    if found is None or found.step is None:
        return None
    talk = dialogues.get(turn.tx, found.step[0])
    if talk is None or talk.household_id != turn.who.household_id or talk.closed_at is not None:
        return None
    return talk if talk.version == found.step[1] else None


def unnamed(words: list[str]) -> bool:
    """Whether words begin as what is told of a plant, not as a name."""
    first = words[0].casefold()
    return first[0].isdigit() or first[0] in "+-\u00bc\u00bd\u00be" or first in FILLERS
