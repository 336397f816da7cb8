"""`potside backtest FILE`: how good the forecasts would have been on a journal that has happened.

At every watering and probe a forecast is asked for as if the rest were still to come; the first
later reading at or under the target tells how it went. FILE is a journal as for `potside forecast`,
or a CSV with its keys as columns (`at`, `plant`, `reading`, `word`, `poured`, ...).
"""

from __future__ import annotations

import csv
import json
import sys
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from statistics import mean
from typing import Any, Final

from bot.replay import BadLineError, Replay, Row, report_of
from core.care.drydown.scoring import Case, Score, score, undecided

_DAY: Final = timedelta(days=1)
_USUAL: Final = 7.0
_FIRST_CYCLES: Final = 2
_BAR: Final = 40
_LISTS: Final = frozenset({"reading"})
_NUMBERS: Final = frozenset({"weight_g", "dry_g", "wet_g", "vpd_kpa", "target"})
_HEADER: Final = (
    f"{'':24}{'n':>6}{'cut':>6}{'error':>8}{'mean':>8}{'7 days':>8}{'50 %':>7}{'80 %':>7}"
)


@dataclass(frozen=True, slots=True)
class Kind:
    """Where in a pot's life a forecast was made."""

    watered: bool  # right after a watering; else after a probe
    first: bool  # in the pot's first two cycles

    def __str__(self) -> str:
        """As a row of the table is named."""
        what = "just watered" if self.watered else "after a probe"
        return f"{what}, {'first two' if self.first else 'later'}"


@dataclass(frozen=True, slots=True)
class _Waiting:
    """A forecast whose truth is still to come."""

    at: datetime
    kind: Kind
    days: Mapping[int, float]
    naive: float
    fixed: float

    def came(self, truth: timedelta, *, cut: bool) -> tuple[Kind, Case]:
        """The forecast beside its truth."""
        days = max(0.0, truth / _DAY)
        return self.kind, Case(self.days, days, self.naive, self.fixed, cut)


@dataclass(slots=True)
class _Pot:
    """One pot's open forecasts, and what the simple rules go by."""

    waiting: list[_Waiting] = field(default_factory=list)
    poured: datetime | None = None
    not_dry: datetime | None = None
    intervals: list[float] = field(default_factory=list)
    cycle: int = 0


def run(path: str, picture: str | None) -> int:
    """Backtest a file: a table on standard output, a picture if asked; 1 if it can't be read."""
    try:
        rows = _read(Path(path))
        found = list(backtest(_with_bar(rows)))
    except (OSError, UnicodeDecodeError, BadLineError) as error:
        sys.stderr.write(f"{path}: {error}\n")
        return 1
    if not found:
        sys.stdout.write("Nothing to judge: no pot was watered and later found dry.\n")
        return 0
    sys.stdout.write(table(found))
    if picture is not None:
        from bot.calibration import draw  # noqa: PLC0415 - loads matplotlib

        Path(picture).write_bytes(draw([case for _, case in found]))
        sys.stdout.write(f"Calibration drawn in {picture}.\n")
    return 0


def backtest(rows: Iterable[tuple[int, Row]]) -> Iterator[tuple[Kind, Case]]:
    """Forecasts beside what came, as soon as it is known. Raises BadLineError."""
    replay = Replay(warn=lambda text: print(text, file=sys.stderr))  # noqa: T201 - a warning
    pots: dict[str, _Pot] = {}
    for number, row in rows:
        try:
            replay.take({key: value for key, value in row.items() if key != "ask"})
            if "at" in row and "plant" in row:
                yield from _judged(replay, pots.setdefault(str(row["plant"]), _Pot()), row)
        except (ValueError, KeyError, TypeError, AttributeError) as error:
            raise BadLineError(f"line {number}: {error}") from error
    for pot in pots.values():
        yield from _ended(pot)


def _judged(replay: Replay, pot: _Pot, row: Row) -> Iterator[tuple[Kind, Case]]:
    """What a row says of the forecasts before it, and the forecast it asks for itself."""
    moment, resident = replay.last, replay.residents[str(row["plant"])]
    report = report_of(row, resident)
    if report is not None and report.middle <= resident.target:
        yield from _dry(pot, moment)
    elif report is not None:
        pot.not_dry = moment
    if row.get("poured"):
        yield from _ended(pot)
        _pour(pot, moment)
    if pot.poured is None or not (row.get("poured") or report is not None):
        return
    days = replay.ask(resident, moment).days
    kind = Kind(watered=bool(row.get("poured")), first=pot.cycle <= _FIRST_CYCLES)
    gone = (moment - pot.poured) / _DAY
    usual = mean(pot.intervals) if pot.intervals else _USUAL
    if kind.watered or (report is not None and report.middle > resident.target):
        pot.waiting.append(
            _Waiting(moment, kind, days, max(0.0, usual - gone), max(0.0, _USUAL - gone))
        )


def _dry(pot: _Pot, moment: datetime) -> Iterator[tuple[Kind, Case]]:
    """It went dry between the last reading that wasn't and this one: taken half way."""
    for one in pot.waiting:
        since = max(one.at, pot.not_dry or one.at)
        yield one.came(since + (moment - since) / 2 - one.at, cut=False)
    pot.waiting = []


def _ended(pot: _Pot) -> Iterator[tuple[Kind, Case]]:
    """Watered, or the journal's end, before it was found dry: it was not until its last reading."""
    for one in pot.waiting:
        if pot.not_dry is not None and pot.not_dry > one.at:
            yield one.came(pot.not_dry - one.at, cut=True)
    pot.waiting = []


def _pour(pot: _Pot, moment: datetime) -> None:
    if pot.poured is not None:
        pot.intervals.append((moment - pot.poured) / _DAY)
    pot.poured, pot.not_dry = moment, None
    pot.cycle += 1


def table(found: list[tuple[Kind, Case]]) -> str:
    """The figures as lines of text."""
    lines = [
        "Error: days between the 50 % point and what came. Mean: the pot's own mean interval.",
        "50 % and 80 %: how often what came lay in these ranges. Cut: never found dry.",
        "",
        _HEADER,
    ]
    for watered in (True, False):
        for first in (True, False):
            kind = Kind(watered=watered, first=first)
            cases = [case for one, case in found if one == kind]
            if cases:
                lines.append(_line(str(kind), score(cases), undecided=undecided(cases)))
    return "\n".join(lines) + "\n"


def _line(name: str, found: Score, *, undecided: bool) -> str:
    mark = "  (too many cut to judge the ranges)" if undecided else ""
    return (
        f"{name:24}{found.n:6d}{found.cut:6d}{found.error:8.2f}{found.naive:8.2f}"
        f"{found.fixed:8.2f}{found.half:7.0%}{found.wide:7.0%}{mark}"
    )


def _read(path: Path) -> list[tuple[int, Row]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        if path.suffix.casefold() == ".csv":
            return [(k, _typed(row)) for k, row in enumerate(csv.DictReader(file), start=2)]
        return [(k, _object(line, k)) for k, line in enumerate(file, start=1) if line.strip()]


def _object(line: str, number: int) -> Row:
    try:
        row = json.loads(line)
    except ValueError as error:
        raise BadLineError(f"line {number}: {error}") from error
    if not isinstance(row, dict):
        raise BadLineError(f"line {number}: a line is one JSON object")
    return row


def _typed(row: Mapping[str, str | None]) -> Row:
    """A CSV row as the object it stands for: empty cells are absent."""
    return {key: _cell(key, text.strip()) for key, text in row.items() if key and text}


def _cell(key: str, text: str) -> Any:
    if key in _LISTS:
        return [float(part) for part in text.split()]
    if key in _NUMBERS:
        return float(text)
    return True if text.casefold() in {"true", "yes", "1"} else text


def _with_bar(rows: list[tuple[int, Row]]) -> Iterator[tuple[int, Row]]:
    """The rows, with a bar on a terminal."""
    shown = sys.stderr.isatty()
    for done, row in enumerate(rows, start=1):
        yield row
        if shown and (done % 50 == 0 or done == len(rows)):
            full = _BAR * done // len(rows)
            sys.stderr.write(f"\r[{'#' * full}{'.' * (_BAR - full)}] {done}/{len(rows)}")
    if shown:
        sys.stderr.write("\n")
