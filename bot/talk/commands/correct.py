"""/undo, and what an edited message does."""

from __future__ import annotations

from datetime import timedelta

from bot.talk import say
from bot.talk.entries import entries_words
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from bot.talk.understanding import understand
from core.actions import correcting, pouring
from core.care.pourstate import Stage
from core.journal import ledger, plants
from core.journal.events import Arrived, Left, Pictured, Poured
from core.journal.ledger import Entry
from core.journal.plants import name_key
from core.store import dialogues, inbox
from core.store.dialogues import Talk

# An edit this soon after, with nothing built on it, corrects the entry.
EDIT_WITHIN = timedelta(minutes=15)
ANYWAY = "anyway"

_UNDER_WAY = (Stage.POURING, Stage.RESTING, Stage.LOOKING)
_DRAINS = (Stage.DRAINING, Stage.EMPTYING)


def undo(turn: Turn, rest: str) -> Reply:
    """Take back my last entry, and say whose comes next."""
    entries = ledger.last_entry_of(turn.tx, turn.who.household_id, turn.who.person_id)
    pour = None if ANYWAY in rest.casefold().split() else _pour_since(turn, entries)
    if pour is not None:
        return _pour_first(turn, entries, pour)
    if not entries:
        return answer(turn.words("correct-nothing"))
    trouble = in_the_way(turn, entries)
    if trouble:
        return answer(trouble)
    before = correcting.undo(turn.tx, turn.teller, turn.home, entries)
    _close_drains(turn, entries)
    said = entries_words(turn, entries)
    if before:
        again = entries_words(turn, before)
        return answer(turn.words("correct-undone-fix", what=said, again=again))
    return answer(turn.words("correct-undone", what=said), *_next(turn))


def _pour_since(turn: Turn, entries: list[Entry]) -> Talk | None:
    """A pour of mine that is under way and newer than my last entry: nothing of it is kept yet."""
    last = entries[-1].told_at if entries else None
    for talk in reversed(dialogues.open_about(turn.tx, turn.who.household_id, pouring.SUBJECT)):
        mine = talk.person_id == turn.who.person_id
        newer = last is None or talk.opened_at >= last
        if mine and newer and pouring.pour_of(talk).stage in _UNDER_WAY:
            return talk
    return None


def _pour_first(turn: Turn, entries: list[Entry], talk: Talk) -> Reply:
    """Taking back the reading under a running pour is rarely what is meant: ask."""
    plant = plants.get(turn.tx, talk.plant_id or 0)
    total = pouring.pour_of(talk).total_l
    amount = say.short(turn.words, total, turn.settings.units) if total else "none"
    close = Option(turn.words("correct-close-pour"), f"/pour {plant.call} cancel")
    go_on = Option(turn.words("correct-go-on"), f"/pour {plant.call}")
    buttons: tuple[Option, ...] = (close, go_on)
    if entries:
        label = turn.words("correct-take-back", what=entries_words(turn, entries))
        buttons = (close, Option(label[:40], f"/undo {ANYWAY}"), go_on)
    text = turn.words("correct-pour-open", plant=plant.name, amount=amount)
    return answer(text, buttons=buttons)


def in_the_way(turn: Turn, entries: list[Entry]) -> str:
    """Why entries can't be taken back; empty when they can.

    An arrival that others have built on stays, and so does whatever would bring back a name
    that another plant bears by now.
    """
    newest = max(entry.id for entry in entries)
    taken = {entry.id for entry in entries}
    for entry in entries:
        if entry.plant_id is None or not isinstance(entry.body, (*correcting.NAMING, Left)):
            continue
        plant = plants.get(turn.tx, entry.plant_id)
        left = [one for one in ledger.of_plant(turn.tx, entry.plant_id) if one.id not in taken]
        if isinstance(entry.body, Arrived) and any(one.id > newest for one in left):
            return turn.words("correct-built-on", plant=plant.name, call=plant.call)
        name = correcting.name_without(left)
        if name and _is_taken(turn, name, entry.plant_id):
            return turn.words("correct-name-taken", plant=name)
    return ""


def _is_taken(turn: Turn, name: str, plant_id: int) -> bool:
    other = plants.by_keys(turn.tx, turn.who.household_id, [name_key(name)]).get(name_key(name))
    return other is not None and other.id != plant_id


def _close_drains(turn: Turn, entries: list[Entry]) -> None:
    """Nobody need look after the saucer of a pour that never was."""
    poured = {entry.plant_id for entry in entries if isinstance(entry.body, Poured)}
    for talk in dialogues.open_about(turn.tx, turn.who.household_id, pouring.SUBJECT):
        if talk.plant_id in poured and pouring.pour_of(talk).stage in _DRAINS:
            dialogues.close(turn.tx, talk.id, turn.now)


def _next(turn: Turn) -> list[str]:
    """Whose entry is the newest now, and which of mine another undo would take back."""
    newest = correcting.latest_entry(turn.tx, turn.who.household_id)
    if newest is None:
        return [turn.words("correct-next-none")]
    lines = []
    if newest.person_id != turn.who.person_id:
        who = turn.name_of(newest.person_id)
        lines.append(turn.words("correct-next", who=who, what=entries_words(turn, [newest])))
    mine = ledger.last_entry_of(turn.tx, turn.who.household_id, turn.who.person_id)
    if mine:
        lines.append(turn.words("correct-next-mine", what=entries_words(turn, mine)))
    return lines


# --- edits --------------------------------------------------------------------------------


def edited(turn: Turn, text: str) -> Reply | None:
    """An edit of my last entry, soon and with nothing built on it, corrects it."""
    earlier = inbox.earlier_edits(turn.tx, turn.message.key)
    here = turn.who.household_id
    told = _in_words(ledger.told_by_message(turn.tx, here, earlier) if earlier else [])
    if not told and earlier and ledger.told_elsewhere(turn.tx, here, earlier):
        return answer(turn.words("correct-edit-elsewhere"))
    if not told:
        return understand(turn, text)
    mine = ledger.last_entry_of(turn.tx, here, turn.who.person_id, in_words=True)
    fresh = turn.now - told[0].told_at <= EDIT_WITHIN
    last = {entry.id for entry in mine} == {entry.id for entry in told}
    if not (fresh and last) or ledger.built_on(turn.tx, told) or in_the_way(turn, told):
        return _kept_as_it_was(turn, told)
    return _said_again(turn, told, text)


def _in_words(entries: list[Entry]) -> list[Entry]:
    """What was told in words: other words change nothing about the picture above them."""
    return [one for one in entries if not isinstance(one.body, Pictured)]


def _kept_as_it_was(turn: Turn, told: list[Entry]) -> Reply:
    return answer(turn.words("correct-edit-kept", what=entries_words(turn, told)))


def _said_again(turn: Turn, told: list[Entry], text: str) -> Reply:
    """The new wording in place of the old; where it tells nothing, the old stands."""
    before = turn.teller.ordinal
    with turn.tx.begin_nested() as attempt:
        correcting.take_back(turn.tx, turn.teller, turn.home, told)
        undone = turn.teller.ordinal
        turn.happened_at = told[0].happened_at
        reply = understand(turn, text)
        stands = reply is None or turn.teller.ordinal == undone
        if stands:
            attempt.rollback()
    if stands or reply is None:
        turn.teller.ordinal = before
        return _kept_as_it_was(turn, told)
    return corrected(turn, reply)


def corrected(turn: Turn, reply: Reply) -> Reply:
    """The answer to what was said rightly, marked as a correction."""
    text = turn.words("correct-fixed", what=reply.text)
    return Reply(text, reply.buttons, reply.files, reply.step)
