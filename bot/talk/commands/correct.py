"""/undo, /fix, and what an edited message does."""

from __future__ import annotations

from datetime import timedelta

from bot.talk import registry
from bot.talk.entries import entry_words
from bot.talk.grammar.quantities import Found as FoundAmount
from bot.talk.grammar.quantities import find_volume
from bot.talk.message import Reply
from bot.talk.naming import Spoken, split_plant
from bot.talk.turn import Turn, answer
from bot.talk.understanding import understand
from core.actions import correcting
from core.journal import ledger, plants
from core.journal.events import Arrived, Checked, Left, Poured
from core.journal.ledger import Entry
from core.journal.plants import name_key
from core.store import inbox

# An edit this soon after, with nothing built on it, corrects the entry.
EDIT_WITHIN = timedelta(minutes=15)


def undo(turn: Turn, _rest: str) -> Reply:
    """Take back my last entry, and say whose comes next."""
    entries = ledger.last_entry_of(turn.tx, turn.who.household_id, turn.who.person_id)
    if not entries:
        return answer(turn.words("correct-nothing"))
    trouble = _in_the_way(turn, entries)
    if trouble is not None:
        return trouble
    said = _what(turn, entries)
    correcting.take_back(turn.tx, turn.teller, turn.home, entries)
    return answer(turn.words("correct-undone", what=said), _next(turn))


def _what(turn: Turn, entries: list[Entry]) -> str:
    shown = [entry_words(turn, entry) for entry in entries[:3]]
    if len(entries) > len(shown):
        shown.append(turn.words("common-and-more", n=len(entries) - 3).removeprefix("and "))
    return turn.words.both(shown)


def _in_the_way(turn: Turn, entries: list[Entry]) -> Reply | None:
    """An arrival that others have built on, or a name that is taken by now, can't be undone."""
    for entry in entries:
        if entry.plant_id is None:
            continue
        plant = plants.get(turn.tx, entry.plant_id)
        if isinstance(entry.body, Arrived):
            standing = [e.id for e in ledger.of_plant(turn.tx, entry.plant_id)]
            if any(other > max(e.id for e in entries) for other in standing):
                return answer(turn.words("correct-built-on", plant=plant.name, call=plant.call))
        if isinstance(entry.body, Left):
            key = name_key(plant.name)
            if plants.by_keys(turn.tx, turn.who.household_id, [key]):
                return answer(turn.words("correct-name-taken", plant=plant.name))
    return None


def _next(turn: Turn) -> str:
    newest = correcting.latest_entry(turn.tx, turn.who.household_id)
    if newest is None:
        return turn.words("correct-next-none")
    who = turn.name_of(newest.person_id)
    key = "correct-next-mine" if newest.person_id == turn.who.person_id else "correct-next"
    return turn.words(key, who=who, what=entry_words(turn, newest))


def fix(turn: Turn, rest: str) -> Reply:
    """Say my last check or watering again, rightly; it keeps its moment."""
    if not rest:
        return answer(turn.words("correct-fix-how"))
    entries = ledger.last_entry_of(turn.tx, turn.who.household_id, turn.who.person_id)
    fixable = [entry for entry in entries if isinstance(entry.body, (Checked, Poured))]
    if not fixable:
        return answer(turn.words("correct-nothing-to-fix"))
    return _fixed(turn, entries, fixable, rest)


def _fixed(turn: Turn, entries: list[Entry], fixable: list[Entry], rest: str) -> Reply:
    """Write the right entry first; the wrong one goes only when that worked."""
    wanted = _wanted(turn, fixable, rest)
    if isinstance(wanted, Reply):
        return wanted
    entry, text = wanted
    replaced = [entry] if len(fixable) > 1 else entries
    before = turn.teller.ordinal
    home = turn.home
    with turn.tx.begin_nested() as attempt:
        correcting.take_back(turn.tx, turn.teller, home, replaced)
        told = turn.teller.ordinal
        reply = registry.run(_at(turn, entry), text)
        if turn.teller.ordinal == told:
            attempt.rollback()
            turn.teller.ordinal = before
            return answer(turn.words("correct-not-fixed"), reply.text)
    return answer(turn.words("correct-fixed"), reply.text, buttons=reply.buttons)


def _wanted(turn: Turn, fixable: list[Entry], rest: str) -> tuple[Entry, str] | Reply:
    """Which entry is meant, and the command that tells it rightly."""
    entry = fixable[-1]
    found = split_plant(turn, rest, lambda name, more: f"/fix {name} {more}".strip())
    if isinstance(found, Spoken) and found.rest:
        named = [one for one in fixable if one.plant_id == found.plant.id]
        entry = named[-1] if named else entry
        return entry, _command(turn, entry, found.plant.call, found.rest)
    if len(fixable) > 1:
        return answer(turn.words("correct-fix-which"))
    plant = plants.get(turn.tx, entry.plant_id or 0)
    return entry, _command(turn, entry, plant.call, rest)


def _command(turn: Turn, entry: Entry, call: str, said: str) -> str:
    is_amount = isinstance(find_volume(said, turn.settings.units), FoundAmount)
    poured = isinstance(entry.body, Poured) or is_amount
    return f"/gave {call} {said}" if poured else f"/check {call} {said}"


def _at(turn: Turn, entry: Entry) -> Turn:
    """The same turn with entries happening when the wrong one did."""
    turn.happened_at = entry.happened_at
    return turn


def edited(turn: Turn, text: str) -> Reply | None:
    """An edit of my last entry, soon and with nothing built on it, corrects it."""
    earlier = inbox.earlier_edits(turn.tx, turn.message.key)
    told = ledger.told_by_message(turn.tx, earlier) if earlier else []
    if not told:
        return understand(turn, text)
    mine = ledger.last_entry_of(turn.tx, turn.who.household_id, turn.who.person_id)
    fresh = turn.now - told[0].told_at <= EDIT_WITHIN
    last = {entry.id for entry in mine} == {entry.id for entry in told}
    if not (fresh and last) or ledger.built_on(turn.tx, told):
        return answer(turn.words("correct-edit-kept", what=_what(turn, told)))
    return _said_again(turn, told, text)


def _said_again(turn: Turn, told: list[Entry], text: str) -> Reply:
    before = turn.teller.ordinal
    home = turn.home
    with turn.tx.begin_nested() as attempt:
        correcting.take_back(turn.tx, turn.teller, home, told)
        undone = turn.teller.ordinal
        reply = understand(_at(turn, told[0]), text)
        if reply is None or turn.teller.ordinal == undone:
            attempt.rollback()
            turn.teller.ordinal = before
            return answer(turn.words("correct-edit-kept", what=_what(turn, told)))
    return answer(turn.words("correct-fixed"), reply.text, buttons=reply.buttons)
