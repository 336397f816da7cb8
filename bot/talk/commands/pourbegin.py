"""The beginning of a coached pour, and what may speak against it."""

from __future__ import annotations

from datetime import timedelta

from bot.talk import others, pouranswers, pourwords, say
from bot.talk.entries import found_words
from bot.talk.grammar.quantities import Refusal, find_volume
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from bot.talk.verdictwords import verdict_line
from core.actions import checking, pouring
from core.actions.pouring import Moved
from core.care.pourplan import Way
from core.journal.plants import Plant
from core.journal.portrait import portrait
from core.knowledge.types import WaterNeed
from core.store import dialogues
from core.store.dialogues import Talk

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
CLOSING = frozenset({"cancel", "close", "end"})
MORE = frozenset({"more", "again", "anyway", "still"})
FILLERS = frozenset("from the with a by to in now please".split())


def is_beginning(said: str) -> bool:
    """Whether words begin a pour, and answer nothing: none, a way, "again"."""
    return all(word in WAYS or word in MORE or word in FILLERS for word in said.split())


def begin(turn: Turn, plant: Plant, said_: str, before: Talk | None = None) -> Reply:
    """Lay out a pour, unless somebody was faster or no reading asks for it.

    `before`: an earlier pour of which only the saucer is still to be looked after.
    """
    if not is_beginning(said_):
        return _no_beginning(turn, plant, said_)
    words = said_.split()
    way = next((WAYS[word] for word in words if word in WAYS), None)
    if not MORE & set(words):
        doubt = _doubt(turn, plant, said_)
        if doubt is not None:
            return doubt
    seen = portrait(plant.state, turn.home)
    if plant.state.pot is None and not seen.unmeasured:
        return answer(turn.words("dose-no-pot", plant=plant.name, call=plant.call))
    if before is not None:
        dialogues.close(turn.tx, before.id, turn.now)
    dose = checking.dose_now(seen, dry_side=checking.wants_dry_side(plant.state))
    moved = pouring.begin(
        turn.tx, turn.teller, turn.who.chat_id, plant, seen, dose, way, thread=turn.message.thread
    )
    reply = said(turn, moved)
    notes = []
    if way is not None and moved.talk_id and moved.step.pour.plan.way is not way:
        notes.append(turn.words("pour-not-that-way"))
    if seen.species.water is WaterNeed.RAIN and moved.talk_id:
        notes.append(turn.words("dose-rain"))
    return answer(*notes[:1], reply.text, *notes[1:], buttons=reply.buttons, step=reply.step)


def said(turn: Turn, moved: Moved) -> Reply:
    """A step of a pour in words, with the next probe once the water is in."""
    after = ""
    probe = moved.plant.state.probe
    if moved.step.finished and probe is not None:
        when = say.on_day(turn.words, probe.expected, turn.now, turn.who.zone)
        unmeasured = portrait(moved.plant.state, turn.home).unmeasured
        after = turn.words("pour-next-look" if unmeasured else "pour-next-probe", when=when)
    reply = pourwords.pour_reply(turn.words, turn.settings.units, moved, after)
    return reply if moved.talk_id else Reply(reply.text)


def _no_beginning(turn: Turn, plant: Plant, words: str) -> Reply:
    """Water already given, an answer to no question, or a way that is none."""
    call = plant.call
    amount = find_volume(words, turn.settings.units)
    if isinstance(amount, Refusal):
        return answer(turn.words.refusal(amount.key, amount.args))
    with_me = Option(turn.words("check-pour-with-me"), f"/pour {call}")
    if amount is not None:
        gave = Option(turn.words("pour-i-gave", amount=words)[:40], f"/gave {call}: {words}")
        return answer(turn.words("pour-or-gave", plant=plant.name), buttons=(gave, with_me))
    first = words.split(maxsplit=1)[0]
    if first in CLOSING or pouranswers.is_answer(words) or first[0].isdigit():
        none = turn.words("pour-begun-none", plant=plant.name, call=call)
        return answer(none, buttons=(with_me,))
    return answer(turn.words("pour-which-way", plant=plant.name, call=call))


def _doubt(turn: Turn, plant: Plant, words: str) -> Reply | None:
    """What speaks against it: somebody was faster, no reading, or a reading that says no."""
    again = f"/pour {plant.call} {words} anyway".replace("  ", " ")
    if plant.state.terrarium:
        anyway = Option(turn.words("pour-anyway"), again)
        return answer(turn.words("dose-closed", plant=plant.name), buttons=(anyway,))
    watered = plant.state.watered
    if watered is None or turn.now - watered.at >= others.WATERED_LATELY:
        return _unread(turn, plant, again)
    text = f"{others.watered_words(turn, plant, watered)} {turn.words('pour-recent')}"
    leave = Option(turn.words("pour-no"), "/cancel")
    return answer(text, buttons=(leave, Option(turn.words("pour-yes-more"), again)))


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
    when = say.ago(turn.words, probed.at, turn.now, turn.who.zone)
    text = turn.words(
        "pour-last-said",
        plant=plant.name,
        reading=found_words(turn, probed.found),
        when=when,
        verdict=verdict_line(turn, plant),
    )
    leave = Option(turn.words("pour-no"), "/cancel")
    return answer(text, turn.words("pour-still-anyway"), buttons=(leave, anyway))
