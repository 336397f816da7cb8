"""/check: after probing."""

from __future__ import annotations

from bot.talk import checkwords, others, portrayal
from bot.talk.answers import ANY_READING
from bot.talk.commands import checkmany
from bot.talk.commands.told import Told, plant_and_time
from bot.talk.grammar.refusal import Unclear
from bot.talk.message import Option, Reply
from bot.talk.naming import shorter
from bot.talk.turn import Turn, answer
from core.actions import checking
from core.journal.plants import Plant
from core.journal.portrait import portrait

MOST_AT_ONCE = 60


def check(turn: Turn, rest: str) -> Reply:
    """Keep one or several checks and say what follows."""
    parts = checkmany.parts(turn, rest)
    if len(parts) > MOST_AT_ONCE:
        return answer(turn.words("check-too-many", most=MOST_AT_ONCE))
    if len(parts) > 1:
        return checkmany.check_all(turn, parts)
    return _one(turn, parts[0] if parts else "")


def _one(turn: Turn, text: str) -> Reply:
    told = plant_and_time(turn, text, "check")
    if isinstance(told, Reply):
        return told
    doubt = _two_ways(turn, told)
    if doubt is not None:
        return doubt
    found, at = checkmany.found_in(turn, told)
    if found is None:
        return ask_reading(turn, told.plant, told.moment)
    if isinstance(found, Unclear):
        return _unclear(turn, told, found)
    outcome = checking.check(turn.tx, turn.teller, turn.home, told.plant, found, at)
    return checkwords.verdict_reply(turn, outcome, found, at)


def _two_ways(turn: Turn, told: Told) -> Reply | None:
    """`fig 2 3` is Fig 2 at 3, or Fig at 2 and 3: where both plants live, ask."""
    other = shorter(turn, told.spoken)
    if other is None:
        return None
    plant, reading = other
    first, second = (told.plant, told.rest), (plant, reading)
    buttons = tuple(
        Option(f"{one.name}: {rest}".strip(": ")[:40], f"/check {one.call}: {rest}".strip())
        for one, rest in (first, second)
    )
    names = turn.words.either([told.plant.name, plant.name])
    return answer(turn.words("check-two-ways", names=names), buttons=buttons)


def ask_reading(turn: Turn, plant: Plant, moment: str = "") -> Reply:
    """Ask what the probe, the roots or the level say; whatever reads as that answers it.

    `moment`: when it was, as it was told.
    """
    seen = portrait(plant.state, turn.home)
    how = f"check-how-{portrayal.looked_at(seen)}"
    hidden = Option(ANY_READING, f"/check {plant.call}: {{text}} {moment}".strip())
    shown = Option(turn.words("add-never-mind"), "/cancel")
    told = others.probed_words(turn, plant)
    asked = turn.words(how, plant=plant.name, call=plant.call)
    return answer(told, asked, buttons=(shown, hidden))


def _unclear(turn: Turn, told: Told, found: Unclear) -> Reply:
    """Say what is odd and offer what may have been meant; else take the next reading for it."""
    call = told.plant.call
    buttons = tuple(
        Option(
            turn.words.both(meaning.split())[:40],
            f"/check {call}: {meaning} {told.moment}".strip(),
        )
        for meaning in found.meanings[:4]
    )
    if not buttons:
        buttons = (Option(ANY_READING, f"/check {call}: {{text}} {told.moment}".strip()),)
    return answer(turn.words.refusal(found.key, found.args), buttons=buttons)
