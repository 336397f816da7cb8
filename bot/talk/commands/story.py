"""/story: what happened to a plant, and who did it. /why: where its next probe comes from."""

from __future__ import annotations

from bot.talk import portrayal, say
from bot.talk.entries import body_words
from bot.talk.message import Reply
from bot.talk.naming import whole_plant
from bot.talk.turn import Turn, answer
from bot.talk.verdictwords import verdict_line
from core.journal import ledger
from core.journal.ledger import Entry
from core.journal.portrait import portrait

MOST_ENTRIES = 10


def story(turn: Turn, rest: str) -> Reply:
    """The newest entries of a plant, newest first, with who told them."""
    plant = whole_plant(turn, rest, lambda name: f"/story {name}")
    if isinstance(plant, Reply):
        return plant
    entries = ledger.latest_of_plant(turn.tx, plant.id, MOST_ENTRIES + 1)
    lines = [_line(turn, entry) for entry in entries[:MOST_ENTRIES]]
    older = turn.words("story-older") if len(entries) > MOST_ENTRIES else ""
    return answer(turn.words("story-head", plant=plant.name), *lines, older)


def _line(turn: Turn, entry: Entry) -> str:
    return turn.words(
        "story-line",
        when=say.day(turn.words, entry.happened_at, turn.now, turn.who.zone),
        who=turn.name_of(entry.person_id),
        what=body_words(turn, entry.body),
    )


def why(turn: Turn, rest: str) -> Reply:
    """Where the next probe comes from, in a few short lines."""
    plant = whole_plant(turn, rest, lambda name: f"/why {name}")
    if isinstance(plant, Reply):
        return plant
    state = plant.state
    seen = portrait(state, turn.home)
    probe = state.probe
    if probe is None:
        return answer(turn.words("story-why-none", plant=plant.name))
    asked = say.on_day(turn.words, probe.expected, turn.now, turn.who.zone)
    first, last = (
        say.day(turn.words, moment, turn.now, turn.who.zone)
        for moment in (probe.earliest, probe.latest)
    )
    key = "story-why-day" if first == last else "story-why-when"
    habit = portrayal.wants(turn, seen.species)
    learned = len(state.drydowns_d)
    return answer(
        turn.words(key, plant=plant.name, when=asked, first=first, last=last),
        verdict_line(turn, plant),
        habit,
        turn.words("story-why-learned", n=learned),
    )
