"""/later and /skip: not today; this one time, and the rhythm stays. /away: days without anybody."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from bot.talk import running, say
from bot.talk.commands.roundwalk import evening_over, here_of
from bot.talk.grammar.ahead import read_span, take_ahead
from bot.talk.grammar.refusal import Unclear
from bot.talk.message import Reply
from bot.talk.naming import Spoken, exact, split_plant, typed
from bot.talk.turn import Turn, answer
from core.actions import rounds, upkeep
from core.actions.households import change_settings
from core.care.wallclock import moment_of
from core.journal import plants

LONGEST_REASON = 200
# What may be put off besides a probe, by the words that people use.
ACTS = {
    "turn": "turn",
    "turning": "turn",
    "wipe": "wipe",
    "wiping": "wipe",
    "dust": "wipe",
    "dusting": "wipe",
    "feed": "feed",
    "feeding": "feed",
    "scout": "scout",
    "scouting": "scout",
    "rinse": "rinse",
    "rinsing": "rinse",
}
NOBODY = frozenset({"off", "none", "no", "back", "home", "never", "cancel"})
LATER = timedelta(days=1)
_BECAUSE = re.compile(r"^(?:(?:because|since|as)\s+|[:,-]\s*)", re.IGNORECASE)
# Without a plant it is the round that is put off.
_WHOLE_ROUND = (
    (frozenset({"today", "this evening", "evening", "tonight"}), "/round evening"),
    (frozenset({"tomorrow"}), "/round tomorrow"),
)
_USUAL = time(8)
_MOST_NAMES = 5
_SOON = timedelta(days=7)


def later(turn: Turn, rest: str) -> Reply:
    """One plant's probe, or one errand of it, on another day or this evening."""
    bare = rest.casefold().strip(" .!?")
    whole = next((to for words, to in _WHOLE_ROUND if bare in words), None)
    if whole is not None and exact(turn, rest) is None:
        return running.run(turn, whole)
    return _put_off(turn, rest, "later")


def skip(turn: Turn, rest: str) -> Reply:
    """The same with a reason: whatever is no day."""
    return _put_off(turn, rest, "skip")


def _put_off(turn: Turn, rest: str, command: str) -> Reply:
    first, _, more = rest.strip().partition(" ")
    act = ACTS.get(first.casefold(), "") if exact(turn, rest) is None else ""
    text = more if act else rest
    again = f"/{command} {act}".rstrip()
    found = split_plant(turn, text, lambda name, left: f"{again} {name} {left}".strip())
    if isinstance(found, Reply):
        return found
    ahead = take_ahead(found.rest, turn.now, turn.who.zone)
    if isinstance(ahead, Unclear):
        return answer(turn.words.refusal(ahead.key, ahead.args))
    reason = _reason(ahead.rest, free=command == "skip" or "," in text)
    if reason is None:
        name, said = found.plant.name, ahead.rest[:40]
        meant = typed(f"{again} {found.plant.call} friday")
        return answer(turn.words("round-later-how", plant=name, said=said, meant=meant))
    if not act and (ahead.evening or ahead.day == here_of(turn).day):
        return _this_evening(turn, found)
    if not act and ahead.day is None and _not_due(turn, found):
        when = say.day(turn.words, found.plant.probe_at or turn.now, turn.now, turn.who.zone)
        return answer(turn.words("round-later-not-due", plant=found.plant.name, when=when))
    return _on_a_day(turn, found, act, ahead.day, reason)


def _reason(said: str, *, free: bool) -> str | None:
    """Why it is put off; None for words that are no reason, as a day that we can't read."""
    text = said.strip(" .,!")
    reason = _BECAUSE.sub("", text)
    return reason[:LONGEST_REASON] if free or reason != text or not text else None


def _not_due(turn: Turn, found: Spoken) -> bool:
    """It comes up later than tomorrow anyway: put off, it would come sooner."""
    due = found.plant.probe_at
    tomorrow = here_of(turn).day + LATER
    return due is not None and due.astimezone(turn.who.zone).date() > tomorrow


def _on_a_day(turn: Turn, found: Spoken, act: str, day: date | None, reason: str) -> Reply:
    until = _moment(turn, day) if day is not None else turn.now + LATER
    upkeep.postpone(turn.tx, turn.teller, turn.home, found.plant, until, act=act, reason=reason)
    name, when = found.plant.name, say.on_day(turn.words, until, turn.now, turn.who.zone)
    why = turn.words("round-later-reason", reason=reason) if reason else ""
    if act:
        said = turn.words("round-later-act", plant=name, act=turn.words(f"round-act-{act}"),
                          when=when)  # fmt: skip
    elif day is None:
        said = turn.words("check-later", plant=name)
    else:
        said = turn.words("round-later", plant=name, when=when)
    return answer(f"{said} {why}".strip())


def _this_evening(turn: Turn, found: Spoken) -> Reply:
    at = rounds.add_this_evening(turn.tx, here_of(turn), found.plant.id)
    if at is None:
        upkeep.postpone(turn.tx, turn.teller, turn.home, found.plant, turn.now + LATER)
        over, name = evening_over(turn), found.plant.name
        return answer(turn.words("round-later-over", plant=name, time=over) if over
                      else turn.words("round-later-quiet", plant=name))  # fmt: skip
    clock = f"{at.astimezone(turn.who.zone):%H:%M}"
    return answer(turn.words("round-later-evening", plant=found.plant.name, time=clock))


def _moment(turn: Turn, day: date) -> datetime:
    """The morning of a day to come, so that its round has it."""
    return moment_of(day, turn.settings.morning or _USUAL, turn.who.zone)


# --- away ---------------------------------------------------------------------------------


def away(turn: Turn, rest: str) -> Reply:
    """Days in which nobody is there: nothing is said unasked, unless somebody sits."""
    today = here_of(turn).day
    coming = tuple(span for span in turn.settings.away if span[1] >= today)
    if not rest.strip():
        return _who_is_away(turn, coming)
    if rest.casefold().strip(" .!") in NOBODY:
        _keep(turn, ())
        return answer(turn.words("round-away-off"))
    span = read_span(rest, turn.now, turn.who.zone)
    if isinstance(span, Unclear):
        return answer(turn.words.refusal(span.key, span.args))
    if span is None:
        return answer(turn.words("round-away-how", said=rest.strip()[:40]))
    _keep(turn, tuple(sorted({*coming, span})))
    return answer(_away_words(turn, span), _before(turn, span))


def _keep(turn: Turn, spans: tuple[tuple[date, date], ...]) -> None:
    change_settings(turn.tx, turn.who.household_id, replace(turn.settings, away=spans))


def _away_words(turn: Turn, span: tuple[date, date]) -> str:
    first, last = (say.day(turn.words, one, turn.now, turn.who.zone) for one in span)
    if span[0] == span[1]:
        return turn.words("round-away-day", first=first)
    return turn.words("round-away", first=first, last=last)


def _who_is_away(turn: Turn, coming: tuple[tuple[date, date], ...]) -> Reply:
    if not coming:
        return answer(turn.words("round-away-none"))
    zone = turn.who.zone
    spans = []
    for span in coming:
        first, last = (say.day(turn.words, one, turn.now, zone) for one in span)
        if span[0] == span[1]:
            spans.append(first)
        elif span[0] < here_of(turn).day:
            spans.append(turn.words("round-away-until", last=last))
        else:
            spans.append(turn.words("round-away-span", first=first, last=last))
    return answer(turn.words("round-away-is", spans="; ".join(spans)))


def _before(turn: Turn, span: tuple[date, date]) -> str:
    """What falls due while nobody is there is better probed before; said when that is soon."""
    if span[0] - here_of(turn).day > _SOON:
        return ""
    known = plants.living(turn.tx, turn.who.household_id)
    due = [
        one.name
        for one in sorted(known, key=lambda one: one.probe_at or turn.now)
        if one.probe_at is not None and one.probe_at.astimezone(turn.who.zone).date() <= span[1]
    ]
    if not due:
        return ""
    return turn.words("round-away-before", names=say.some(turn.words, due, _MOST_NAMES))
