"""/check: after probing. /later: not today."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from bot.talk import dosewords, say, verdictwords
from bot.talk.answers import ANY
from bot.talk.commands.told import Told, plant_and_time, text_of_moment
from bot.talk.entries import found_words
from bot.talk.grammar.dates import When, take_when
from bot.talk.grammar.readings import read_found
from bot.talk.grammar.refusal import Unclear
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.actions import checking, upkeep
from core.actions.checking import Outcome
from core.care.decision import Ask, Decision
from core.care.reading import Found
from core.journal.plants import Plant
from core.journal.portrait import Portrait, portrait

MOST_AT_ONCE = 60
LATER = timedelta(days=1)

_PARTS = re.compile(r"\s*[;\n]\s*|,\s+|,(?=\s*[^\d\s])")


def check(turn: Turn, rest: str) -> Reply:
    """Keep one or several checks and say what follows."""
    parts = _parts(turn, rest)
    if len(parts) > MOST_AT_ONCE:
        return answer(turn.words("check-too-many", most=MOST_AT_ONCE))
    if len(parts) > 1:
        return _bulk(turn, parts)
    return _one(turn, parts[0] if parts else "")


def _parts(turn: Turn, rest: str) -> list[str]:
    """The pieces of a bulk check; a piece without a plant belongs to the one before."""
    pieces = [piece.strip() for piece in _PARTS.split(rest) if piece.strip()]
    parts: list[str] = []
    for piece in pieces:
        if parts and _adds(turn, piece):
            parts[-1] = f"{parts[-1]} {piece}"
        else:
            parts.append(piece)
    return parts


def _adds(turn: Turn, piece: str) -> bool:
    """Whether a piece is nothing but a reading or a moment."""
    if isinstance(read_found(piece), Found):
        return True
    moment = take_when(piece, turn.now, turn.who.zone)
    return isinstance(moment, When) and not moment.rest


def _one(turn: Turn, text: str) -> Reply:
    told = plant_and_time(turn, text, "check")
    if isinstance(told, Reply):
        return told
    if not told.rest:
        return _ask_reading(turn, told.plant)
    found = read_found(told.rest)
    if isinstance(found, Unclear):
        return _unclear(turn, told, found, text_of_moment(text, told.rest))
    outcome = checking.check(turn.tx, turn.teller, turn.home, told.plant, found, told.at)
    return _verdict(turn, outcome, found, told.at)


def _ask_reading(turn: Turn, plant: Plant) -> Reply:
    seen = portrait(plant.state, turn.home)
    how = "check-how-roots" if seen.unmeasured else "check-how"
    hidden = Option(ANY, f"/check {plant.call} {{text}}")
    shown = Option(turn.words("add-never-mind"), "/cancel")
    return answer(turn.words(how, plant=plant.name, call=plant.call), buttons=(shown, hidden))


def _unclear(turn: Turn, told: Told, found: Unclear, moment: str) -> Reply:
    named = " ".join(
        word for word in moment.split() if word.casefold() not in told.plant.call.split()
    )
    when = f" {named}" if told.at is not None and named else ""
    buttons = tuple(
        Option(
            meaning.replace(" ", ", ") if meaning[0].isdigit() else meaning,
            f"/check {told.plant.call} {meaning}{when}",
        )
        for meaning in found.meanings[:4]
    )
    return answer(turn.words.refusal(found.key, found.args), buttons=buttons)


# --- one verdict --------------------------------------------------------------------------


def _verdict(turn: Turn, outcome: Outcome, found: Found, at: datetime | None) -> Reply:
    plant, verdict = outcome.plant, outcome.verdict
    head = turn.words(
        "check-head",
        plant=plant.name,
        found=found_words(turn, found),
        when=say.ago(turn.words, at, turn.now, turn.who.zone) if at else "none",
        do=turn.words(f"verdict-do-{verdict.decision.value}"),
    )
    if outcome.late:
        return answer(head, turn.words("check-late"), _next_line(turn, plant))
    seen = portrait(plant.state, turn.home)
    lines = [
        head,
        _why(turn, outcome),
        _dose_line(turn, outcome, seen),
        _ask(turn, outcome),
        _uneven_again(turn, plant),
        _next_line(turn, plant) if not verdict.gives_water else "",
    ]
    return answer(*lines, buttons=_buttons(turn, outcome))


def _why(turn: Turn, outcome: Outcome) -> str:
    judged = outcome.plant.state.judged
    if judged is None:
        return ""
    why = verdictwords.reason_words(turn, judged, outcome.plant.name)
    why = why[:1].upper() + why[1:]
    facts = outcome.verdict.facts
    wettest = facts.wet or facts.reading
    if outcome.verdict.restarted and wettest is not None:
        reading = say.reading(wettest)
        why = f"{why} {turn.words('verdict-restarted', reading=reading)}"
    return why


def _dose_line(turn: Turn, outcome: Outcome, seen: Portrait) -> str:
    if not outcome.verdict.gives_water:
        return ""
    if outcome.dose is None:
        return turn.words("dose-no-pot", plant=outcome.plant.name, call=outcome.plant.call)
    return dosewords.dose_line(turn, outcome.dose, seen)


def _ask(turn: Turn, outcome: Outcome) -> str:
    asked = outcome.verdict.ask
    if asked is None:
        return ""
    return turn.words(f"verdict-ask-{asked.value}", call=outcome.plant.call)


def _uneven_again(turn: Turn, plant: Plant) -> str:
    return turn.words("check-uneven-again") if plant.state.uneven >= 2 else ""


def _next_line(turn: Turn, plant: Plant) -> str:
    return verdictwords.again(turn, plant.state.probe)


def _buttons(turn: Turn, outcome: Outcome) -> tuple[Option, ...]:
    call, verdict = outcome.plant.call, outcome.verdict
    if verdict.ask is Ask.HOW_FELT:
        word = next((one.word for one in _last(outcome).readings if one.word), None)
        if word is not None:
            return tuple(
                Option(turn.words(f"check-felt-{by}"), f"/check {call} {word.value} by {by}")
                for by in ("finger", "stick", "lift")
            )
    if not verdict.gives_water or outcome.dose is None:
        return ()
    amount = f" {outcome.dose.litres * 1000:.0f} ml" if outcome.dose.litres else ""
    if outcome.dose.litres:
        amount = f" {say.plain_litres(outcome.dose.litres)}"
    gave = turn.words("check-gave-it" if verdict.decision is Decision.DRY_SIDE else "check-done")
    extent = " sip" if verdict.decision is Decision.DRY_SIDE else ""
    return (
        Option(turn.words("check-pour-with-me"), f"/pour {call}"),
        Option(gave, f"/gave {call}{amount}{extent}"),
        Option(turn.words("check-not-today"), f"/later {call}"),
    )


def _last(outcome: Outcome) -> Found:
    probed = outcome.plant.state.probed
    return probed.found if probed is not None else Found()


# --- several ------------------------------------------------------------------------------


def _bulk(turn: Turn, parts: list[str]) -> Reply:
    """Each piece on its own; what can't be taken is said and the rest is kept."""
    lines: list[str] = []
    watering: list[Plant] = []
    for part in parts:
        line, plant = _bulk_one(turn, part)
        lines.append(line)
        if plant is not None:
            watering.append(plant)
    buttons = tuple(
        Option(turn.words("check-pour-one", plant=one.name), f"/pour {one.call}")
        for one in watering[:4]
    )
    return answer(*lines, buttons=buttons)


def _bulk_one(turn: Turn, part: str) -> tuple[str, Plant | None]:
    told = plant_and_time(turn, part, "check")
    if isinstance(told, Reply):
        return turn.words("check-not-kept", part=part[:30], why=told.text.split("\n")[0]), None
    found = read_found(told.rest) if told.rest else Unclear("reading-none")
    if isinstance(found, Unclear):
        why = turn.words.refusal(found.key, found.args)
        return turn.words("check-not-kept", part=part[:30], why=why), None
    outcome = checking.check(turn.tx, turn.teller, turn.home, told.plant, found, told.at)
    line = turn.words(
        "check-head",
        plant=outcome.plant.name,
        found=found_words(turn, found),
        when=say.ago(turn.words, told.at, turn.now, turn.who.zone) if told.at else "none",
        do=turn.words(f"verdict-do-{outcome.verdict.decision.value}"),
    )
    gives = outcome.verdict.gives_water and not outcome.late
    if gives and outcome.dose is not None and outcome.dose.litres:
        line = f"{line} {say.plain_litres(outcome.dose.litres)}."
    elif not gives:
        line = f"{line} {_ask(turn, outcome) or _next_line(turn, outcome.plant)}"
    return line, outcome.plant if gives else None


# --- later ---------------------------------------------------------------------------------


def later(turn: Turn, rest: str) -> Reply:
    """Not today: the plant is due again tomorrow."""
    told = plant_and_time(turn, rest, "later")
    if isinstance(told, Reply):
        return told
    plant = upkeep.postpone(turn.tx, turn.teller, turn.home, told.plant, turn.now + LATER)
    return answer(turn.words("check-later", plant=plant.name))
