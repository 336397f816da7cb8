"""/export: all that a household told, as a file for its keepers."""

from __future__ import annotations

import re

from bot.talk import gate
from bot.talk.message import Attachment, Reply
from bot.talk.turn import Turn, answer
from core.actions.takeout import TYPE
from core.journal.plants import name_key
from core.store.forgetting import Holds, holds

# The one network where a room is whoever sits there.
AT_HOME = "terminal"


def export(turn: Turn, _rest: str) -> Reply:
    """The file, made when it is sent; in a group everybody would have it."""
    refused = gate.not_keeper(turn)
    if refused is not None:
        return refused
    if not turn.who.direct and turn.message.address.network != AT_HOME:
        return answer(turn.words("export-private"))
    found = holds(turn.tx, turn.who.household_id)
    said = answer(
        turn.words("export-here", household=turn.who.household, things=_things(turn, found)),
        turn.words("export-without", n=found.photos),
    )
    file = Attachment(_name(turn), type=TYPE, instead=turn.words("export-not-made"), journal=True)
    return Reply(said.text, files=(file,))


def _things(turn: Turn, found: Holds) -> str:
    counted = (("plants", found.plants), ("entries", found.entries))
    return turn.words.both([turn.words(f"forget-{what}", n=n) for what, n in counted])


def _name(turn: Turn) -> str:
    """`birch-street-2026-03-02.jsonl`."""
    called = re.sub(r"[^a-z0-9]+", "-", name_key(turn.who.household)).strip("-") or "household"
    return f"{called}-{turn.now.astimezone(turn.who.zone):%Y-%m-%d}.jsonl"
