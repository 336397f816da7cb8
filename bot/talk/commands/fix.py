"""/fix: my last check or watering told rightly: another value, plant or time."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from bot.talk import checkwords
from bot.talk.commands import gave
from bot.talk.commands.checkmany import odd_weight
from bot.talk.commands.correct import corrected
from bot.talk.commands.gaveamount import read_given
from bot.talk.entries import entries_words
from bot.talk.grammar.dates import When, take_when
from bot.talk.grammar.quantities import Refusal
from bot.talk.grammar.readings import read_found
from bot.talk.grammar.refusal import Unclear
from bot.talk.message import Option, Reply
from bot.talk.naming import Spoken, exact, split_plant
from bot.talk.turn import Turn, answer
from core.actions import checking, correcting
from core.journal import ledger, plants
from core.journal.events import Checked, Poured
from core.journal.ledger import Entry
from core.journal.plants import Plant


@dataclass(frozen=True, slots=True)
class Wanted:
    """The entry to correct, and what it should have been."""

    entry: Entry
    plant: Plant
    body: Checked | Poured
    at: datetime


def fix(turn: Turn, rest: str) -> Reply:
    """Say my last check or watering again, rightly; what isn't named stays as it was."""
    who = turn.who
    entries = ledger.last_entry_of(turn.tx, who.household_id, who.person_id, in_words=True)
    fixable = [one for one in entries if isinstance(one.body, (Checked, Poured))]
    if not fixable:
        key = "correct-nothing-to-fix" if entries else "correct-nothing-told"
        return answer(turn.words(key))
    if not rest.strip():
        return answer(turn.words("correct-fix-how", what=entries_words(turn, fixable)))
    wanted = _wanted(turn, fixable, rest)
    return wanted if isinstance(wanted, Reply) else _told_rightly(turn, entries, fixable, wanted)


def _told_rightly(turn: Turn, entries: list[Entry], fixable: list[Entry], wanted: Wanted) -> Reply:
    replaced = [wanted.entry] if len(fixable) > 1 else entries
    correcting.take_back(turn.tx, turn.teller, turn.home, replaced)
    plant = plants.get(turn.tx, wanted.plant.id)
    turn.happened_at = wanted.at
    if isinstance(wanted.body, Poured):
        return corrected(turn, gave.keep(turn, plant, wanted.body))
    found = wanted.body.found
    outcome = checking.check(turn.tx, turn.teller, turn.home, plant, found, wanted.at)
    return corrected(turn, checkwords.verdict_reply(turn, outcome, found, wanted.at))


# --- what is meant ------------------------------------------------------------------------


def _wanted(turn: Turn, fixable: list[Entry], rest: str) -> Wanted | Reply:
    named = _named(turn, rest)
    if isinstance(named, Reply):
        return named
    entry = _entry(fixable, named)
    if entry is None:
        return answer(turn.words("correct-fix-which", what=entries_words(turn, fixable)))
    plant = named.plant if named is not None else plants.get(turn.tx, entry.plant_id or 0)
    moment = take_when(named.rest if named is not None else rest, turn.now, turn.who.zone)
    if not isinstance(moment, When):
        return answer(turn.words.refusal(moment.key, moment.args))
    body = _body(turn, entry, plant, moment.rest.strip(" ,."))
    if isinstance(body, Reply):
        return body
    return Wanted(entry, plant, body, moment.at or entry.happened_at)


def _named(turn: Turn, rest: str) -> Spoken | Reply | None:
    """The plant that is named, if one is: a loose name only where no value is said first."""
    found = exact(turn, rest)
    if found is not None or _is_value(turn, rest):
        return found
    return split_plant(turn, rest, lambda name, more: f"/fix {name} {more}".strip())


def _is_value(turn: Turn, text: str) -> bool:
    moment = take_when(text, turn.now, turn.who.zone)
    bare = moment.rest if isinstance(moment, When) else text
    starts = text.strip()[:1]
    return (
        not bare
        or starts.isdigit()
        or starts in "-+¼½¾"
        or not isinstance(read_found(bare), Unclear)
    )


def _entry(fixable: list[Entry], named: Spoken | None) -> Entry | None:
    """The entry of the plant that was named, or the only one."""
    if named is not None:
        own = [one for one in fixable if one.plant_id == named.plant.id]
        if own:
            return own[-1]
    return fixable[0] if len(fixable) == 1 else None


def _body(turn: Turn, entry: Entry, plant: Plant, said: str) -> Checked | Poured | Reply:
    body = entry.body
    if isinstance(body, Poured):
        return _poured(turn, body, plant, said)
    if isinstance(body, Checked):
        return _checked(turn, entry, plant, said)
    return answer(turn.words("correct-nothing-to-fix"))


def _checked(turn: Turn, entry: Entry, plant: Plant, said: str) -> Checked | Reply:
    body = entry.body
    if not said and isinstance(body, Checked):
        return body
    found = read_found(said)
    if not isinstance(found, Unclear):
        odd = odd_weight(turn, plant, found)
        return Checked(found) if odd is None else answer(turn.words.refusal(odd.key, odd.args))
    given = read_given(said, turn.settings.units)
    if not isinstance(given, Refusal) and given.volume is not None:
        gave_it = Option(
            turn.words("correct-gave-too", amount=said)[:40], f"/gave {plant.call}: {said}"
        )
        what = entries_words(turn, [entry])
        return answer(turn.words("correct-is-reading", what=what), buttons=(gave_it,))
    buttons = tuple(
        Option(turn.words.both(meaning.split())[:40], f"/fix {plant.call}: {meaning}")
        for meaning in found.meanings[:4]
    )
    return answer(turn.words.refusal(found.key, found.args), buttons=buttons)


def _poured(turn: Turn, body: Poured, plant: Plant, said: str) -> Poured | Reply:
    if not said:
        return body
    given = read_given(said, turn.settings.units)
    if isinstance(given, Refusal):
        return answer(turn.words.refusal(given.key, given.args))
    if given.volume is None and given.body.run_off_l is None:
        return answer(turn.words("correct-is-watering", call=plant.call))
    if given.strange:
        return answer(turn.words("gave-strange", what=given.strange[:30], call=plant.call))
    litres = given.body.litres if given.volume is not None else body.litres
    run_off = given.body.run_off_l if given.body.run_off_l is not None else body.run_off_l
    return replace(body, litres=litres, run_off_l=run_off, portions_l=())
