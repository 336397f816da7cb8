"""A verdict in words: what to do, why, and when to probe again."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from bot.talk import say
from bot.talk.turn import Turn
from core.care.decision import Decision
from core.journal.plants import Plant
from core.journal.state import Judged, ProbeWindow

_READINGS = ("reading", "line", "dry", "wet")


def reason_words(turn: Turn, judged: Judged, species: str) -> str:
    """The one sentence of why."""
    args: dict[str, str | float] = {"plant": species, **_spoken(turn, judged.args)}
    args["until"] = "none"
    if judged.until is not None:
        args["until"] = say.on_day(turn.words, judged.until, turn.now, turn.who.zone)
    for name in (*_READINGS, "days", "layer", "until"):
        args.setdefault(name, "")
    return turn.words(f"verdict-why-{judged.reason}", **args)


def _spoken(turn: Turn, args: Mapping[str, str | float]) -> dict[str, str | float]:
    spoken: dict[str, str | float] = dict(args)
    for name in _READINGS:
        if name in spoken:
            spoken[name] = say.reading(float(spoken[name]))
    if "line" in spoken:
        lowest = spoken["line"] == "1"
        spoken["line"] = turn.words(
            "verdict-mark-lowest" if lowest else "verdict-mark", line=spoken["line"]
        )
    if "layer" in spoken:
        spoken["layer"] = turn.words(f"verdict-layer-{spoken['layer']}")
    if "days" in spoken:
        spoken["days"] = say.days(turn.words, float(spoken["days"]))
    return spoken


def verdict_line(turn: Turn, plant: Plant) -> str:
    """Decision and reason of the last check, on one line."""
    judged = plant.state.judged
    if judged is None:
        return turn.words("verdict-none")
    decision = turn.words(f"verdict-do-{judged.decision}")
    return f"{decision} {reason_words(turn, judged, plant.name)}"


def again(turn: Turn, window: ProbeWindow | None) -> str:
    """When to probe again: the day, and the range where it is a range."""
    if window is None or _gone_by(turn, window):
        return next_probe(turn, window)
    asked = say.on_day(turn.words, window.expected, turn.now, turn.who.zone)
    first = say.day(turn.words, window.earliest, turn.now, turn.who.zone)
    last = say.day(turn.words, window.last, turn.now, turn.who.zone)
    if first == last or _days_apart(turn, window.earliest, window.last) < 2:
        return turn.words("verdict-again", when=asked)
    return turn.words("verdict-again-between", when=asked, first=first, last=last)


def next_probe(turn: Turn, window: ProbeWindow | None, key: str = "plant-next-probe") -> str:
    """The same without a range. Since a day that has gone by, a probe is due."""
    if window is None:
        return ""
    if _gone_by(turn, window):
        return turn.words("verdict-overdue", since=_expected(turn, window))
    return turn.words(key, when=say.on_day(turn.words, window.expected, turn.now, turn.who.zone))


def _gone_by(turn: Turn, window: ProbeWindow) -> bool:
    return say.has_gone_by(window.expected, turn.now, turn.who.zone)


def _expected(turn: Turn, window: ProbeWindow) -> str:
    return say.day(turn.words, window.expected, turn.now, turn.who.zone)


def _days_apart(turn: Turn, first: datetime, last: datetime) -> int:
    zone = turn.who.zone
    return (last.astimezone(zone).date() - first.astimezone(zone).date()).days


def is_open(plant: Plant) -> bool:
    """Whether its last verdict asks for something that hasn't been done."""
    judged = plant.state.judged
    return judged is not None and Decision(judged.decision) in _OPEN


def standing(turn: Turn, plant: Plant) -> str:
    """How a plant stands now, for a list: what its last check said, and its next probe."""
    state = plant.state
    judged, probe = state.judged, state.probe
    if judged is not None and state.probed is not None and is_open(plant):
        since = say.day(turn.words, state.probed.at, turn.now, turn.who.zone)
        return turn.words(f"verdict-open-{judged.decision}", since=since)
    if probe is None:
        return turn.words("verdict-no-probe")
    if _gone_by(turn, probe):
        return turn.words("verdict-due-since", since=_expected(turn, probe))
    key = "verdict-due" if probe.expected <= turn.now else "verdict-probe"
    return turn.words(key, when=say.on_day(turn.words, probe.expected, turn.now, turn.who.zone))


# Verdicts that stay open until something is done.
_OPEN = frozenset(
    {
        Decision.WATER,
        Decision.SOAK_LATE,
        Decision.SOAK,
        Decision.FILL,
        Decision.DRY_SIDE,
        Decision.TOO_WET,
    }
)
