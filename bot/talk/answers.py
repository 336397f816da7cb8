"""A bare "no", "done" or the words of a button, where one question is open."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import timedelta
from enum import StrEnum

from bot.talk import others, plain, pouranswers, pourwords, quoted, running
from bot.talk.grammar.homes import may_be_home
from bot.talk.grammar.pots import read_pot
from bot.talk.grammar.quantities import Refusal
from bot.talk.grammar.readings import read_found
from bot.talk.message import Option, Reply, Step
from bot.talk.naming import exact
from bot.talk.plainwords import VERBS
from bot.talk.pouranswers import Heard
from bot.talk.turn import Turn, answer
from core.actions import pouring
from core.care.pourstate import Answer, Pour, Stage
from core.care.reading import Found
from core.journal import plants
from core.journal.plants import name_key
from core.knowledge.library import library
from core.knowledge.matching import Unknown
from core.store import dialogues
from core.store.dialogues import Talk

QUESTION = "question"
# What begins a pour, and what says that it is over.
_POURS = re.compile(r"/pour (.+?)(?: anyway)?")
_POURED = frozenset({"poured", "watered", "given", "gave"})
_UNDONE = frozenset({"not", "havent", "didnt", "never", "no"})
# An option that takes any text: {text} in its command stands for what was said. Never shown.
ANY = "*"
# The same for what reads as a probe, a kind of plant that we know, a pot, a place and measures,
# or the name of one of the household's plants.
ANY_READING, ANY_KIND, ANY_POT, ANY_HOME = "*reading", "*kind", "*pot", "*home"
ANY_NAME = "*name"
HIDDEN = frozenset({ANY, ANY_READING, ANY_KIND, ANY_POT, ANY_HOME, ANY_NAME})
# Those that a bare number answers.
NUMERIC = frozenset({ANY, ANY_READING, ANY_POT})
# A bare word answers a question this young; an older one may be forgotten by the person.
FRESH = timedelta(hours=2)
MOST_CHOICES = 4
LONGEST_KIND = 4  # words in the name of a plant

# Words that mean the same as an answer; a label answers to a group if it holds one of its words.
ALIKE = (
    frozenset("no nope none nothing not nein nah".split()),
    frozenset("yes yep yeah sure y".split()),
    frozenset("done poured gave given did finished".split()),
    frozenset("stop stopped enough".split()),
)
NO, YES, _, STOP = ALIKE
ALONE = frozenset().union(*ALIKE)
# What a button sends that leaves everything as it is.
LEAVE = "/cancel"


class Subject(StrEnum):
    """Open questions that are put to all in a chat; a button's words, typed, answer them."""

    ROUND = "round"
    COLD = "cold"
    HEAT = "heat"
    WINDOW = "window"


@dataclass(frozen=True, slots=True)
class Fit:
    """A question that a text answers, the command that it then stands for, and how to show it."""

    talk: Talk
    send: str
    label: str
    rank: int = 0  # of several, only those of the lowest rank count


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


def is_question(turn: Turn) -> bool:
    """Whether a tap answers a one-off question, not a stage of a job."""
    step = turn.message.step
    talk = dialogues.get(turn.tx, step.dialogue) if step is not None else None
    return talk is not None and talk.subject == QUESTION


def _now_asked(turn: Turn, talk: Talk) -> str:
    if talk.plant_id is None:
        return ""
    plant = plants.get(turn.tx, talk.plant_id)
    if others.pour_by_another(turn, plant) is not None:
        return others.pouring_words(turn, plant)
    watered = others.watered_too(turn, plant, None)
    if watered is not None:
        return others.watered_words(turn, plant, watered)
    if talk.closed_at is not None:
        return ""
    return turn.words("common-step-now", plant=plant.name, call=plant.call)


def to_open_question(turn: Turn, text: str) -> str | Reply | None:
    """The command that a bare text stands for; a question back when several are open."""
    talks = open_questions(turn)
    if not talks:
        return None
    fitting = [fit for talk in talks if (fit := _fit(turn, talk, text)) is not None]
    lowest = min((fit.rank for fit in fitting), default=0)
    fitting = [fit for fit in fitting if fit.rank == lowest]
    if len(fitting) == 1:
        return _taken(turn, fitting[0])
    if fitting:
        return _which(turn, fitting)
    return _anything(turn, text, talks)


def _taken(turn: Turn, fit: Fit) -> str:
    if fit.talk.subject == QUESTION:
        dialogues.close(turn.tx, fit.talk.id, turn.now)
    return fit.send


def open_questions(turn: Turn) -> list[Talk]:
    """Jobs in stages, this chat's and the person's own, and their newest question, if fresh.

    A reply to one of our messages answers what that asks.
    """
    replied = quoted.question(turn)
    if replied is not None:
        return [replied]
    jobs = [talk for talk in _jobs(turn) if _is_at_hand(turn, talk)]
    asked = dialogues.get(turn.tx, turn.who.asked) if turn.who.asked is not None else None
    if asked is None or asked.closed_at is not None or turn.now - asked.opened_at > FRESH:
        return jobs
    return [*jobs, asked] if asked.chat_id == turn.who.chat_id else jobs


def _jobs(turn: Turn) -> list[Talk]:
    """Pours, and what was asked of all in a chat, unasked mostly: a cold night, a round."""
    household = turn.who.household_id
    return turn.once(
        "jobs",
        lambda: dialogues.open_any(turn.tx, household, {pouring.SUBJECT, *Subject}),
    )


def _pours(turn: Turn) -> list[Talk]:
    return [talk for talk in _jobs(turn) if talk.subject == pouring.SUBJECT]


def _is_at_hand(turn: Turn, talk: Talk) -> bool:
    """In this chat, or a pour begun or taken over by whoever speaks, in whichever chat."""
    mine = talk.subject == pouring.SUBJECT and turn.who.person_id == talk.person_id
    return turn.who.chat_id == talk.chat_id or mine


def _fit(turn: Turn, talk: Talk, text: str) -> Fit | None:
    if talk.subject == pouring.SUBJECT:
        return _pour_fit(turn, talk, text)
    option = _choice(talk, name_key(text))
    if option is None or (talk.subject != QUESTION and exact(turn, text) is not None):
        return None
    label = option.label if option.send == LEAVE else f"{option.label} ({option.send[1:]})"
    return Fit(talk, option.send, label, rank=0 if talk.subject == QUESTION else OF_ALL)


def _pour_fit(turn: Turn, talk: Talk, text: str) -> Fit | None:
    """Whether a text is an answer to what a pour asks, or will ask when its rest is over."""
    pour, said = pouring.pour_of(talk), text.strip()
    plant = plants.get(turn.tx, talk.plant_id or 0)
    if name_key(text) == plant.call and pour.stage in _ASKING:
        return Fit(talk, f"/pour {plant.call}", plant.name, rank=NAME_ONLY)
    fit = Fit(talk, f"/pour {plant.call} {said}", f"{plant.name}: {said}", _rank(turn, talk, pour))
    if pourwords.labelled(turn.words, pour, text) is not None:
        return fit
    heard = pouranswers.hear(text, pour.choices, turn.settings.units)
    if not isinstance(heard, Heard):
        return None
    if pour.stage is Stage.POURING and name_key(text) in YES | NO:
        fit = replace(fit, rank=fit.rank + 1)  # "first half: 200 ml" is no question
    stops = heard.said is Answer.STOPPED and pour.stage in _STOPS
    return fit if stops or heard.said in pour.choices else None


def _rank(turn: Turn, talk: Talk, pour: Pour) -> int:
    """What rests is asked only later, what others began is theirs first, this chat goes first."""
    rests = pour.stage not in _ASKING
    elsewhere = talk.chat_id != turn.who.chat_id
    return ELSEWHERE * elsewhere + 2 * rests + (talk.person_id != turn.who.person_id)


_ASKING = (Stage.POURING, Stage.LOOKING, Stage.EMPTYING)
OF_ALL = 3
NAME_ONLY = 4
ELSEWHERE = 8
_STOPS = (Stage.POURING, Stage.LOOKING, Stage.RESTING)


def _choice(talk: Talk, key: str) -> Option | None:
    shown = [option for option in talk.options if option.label not in HIDDEN]
    for option in shown:
        if name_key(option.label) == key:
            return option
    for group in ALIKE:
        if key in group:
            alike = [one for one in shown if group & set(name_key(one.label).split())]
            return alike[0] if len(alike) == 1 else _yes_or_no(shown, group)
    said = set(key.split())
    shown = [one for one in shown if "not" in said or "not" not in name_key(one.label).split()]
    held = [one for one in shown if len(key) > 2 and said <= set(name_key(one.label).split())]
    starts = [one for one in shown if len(key) > 2 and name_key(one.label).startswith(key)]
    only = held or starts
    return only[0] if len(only) == 1 else None


def _yes_or_no(shown: list[Option], group: frozenset[str]) -> Option | None:
    """Between one thing to do and leaving it: `Add it` or `Never mind`."""
    leave = [one for one in shown if one.send == LEAVE]
    do = [one for one in shown if one.send != LEAVE]
    if group is NO:
        return leave[0] if leave else None
    return do[0] if group is YES and leave and len(do) == 1 else None


def _which(turn: Turn, fitting: list[Fit]) -> Reply:
    newest = sorted(fitting, key=lambda fit: fit.talk.id, reverse=True)
    buttons = tuple(Option(fit.label[:40], fit.send) for fit in newest[:MOST_CHOICES])
    return answer(turn.words("common-which-question"), buttons=buttons)


def _anything(turn: Turn, text: str, talks: list[Talk]) -> str | None:
    """The newest open question that takes such a text, when there is one.

    What is a command's business anyway (`fern 3`, `help`) interrupts and leaves the question.
    """
    for talk in reversed(talks):
        theirs = talk.person_id != turn.who.person_id and quoted.question(turn) is None
        if talk.subject != QUESTION or theirs:
            continue
        for option in talk.options:
            if _takes(turn, option.label, text) and not plain.is_business(turn, text):
                dialogues.close(turn.tx, talk.id, turn.now)
                return option.send.replace("{text}", text)
    return None


def _takes(turn: Turn, hidden: str, text: str) -> bool:
    """Whether a text is of the sort that a hidden option takes."""
    if hidden == ANY_READING:
        return isinstance(read_found(text), Found)
    if hidden == ANY_POT:
        pot = read_pot(text, turn.settings.units)
        return not isinstance(pot, Refusal) or text[:1].isdigit()
    if hidden == ANY_NAME:
        named = exact(turn, text)
        return named is not None and not named.rest
    if hidden == ANY_KIND:
        short = len(text.split()) <= LONGEST_KIND
        known = short and not isinstance(library().find(text), Unknown)
        return known and exact(turn, text) is None
    if hidden == ANY_HOME:
        return may_be_home(text, sure=not turn.who.direct) and isinstance(
            library().find(text), Unknown
        )
    return hidden == ANY


def nothing_open(turn: Turn, text: str) -> Reply | None:
    """What to say to a bare "yes" or "done" that no question waits for."""
    word = name_key(text)
    if not (word in ALONE or pouranswers.is_answer(text)) or exact(turn, text) is not None:
        return None
    talks = open_questions(turn)
    pours = [talk for talk in talks if talk.subject == pouring.SUBJECT]
    asked = [one for talk in talks if talk.subject == QUESTION for one in talk.options]
    if not pours and not asked and word not in YES | NO:
        theirs = _of_others(turn, text)
        if theirs is not None:
            return theirs
    said = set(word.split())
    before = _POURS.fullmatch(next((one.send for one in asked if _POURS.fullmatch(one.send)), ""))
    if before is not None and not pours and _POURED & said and not _UNDONE & said:
        return running.run(turn, f"/gave {before[1]}")  # asked whether to, it is done already
    means_more = word in VERBS or isinstance(read_found(text), Found)
    if not pours and word not in YES | NO and means_more:
        return None
    if asked:
        return _choose(turn, word, asked)
    return _of_pours(turn, text, pours) if pours else answer(turn.words("common-nothing-asked"))


def _of_others(turn: Turn, text: str) -> Reply | None:
    """`poured` may be for a pour that somebody else began in another chat: that is asked."""
    fits = [fit for talk in _pours(turn) if (fit := _pour_fit(turn, talk, text)) is not None]
    if not fits:
        return None
    who = turn.name_of(fits[0].talk.person_id)
    names = [plants.get(turn.tx, fit.talk.plant_id or 0).name for fit in fits]
    line = turn.words(
        "others-elsewhere", who=who[:1].upper() + who[1:], plant=names[0], n=len(fits)
    )
    buttons = tuple(Option(fit.label[:40], fit.send) for fit in fits[:MOST_CHOICES])
    return answer(line, buttons=buttons)


def _choose(turn: Turn, word: str, asked: list[Option]) -> Reply:
    """The choices again; a plain "no" leaves everything as it is."""
    shown = [one.label for one in asked if one.label not in HIDDEN]
    if word in NO | STOP or not shown:
        return running.run(turn, LEAVE)
    text = turn.words("common-choose", choices=turn.words.either(shown))
    return answer(text, buttons=tuple(asked))


def _of_pours(turn: Turn, text: str, pours: list[Talk]) -> Reply:
    """The one pour under way says what it asks; of several, which there are."""
    called = [plants.get(turn.tx, talk.plant_id or 0) for talk in pours]
    if len(called) == 1:
        return running.run(turn, f"/pour {called[0].call} {text}")
    buttons = tuple(Option(one.name[:40], f"/pour {one.call}") for one in called[:MOST_CHOICES])
    names = turn.words.both([one.name for one in called])
    return answer(turn.words("common-not-that-asked", names=names), buttons=buttons)
