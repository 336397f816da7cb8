"""What a text means: a command, an answer to an open question, or a plain sentence."""

from __future__ import annotations

from bot.talk import answers, registry, running
from bot.talk.message import Reply
from bot.talk.turn import Turn, answer


def understand(turn: Turn, text: str) -> Reply | None:
    """The reply to a text on its own; a correction says a text again through here."""
    stale = answers.stale(turn, turn.message.step) if turn.message.step else None
    if stale is not None:
        return _look_again(turn, text, stale)
    if registry.is_command(text):
        return running.run(turn, text)
    if turn.message.unread:
        return answer(turn.words("common-unread"))
    if not turn.message.addressed:
        return None
    if text:
        return _in_words(turn, text)
    return answer(turn.words("photo-edited" if turn.message.photo else "common-no-text"))


def _look_again(turn: Turn, text: str, stale: Reply) -> Reply:
    """A button of an older message may still show things, and tell what a plant is; no more.

    So `Probe now` works after `Pot is shallower`, and `I've done it` works once.
    """
    if not answers.is_question(turn) or not registry.is_command(text):
        return stale
    before = turn.teller.ordinal
    with turn.tx.begin_nested() as attempt:
        reply = running.run(turn, text)
        wrote = turn.teller.ordinal > before and not text.startswith("/plant ")
        if wrote:
            attempt.rollback()
    if wrote:
        turn.teller.ordinal = before
    return stale if wrote else reply


def _in_words(turn: Turn, text: str) -> Reply:
    """An answer to an open question, or a plain sentence."""
    meant = answers.to_open_question(turn, text)
    if isinstance(meant, Reply):
        return meant
    if isinstance(meant, str):
        return running.run(turn, meant)
    return answers.nothing_open(turn, text) or running.sentence(turn, text)
