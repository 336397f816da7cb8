"""A bare "no", "done" or the words of a button, where one question is open."""

from __future__ import annotations

import re
from datetime import timedelta

from bot.talk.message import Option, Reply, Step
from bot.talk.turn import Turn, answer
from core.actions import pouring
from core.journal import plants
from core.journal.plants import name_key
from core.store import dialogues
from core.store.dialogues import Talk

QUESTION = "question"
# An option that takes any text: {text} in its command stands for what was said. Never shown.
ANY = "*"
# The same for a bare number, as a meter gives it.
ANY_NUMBER = "*1-10"
HIDDEN = frozenset({ANY, ANY_NUMBER})
# A bare word answers a question this young; an older one may be forgotten by the person.
FRESH = timedelta(hours=2)

_NUMBER = re.compile(r"\d{1,2}(?:[.,]\d)?")

# Words that mean the same as an answer; a label answers to a group if it holds one of its words.
ALIKE = (
    frozenset("no nope none nothing nein nah".split()),
    frozenset("yes yep yeah sure y".split()),
    frozenset("done poured gave given did finished ok okay".split()),
    frozenset("stop stopped enough".split()),
)


def stale(turn: Turn, step: Step) -> Reply | None:
    """What to say to a tap on a stage that is over; None when it still counts."""
    talk = dialogues.get(turn.tx, step.dialogue)
    if talk is None or talk.household_id != turn.who.household_id:
        return answer(turn.words("common-outdated"))
    if talk.closed_at is not None or talk.version != step.version:
        return answer(turn.words("common-step-done"), _now_asked(turn, talk))
    if talk.subject == QUESTION:
        dialogues.close(turn.tx, talk.id, turn.now)
    return None


def _now_asked(turn: Turn, talk: Talk) -> str:
    if talk.closed_at is not None or talk.plant_id is None:
        return ""
    plant = plants.get(turn.tx, talk.plant_id)
    return turn.words("common-step-now", plant=plant.name, call=plant.call)


def to_open_question(turn: Turn, text: str) -> str | Reply | None:
    """The command that a bare text stands for; a question back when several are open."""
    key = name_key(text)
    fitting: list[tuple[Talk, Option]] = []
    asked = open_questions(turn)
    for talk in asked:
        option = _choice(talk, key)
        if option is not None:
            fitting.append((talk, option))
    if len(fitting) == 1:
        talk, option = fitting[0]
        if talk.subject == QUESTION:
            dialogues.close(turn.tx, talk.id, turn.now)
        return option.send
    if fitting:
        return _which(turn, fitting)
    return _anything(turn, text, asked)


def open_questions(turn: Turn) -> list[Talk]:
    """Jobs in stages in this chat, and this person's newest one-off question, if fresh."""
    pours = dialogues.open_about(turn.tx, turn.who.household_id, pouring.SUBJECT)
    jobs = [talk for talk in pours if talk.chat_id == turn.who.chat_id and talk.options]
    asked = dialogues.get(turn.tx, turn.who.asked) if turn.who.asked is not None else None
    if asked is None or asked.closed_at is not None or turn.now - asked.opened_at > FRESH:
        return jobs
    return [*jobs, asked] if asked.chat_id == turn.who.chat_id else jobs


def _choice(talk: Talk, key: str) -> Option | None:
    shown = [option for option in talk.options if option.label not in HIDDEN]
    for option in shown:
        if name_key(option.label) == key:
            return option
    for group in ALIKE:
        if key in group:
            return next((one for one in shown if group & set(name_key(one.label).split())), None)
    starts = [one for one in shown if len(key) > 2 and name_key(one.label).startswith(key)]
    return starts[0] if len(starts) == 1 else None


def _which(turn: Turn, fitting: list[tuple[Talk, Option]]) -> Reply:
    buttons = tuple(
        Option(f"{_about(turn, talk)}: {option.label}"[:40], option.send)
        for talk, option in fitting[:4]
    )
    return answer(turn.words("common-which-question"), buttons=buttons)


def _about(turn: Turn, talk: Talk) -> str:
    if talk.plant_id is not None:
        return plants.get(turn.tx, talk.plant_id).name
    return turn.words("common-the-last-question")


def _anything(turn: Turn, text: str, asked: list[Talk]) -> str | None:
    """The newest open question that takes any text, or any number, when there is one."""
    number = _NUMBER.fullmatch(text.strip()) is not None
    for talk in reversed(asked):
        for option in talk.options:
            anything = option.label == ANY and talk.person_id == turn.who.person_id
            if anything or (number and option.label == ANY_NUMBER):
                if talk.subject == QUESTION:
                    dialogues.close(turn.tx, talk.id, turn.now)
                return option.send.replace("{text}", text)
    return None
