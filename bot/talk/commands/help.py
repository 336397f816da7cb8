"""/start, /help, /cancel."""

from __future__ import annotations

from bot.talk import gate
from bot.talk.commands import firsttime
from bot.talk.commands.invite import follow
from bot.talk.message import Reply
from bot.talk.turn import Turn, answer
from core.store import dialogues

_ABOUT = {
    "all": ("help-all",),
    "probe": ("help-probe", "help-probe-words"),
    "quiet": ("help-quiet",),
    "invite": ("help-invite",),
    "privacy": ("help-privacy", "help-privacy-who", "help-privacy-gone"),
}


def start(turn: Turn, rest: str) -> Reply:
    """First contact: what this is for, and the first thing to do; a link's code is followed."""
    word, _, more = rest.strip().partition(" ")
    if not word:
        return _welcome(turn)
    if word.casefold() == "in":
        return gate.not_arranging(turn) or firsttime.told(turn, more)
    came = follow(turn, rest.strip())
    if came is not None:
        return came
    return answer(turn.words("invite-payload", said=rest.strip()[:40]), _welcome(turn).text)


def _welcome(turn: Turn) -> Reply:
    known = turn.names()
    heard = "" if turn.message.overhears else turn.words("help-in-group")
    if known:
        welcome = turn.words("help-welcome-back", n=len(known), name=turn.who.person)
        return answer(welcome, heard)
    return _first(turn, heard)


def _first(turn: Turn, heard: str) -> Reply:
    """The first words in a new household; where it lives and how it measures is asked once."""
    asks = firsttime.to_be_asked(turn)
    buttons = firsttime.choices(turn) if asks else ()
    if asks:
        firsttime.note_asked(turn)
    return answer(
        turn.words("help-welcome", name=turn.who.person),
        turn.words("help-first-plant"),
        turn.words(
            "help-place" if asks else "help-place-known",
            zone=turn.who.zone.key,
            units=turn.words(f"household-units-{turn.settings.units.value}"),
        ),
        heard,
        turn.words("help-elsewhere") if heard else "",
        buttons=buttons,
    )


def help_(turn: Turn, rest: str) -> Reply:
    """What works, in the order of a day; all commands, or one subject."""
    lines = _ABOUT.get(rest.casefold().strip(" .!?"), ("help-day",))
    return answer(*(turn.words(line, household=turn.who.household) for line in lines))


def cancel(turn: Turn, _rest: str) -> Reply:
    """Drop the open question; jobs under way stay."""
    if turn.who.asked is not None:
        dialogues.close(turn.tx, turn.who.asked, turn.now)
    return answer(turn.words("common-nothing-changed"))
