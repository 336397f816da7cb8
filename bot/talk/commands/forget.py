"""/forget household: all that was told is deleted for good; asked first, confirmed by a word."""

from __future__ import annotations

from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.actions import forgetting
from core.actions.forgetting import Question
from core.store.forgetting import Holds

_ALL = frozenset({"household", "everything", "all", "house"})
MOST_NAMED = 6


def forget(turn: Turn, rest: str) -> Reply:
    """Say what would go and ask for the word; with it, delete."""
    what, _, word = rest.partition(" ")
    if what.casefold() not in _ALL:
        return answer(turn.words("forget-how", household=turn.who.household))
    if not word.strip():
        return _asked(turn, forgetting.ask(turn.tx, turn.who, turn.now))
    household = turn.who.household
    done = forgetting.forget(turn.tx, turn.who, word.strip(), turn.now, turn.teller.inbox_id)
    if done is None:
        return answer(turn.words("forget-not-the-word", said=word.strip()[:20]))
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
