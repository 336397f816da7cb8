"""/forget: a household, or whoever asks, is deleted for good; asked first, confirmed by a word."""

from __future__ import annotations

from bot.talk import gate
from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.actions import forgetting, parting
from core.actions.forgetting import Question
from core.actions.parting import Parting
from core.store import people
from core.store.forgetting import Holds

_ALL = frozenset({"household", "everything", "all", "house"})
_ME = frozenset({"me", "myself"})
MOST_NAMED = 6


def forget(turn: Turn, rest: str) -> Reply:
    """Say what would go and ask for the word; with it, delete a household or forget somebody."""
    what, _, word = rest.partition(" ")
    if what.casefold() in _ALL:
        return gate.not_keeper(turn) or _household(turn, word.strip())
    if what.casefold() in _ME:
        return _me(turn, word.strip())
    return answer(
        turn.words("forget-how", household=turn.who.household),
        turn.words("forget-how-me"),
        turn.words("forget-how-else"),
    )


# --- the household ------------------------------------------------------------------------


def _household(turn: Turn, word: str) -> Reply:
    if not word:
        return _asked(turn, forgetting.ask(turn.tx, turn.who, turn.now))
    household = turn.who.household
    done = forgetting.forget(turn.tx, turn.who, word, turn.now, turn.teller.inbox_id)
    if done is None:
        return answer(turn.words("forget-not-the-word", said=word[:20]))
    here = turn.words("forget-now-in", household=done.now_in) if done.now_in else ""
    return answer(
        turn.words("forget-done", household=household),
        turn.words("forget-left"),
        here or turn.words("forget-anew"),
    )


def _asked(turn: Turn, question: Question) -> Reply:
    named = [*question.people[:MOST_NAMED]]
    names = turn.words.both(named)
    return answer(
        turn.words("forget-asked", household=turn.who.household),
        turn.words("forget-goes", things=turn.words.both(_things(turn, question.holds))),
        turn.words("forget-people", names=names, n=len(named)) if named else "",
        turn.words("forget-chats", n=question.chats) if question.chats else "",
        turn.words("forget-sure", word=question.word),
    )


def _things(turn: Turn, holds: Holds) -> list[str]:
    """What there is, in words; what there isn't is left out."""
    words = turn.words
    counted = (
        ("plants", holds.plants),
        ("entries", holds.entries),
        ("photos", holds.photos),
        ("sensors", holds.sensors),
    )
    things = [words(f"forget-{what}", n=n) for what, n in counted if n]
    place = [words("forget-place")] if holds.place else []
    return [*things, *place, words("forget-rest")]


# --- somebody -----------------------------------------------------------------------------


def _me(turn: Turn, word: str) -> Reply:
    """In a group nothing is said of somebody's other households."""
    theirs = people.households_of(turn.tx, turn.who.person_id)
    if not turn.who.direct and any(one.id != turn.who.household_id for one in theirs):
        return answer(turn.words("forget-me-private"))
    parting_ = parting.ask(turn.tx, turn.who, turn.now)
    if parting_.keeperless:
        names = turn.words.both(list(parting_.keeperless[:MOST_NAMED]))
        return answer(turn.words("forget-me-keeper", households=names))
    if not word:
        return _asked_of_me(turn, parting_)
    there = parting.forget_me(turn.tx, turn.who, word, turn.now, turn.teller)
    if there is None:
        return answer(turn.words("forget-me-not-the-word", said=word[:20]))
    turn.who = there
    return answer(
        turn.words("forget-me-done"), turn.words("forget-left"), turn.words("forget-anew")
    )


def _asked_of_me(turn: Turn, found: Parting) -> Reply:
    alone, others = list(found.alone[:MOST_NAMED]), list(found.others[:MOST_NAMED])
    return answer(
        turn.words("forget-me-asked", name=turn.who.person),
        turn.words("forget-me-goes", n=found.photos),
        turn.words("forget-me-stays", households=turn.words.both(others)) if others else "",
        turn.words("forget-me-alone", households=turn.words.both(alone), n=len(alone))
        if alone
        else "",
        turn.words("forget-me-sure", word=found.word),
    )
