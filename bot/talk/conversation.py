"""From a message to its reply, and the question that the reply leaves open."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from bot.talk import answers, gate, pictures, whose
from bot.talk.message import Option, Reply, Step, bare
from bot.talk.turn import Turn, answer
from bot.talk.understanding import understand
from core.store import dialogues, people

# Choices that nobody took are dropped after this; pressing them then says they are outdated.
QUESTION_KEPT = timedelta(days=30)
MOST_TEXT = 8000


def converse(turn: Turn) -> Reply | None:
    """The reply to a message; None only for chatter that wasn't meant for us."""
    reply = gate.pass_through(turn, _reply)
    if reply is None:
        return None
    reply = whose.named(turn, _about(turn, reply))
    if reply.buttons and reply.step is None:
        reply = _ask(turn, reply)
        people.set_asked(turn.tx, turn.who, reply.step.dialogue if reply.step else None)
    elif reply.step is not None or turn.teller.ordinal:
        # Something was done: the question before it is no longer what a bare word answers.
        people.set_asked(turn.tx, turn.who, None)
    return reply


def _about(turn: Turn, reply: Reply) -> Reply:
    """The reply with the plant it is about, if that is one, so that an answer needn't name it."""
    if reply.about is not None:
        return reply
    found = turn.spoken or turn.told_of()
    return replace(reply, about=next(iter(found))) if len(found) == 1 else reply


def _reply(turn: Turn) -> Reply | None:
    message = turn.message
    text = bare(message.text)
    if len(text) > MOST_TEXT:
        return answer(turn.words("common-too-long", most=MOST_TEXT))
    if message.passed_on:  # found and written by somebody else, at some other time
        if message.photo is None:
            return answer(turn.words("common-passed-on"))
        text = ""
    if message.edit:
        from bot.talk.commands import correct  # noqa: PLC0415 - edits are rare

        return correct.edited(turn, text)
    if message.photo is not None:
        return pictures.taken_in(turn, message.photo, text)
    return understand(turn, text)


def _ask(turn: Turn, reply: Reply) -> Reply:
    """Keep the choices of a reply as an open question, so that a bare word can answer it."""
    question = dialogues.begin(
        turn.tx,
        household_id=turn.who.household_id,
        chat_id=turn.who.chat_id,
        person_id=turn.who.person_id,
        subject=answers.QUESTION,
        stage="asked",
        now=turn.now,
        options=reply.buttons,
        due_at=turn.now + QUESTION_KEPT,
    )
    shown: tuple[Option, ...] = tuple(
        option for option in reply.buttons if option.label not in answers.HIDDEN
    )
    numbers = any(option.label in answers.NUMERIC for option in reply.buttons)
    return replace(reply, buttons=shown, step=Step(question, 1), numbers=numbers)
