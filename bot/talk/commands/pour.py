"""/pour: the coached pour, step by step, by whoever is at the sink."""

from __future__ import annotations

import re
from datetime import timedelta

from bot.talk import pourwords, say
from bot.talk.entries import found_words
from bot.talk.grammar.quantities import Refusal, find_volume
from bot.talk.message import Option, Reply
from bot.talk.naming import split_plant
from bot.talk.turn import Turn, answer
from bot.talk.verdictwords import verdict_line
from core.actions import checking, pouring
from core.actions.pouring import Moved
from core.care.pourplan import Way
from core.care.pourstate import Answer, Say, Stage, Step, UnexpectedAnswerError
from core.journal.plants import Plant
from core.journal.portrait import portrait
from core.store import dialogues
from core.store.dialogues import Talk

# Somebody who watered this recently is named before more goes in.
RECENT = timedelta(hours=18)
# A reading older than this says little about now.
READING_KEPT = timedelta(hours=36)

WAYS = {
    "top": Way.TOP,
    "above": Way.TOP,
    "bottom": Way.BOTTOM,
    "below": Way.BOTTOM,
    "saucer": Way.BOTTOM,
    "meter": Way.METER,
    "probe": Way.METER,
    "soak": Way.SOAK,
    "portions": Way.PORTIONS,
    "slowly": Way.PORTIONS,
}
ANSWERS = {
    "poured": Answer.POURED,
    "done": Answer.POURED,
    "gave": Answer.POURED,
    "filled": Answer.POURED,
    "stands": Answer.STANDS,
    "through": Answer.THROUGH,
    "straight": Answer.THROUGH,
    "stopped": Answer.STOPPED,
    "stop": Answer.STOPPED,
    "enough": Answer.STOPPED,
    "none": Answer.NONE,
    "no": Answer.NONE,
    "water": Answer.WATER,
    "yes": Answer.WATER,
    "sank": Answer.SANK,
    "sunk": Answer.SANK,
    "drunk": Answer.DRUNK,
    "standing": Answer.STANDING,
    "heavy": Answer.HEAVY,
    "light": Answer.LIGHT,
    "emptied": Answer.EMPTIED,
    "tipped": Answer.EMPTIED,
    "drained": Answer.EMPTIED,
}
# "no" and "yes" answer whatever is asked: the word for each question.
NEGATIVE = (Answer.NONE, Answer.STANDING, Answer.LIGHT, Answer.STANDS)
POSITIVE = (Answer.WATER, Answer.DRUNK, Answer.HEAVY, Answer.SANK, Answer.EMPTIED, Answer.POURED)
MORE = frozenset({"more", "again", "anyway", "still"})


def pour(turn: Turn, rest: str) -> Reply:
    """Begin a pour, answer its step, take it over, or close it."""
    found = split_plant(turn, rest, lambda name, more: f"/pour {name} {more}".strip())
    if isinstance(found, Reply):
        return found
    plant, said = found.plant, found.rest.casefold().strip(" .!")
    talk = pouring.open_pour(turn.tx, turn.who.household_id, plant.id)
    if talk is None:
        return _begin(turn, plant, said)
    if not said or said in MORE or said in WAYS:
        return _where_it_stands(turn, plant, talk)
    if said.split()[0] in ("cancel", "close", "end"):
        return _close(turn, talk)
    return _answer(turn, plant, talk, said)


# --- beginning ----------------------------------------------------------------------------


def _begin(turn: Turn, plant: Plant, said: str) -> Reply:
    words = said.split()
    way = next((WAYS[word] for word in words if word in WAYS), None)
    more = bool(MORE & set(words))
    strange = [word for word in words if word not in WAYS and word not in MORE]
    if strange:
        if strange[0] in ANSWERS or strange[0].isdigit():
            none = turn.words("pour-begun-none", plant=plant.name, call=plant.call)
            return answer(none)
        return answer(turn.words("pour-which-way", plant=plant.name, call=plant.call))
    if not more:
        doubt = _doubt(turn, plant, said)
        if doubt is not None:
            return doubt
    seen = portrait(plant.state, turn.home)
    if plant.state.pot is None and not seen.unmeasured:
        return answer(turn.words("dose-no-pot", plant=plant.name, call=plant.call))
    dose = checking.dose_now(seen, dry_side=checking.wants_dry_side(plant.state))
    moved = pouring.begin(turn.tx, turn.teller, turn.who.chat_id, plant, seen, dose, way)
    return _said(turn, moved)


def _doubt(turn: Turn, plant: Plant, said: str) -> Reply | None:
    """What speaks against pouring now: somebody was faster, no reading, or a reading that says no."""
    again = f"/pour {plant.call} {said} anyway".replace("  ", " ")
    state = plant.state
    leave = Option(turn.words("pour-no"), "/cancel")
    if state.watered is not None and turn.now - state.watered.at < RECENT:
        who = turn.name_of(state.watered.by)
        litres = state.watered.litres
        text = turn.words(
            "pour-recent",
            who=who[:1].upper() + who[1:],
            plant=plant.name,
            ago=say.ago(turn.words, state.watered.at, turn.now, turn.who.zone),
            amount=say.plain_litres(litres) if litres else "none",
        )
        return answer(text, buttons=(leave, Option(turn.words("pour-yes-more"), again)))
    return _unread(turn, plant, again)


def _unread(turn: Turn, plant: Plant, again: str) -> Reply | None:
    state = plant.state
    anyway = Option(turn.words("pour-anyway"), again)
    probed = state.probed
    stale = probed is None or turn.now - probed.at > READING_KEPT
    if stale or probed is None or (state.watered and state.watered.at > probed.at):
        probe = Option(turn.words("pour-probe-first"), f"/check {plant.call}")
        text = turn.words("pour-no-reading", plant=plant.name, call=plant.call)
        return answer(text, buttons=(probe, anyway))
    if state.judged is None or checking.asks_for_water(state.judged.decision):
        return None
    text = turn.words(
        "pour-last-said",
        plant=plant.name,
        reading=found_words(turn, probed.found),
        when=say.ago(turn.words, probed.at, turn.now, turn.who.zone),
        verdict=verdict_line(turn, plant),
    )
    leave = Option(turn.words("pour-no"), "/cancel")
    return answer(text, turn.words("pour-still-anyway"), buttons=(leave, anyway))


# --- under way ----------------------------------------------------------------------------


def _where_it_stands(turn: Turn, plant: Plant, talk: Talk) -> Reply:
    """Show the step that is open, to whoever asks; anybody may go on from there."""
    pour_ = pouring.pour_of(talk)
    who = turn.name_of(talk.person_id)
    moved = Moved(
        plant,
        Step(pour_, _asked(pour_.asks), pour_.next_l, choices=pour_.choices),
        talk.id,
        talk.version,
    )
    if pour_.stage in (Stage.RESTING, Stage.DRAINING):
        line = turn.words("pour-resting", minutes=_minutes_left(turn, talk))
    else:
        line = pourwords.pour_reply(turn.words, turn.settings.units, moved).text
    dialogues.set_options(turn.tx, talk.id, pourwords.options(turn.words, moved))
    head = turn.words(
        "pour-open",
        who=who[:1].upper() + who[1:],
        ago=say.ago(turn.words, talk.opened_at, turn.now, turn.who.zone),
        total=pourwords.pour_state(turn.words, turn.settings.units, pour_),
    )
    from bot.talk.message import Step as TapStep  # noqa: PLC0415 - two kinds of step meet here

    return answer(
        head,
        line,
        buttons=pourwords.shown_options(turn.words, moved),
        step=TapStep(talk.id, talk.version),
    )


def _asked(asks: Say | None) -> Say:
    return asks if asks is not None else Say.WILL_LOOK


def _minutes_left(turn: Turn, talk: Talk) -> int:
    if talk.due_at is None:
        return 0
    return max(1, round((talk.due_at - turn.now).total_seconds() / 60))


def _close(turn: Turn, talk: Talk) -> Reply:
    total = pouring.pour_of(talk).total_l
    plant = pouring.abandon(turn.tx, turn.teller, turn.home, talk)
    if not total:
        return answer(turn.words("pour-closed-nothing", plant=plant.name))
    amount = say.litres(turn.words, total, turn.settings.units)
    return answer(turn.words("pour-closed", plant=plant.name, total=amount))


def _answer(turn: Turn, plant: Plant, talk: Talk, said: str) -> Reply:
    pour_ = pouring.pour_of(talk)
    amount = find_volume(said, turn.settings.units)
    if isinstance(amount, Refusal):
        return answer(turn.words.refusal(amount.key, amount.args))
    litres = amount.value.litres if amount else None
    left = (amount.rest if amount else said).strip(" ,.")
    reading = _reading(left)
    if reading is not None:
        return _move(turn, plant, talk, Answer.READING, reading=reading)
    meant = _meant(left, pour_.choices) if left else (Answer.POURED if litres else None)
    if meant is None:
        return _not_understood(turn, plant, pour_.choices, left)
    return _move(turn, plant, talk, meant, amount_l=litres)


def _reading(text: str) -> float | None:
    match = re.fullmatch(r"(?:reads? |it reads? )?(\d{1,2}(?:[.,]\d)?)(?:/10)?", text)
    return float(match[1].replace(",", ".")) if match else None


def _meant(text: str, choices: tuple[Answer, ...]) -> Answer | None:
    words = text.split()
    if words[0] in ("no", "nope"):
        return next((one for one in NEGATIVE if one in choices), Answer.NONE)
    if words[0] in ("yes", "yep"):
        return next((one for one in POSITIVE if one in choices), Answer.WATER)
    return next((ANSWERS[word.strip(",")] for word in words if word.strip(",") in ANSWERS), None)


def _move(
    turn: Turn,
    plant: Plant,
    talk: Talk,
    meant: Answer,
    *,
    amount_l: float | None = None,
    reading: float | None = None,
) -> Reply:
    home = turn.home
    try:
        moved = pouring.answer(
            turn.tx,
            turn.teller,
            home,
            talk,
            meant,
            chat_id=turn.who.chat_id,
            amount_l=amount_l,
            reading=reading,
        )
    except UnexpectedAnswerError as wrong:
        return _not_asked(turn, plant, talk, wrong.choices)
    except ValueError:
        return answer(turn.words("pour-out-of-range"))
    if moved is None:
        return answer(turn.words("pour-raced", call=plant.call))
    return _said(turn, moved)


def _not_asked(turn: Turn, plant: Plant, talk: Talk, choices: tuple[Answer, ...]) -> Reply:
    reply = _where_it_stands(turn, plant, talk)
    return answer(
        turn.words("pour-not-asked-now"), reply.text, buttons=reply.buttons, step=reply.step
    )


def _not_understood(turn: Turn, plant: Plant, choices: tuple[Answer, ...], said: str) -> Reply:
    takes = turn.words.either(
        ["1-10" if one is Answer.READING else one.value for one in choices] + ["stopped", "cancel"]
    )
    return answer(turn.words("pour-word-unknown", said=said[:30], choices=takes, call=plant.call))


def _said(turn: Turn, moved: Moved) -> Reply:
    after = ""
    probe = moved.plant.state.probe
    if moved.step.finished and probe is not None:
        when = say.on_day(turn.words, probe.expected, turn.now, turn.who.zone)
        after = turn.words("pour-next-probe", when=when)
    if moved.talk_id:
        dialogues.set_options(turn.tx, moved.talk_id, pourwords.options(turn.words, moved))
    reply = pourwords.pour_reply(turn.words, turn.settings.units, moved, after)
    return reply if moved.talk_id else Reply(reply.text)
