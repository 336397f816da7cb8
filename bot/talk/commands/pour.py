"""/pour: the coached pour, step by step, by whoever is at the sink."""

from __future__ import annotations

from bot.talk import pouranswers, pourwords, say
from bot.talk.commands import pourbegin
from bot.talk.grammar.quantities import Refusal
from bot.talk.message import TYPE_MARK, Reply
from bot.talk.message import Step as TapStep
from bot.talk.naming import split_plant
from bot.talk.pouranswers import Heard
from bot.talk.turn import Turn, answer
from core.actions import pouring
from core.actions.pouring import Moved
from core.care.pourstate import Answer, Say, Stage, Step, UnexpectedAnswerError
from core.journal import plants
from core.journal.plants import Plant
from core.store import dialogues
from core.store.dialogues import Talk


def pour(turn: Turn, rest: str) -> Reply:
    """Begin a pour, answer its step, take it over, or close it."""
    tapped = _tapped(turn)
    if tapped is not None:
        return _go_on(
            turn, plants.get(turn.tx, tapped.plant_id or 0), tapped, rest.rsplit(maxsplit=1)[-1]
        )
    found = split_plant(turn, rest, lambda name, more: f"/pour {name} {more}".strip())
    if isinstance(found, Reply):
        return found
    plant, said = found.plant, found.rest.casefold().strip(" .!?,")
    talk = pouring.open_pour(turn.tx, turn.who.household_id, plant.id)
    if talk is None:
        return pourbegin.begin(turn, plant, said)
    return _go_on(turn, plant, talk, said)


def _tapped(turn: Turn) -> Talk | None:
    """The pour whose button was pressed, whatever its plant is called by now."""
    step = turn.message.step
    talk = dialogues.get(turn.tx, step.dialogue) if step is not None else None
    return talk if talk is not None and talk.subject == pouring.SUBJECT else None


def _go_on(turn: Turn, plant: Plant, talk: Talk, said: str) -> Reply:
    drains = pouring.pour_of(talk).stage in (Stage.DRAINING, Stage.EMPTYING)
    if drains and pourbegin.is_beginning(said):
        return pourbegin.begin(turn, plant, said, before=talk)
    if pourbegin.is_beginning(said):
        return where_it_stands(turn, plant, talk)
    if said.split(maxsplit=1)[0] in pourbegin.CLOSING:
        return _close(turn, talk)
    return _answer(turn, plant, talk, said)


def where_it_stands(turn: Turn, plant: Plant, talk: Talk) -> Reply:
    """Show the step that is open, to whoever asks; anybody may go on from there."""
    pour_ = pouring.pour_of(talk)
    who = turn.name_of(talk.person_id)
    moved = _as_moved(plant, talk)
    resting = pour_.stage in (Stage.RESTING, Stage.DRAINING)
    total = pour_.total_l
    head = turn.words(
        "pour-open",
        who=who[:1].upper() + who[1:],
        plant=plant.name,
        ago=say.ago(turn.words, talk.opened_at, turn.now, turn.who.zone),
        total=say.litres(turn.words, total, turn.settings.units) if total else "none",
    )
    line = (
        turn.words("pour-resting", minutes=_minutes_left(turn, talk))
        if resting
        else pourwords.pour_reply(turn.words, turn.settings.units, moved).text
    )
    buttons = pourwords.shown_options(turn.words, moved)
    return answer(head, line, buttons=buttons, step=TapStep(talk.id, talk.version))


def _as_moved(plant: Plant, talk: Talk) -> Moved:
    pour_ = pouring.pour_of(talk)
    asks = pour_.asks if pour_.asks is not None else Say.WILL_LOOK
    choices = pour_.choices
    if pour_.stage is Stage.POURING and pour_.given:
        choices = (*choices, Answer.STOPPED)
    step = Step(pour_, asks, pour_.next_l, choices=choices)
    return Moved(plant, step, talk.id, talk.version)


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
    label = pourwords.labelled(turn.words, pour_, said)
    heard = Heard(label) if label else pouranswers.hear(said, pour_.choices, turn.settings.units)
    if isinstance(heard, Refusal):
        return answer(turn.words.refusal(heard.key, heard.args))
    if heard is None or heard.said is None:
        again = _asked_again(turn, plant, talk, "pour-nothing-new")
        return _not_understood(turn, plant, talk, said) if heard is None else again
    try:
        moved = pouring.answer(
            turn.tx,
            turn.teller,
            turn.home,
            talk,
            heard.said,
            chat_id=turn.who.chat_id,
            thread=turn.message.thread,
            amount_l=heard.litres,
            reading=heard.reading,
        )
    except UnexpectedAnswerError:
        return _asked_again(turn, plant, talk, "pour-not-asked-now")
    except ValueError:
        return answer(turn.words("pour-out-of-range"))
    if moved is None:
        return answer(turn.words("pour-raced", call=plant.call))
    return pourbegin.said(turn, moved)


def _asked_again(turn: Turn, plant: Plant, talk: Talk, why: str) -> Reply:
    """No answer to the question that is open: show that one."""
    reply = where_it_stands(turn, plant, talk)
    lines = reply.text.split("\n")[1:]
    return answer(turn.words(why), *lines, buttons=reply.buttons, step=reply.step)


def _not_understood(turn: Turn, plant: Plant, talk: Talk, said: str) -> Reply:
    moved = _as_moved(plant, talk)
    buttons = pourwords.shown_options(turn.words, moved)
    takes = [_typed(one.label.casefold()) for one in buttons] or [_typed("1-10")]
    if pouring.pour_of(talk).stage in (Stage.RESTING, Stage.DRAINING):
        takes = [_typed("stopped")]
    text = turn.words(
        "pour-word-unknown",
        said=said[:30],
        choices=turn.words.either(takes),
        call=plant.call,
    )
    return answer(text, buttons=buttons, step=TapStep(talk.id, talk.version))


def _typed(words: str) -> str:
    return f"{TYPE_MARK}{words}{TYPE_MARK}"
