"""`potside forecast FILE`: say of every pot in a small journal when it should be probed."""

from __future__ import annotations

import json
import sys
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final, TextIO

from bot.replay import Answer, BadLineError, Replay
from core.care.drydown.alarm import Alarm, Pace
from core.care.drydown.forecast import Forecast

_STANDARD_INPUT: Final = "-"
_DECIMALS: Final = 3
_SAME: Final = 1.5  # days: a range shorter than this is one day


def run(path: str, *, as_json: bool) -> int:
    """Replay a file and answer on standard output; 1 when the file or a line can't be read."""
    try:
        if path == _STANDARD_INPUT:
            return _answer(sys.stdin, as_json=as_json)
        with Path(path).open(encoding="utf-8") as file:
            return _answer(file, as_json=as_json)
    except (OSError, UnicodeDecodeError, BadLineError) as error:
        sys.stderr.write(f"{path}: {error}\n")
        return 1


def _answer(lines: TextIO, *, as_json: bool) -> int:
    replay = Replay(warn=lambda text: print(text, file=sys.stderr))  # noqa: T201 - a warning
    asked = False
    for answer in replay.lines(lines):
        asked = True
        sys.stdout.write(_line(answer, as_json=as_json) + "\n")
    if not asked:
        for answer in _everyone(replay):
            sys.stdout.write(_line(answer, as_json=as_json) + "\n")
    return 0


def _everyone(replay: Replay) -> list[Answer]:
    """Each plant of a journal that asked nothing, as of its last line."""
    if replay.house is None:
        return []
    return [
        replay.answer(name, replay.last)
        for name, resident in replay.residents.items()
        if resident.clock is not None
    ]


def _line(answer: Answer, *, as_json: bool) -> str:
    return json.dumps(as_object(answer)) if as_json else said(answer)


def as_object(answer: Answer) -> dict[str, Any]:
    """An answer by the contract: days to the target by percentage point."""
    found = answer.forecast
    return {
        "at": answer.at.isoformat(),
        "plant": answer.plant,
        "days": {str(point): round(days, _DECIMALS) for point, days in found.days.items()},
        "probe_in_days": round(found.probe_in / timedelta(days=1), _DECIMALS),
        "rough": found.rough,
        "alarm": None if answer.alarm is None else _alarm(answer.alarm),
    }


def _alarm(alarm: Alarm) -> dict[str, Any]:
    return {
        "kind": alarm.pace.value,
        "expected_days": round(alarm.expected_days, 1),
        "found_days": round(alarm.found_days, 1),
    }


def said(answer: Answer) -> str:
    """An answer in a sentence or two."""
    found = answer.forecast
    text = f"{answer.plant}: probe {_day(answer.at, found.probe_in)}; {_range(answer.at, found)}."
    if found.rough:
        text += " Rough so far: two more waterings and I'll know this pot."
    if answer.alarm is not None:
        text += f" {_warning(answer.alarm)}"
    return text


def _range(at: datetime, found: Forecast) -> str:
    early, late = (timedelta(days=found.days[point]) for point in (10, 90))
    if late <= timedelta(0):
        return "probably ready now"
    if late - early < timedelta(days=_SAME):
        return f"probably ready about {_day(at, timedelta(days=found.days[50]))}"
    return f"probably ready between {_day(at, early)} and {_day(at, late)}"


def _day(at: datetime, ahead: timedelta) -> str:
    then = at + ahead
    if then.date() == at.date():
        return "today"
    return f"{then:%A}, {then.day} {then:%B}"


def _warning(alarm: Alarm) -> str:
    if alarm.pace is Pace.SLOW:
        look = "look at roots, drainage, light and air"
    else:
        look = "look whether it is pot-bound, whether water runs past, whether a heater is near"
    return (
        f"It dries {'slower' if alarm.pace is Pace.SLOW else 'faster'} than it used to: "
        f"about {alarm.found_days:.0f} days instead of {alarm.expected_days:.0f}; {look}."
    )
