"""`potside backtest`: how good the forecasts would have been on a journal that has happened.

At every watering and probe a forecast is asked for as if the rest were still to come; the first
later reading at or under the target tells how it went. A FILE is a household's journal: what
`/export` gave, one as for `potside forecast`, or a CSV with its keys as columns (`at`, `plant`,
`reading`, `word`, `poured`, ...). Without one the journal of the database is taken, every household
for itself.
"""

from __future__ import annotations

import csv
import json
import sys
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, Final, TypeVar

from bot import settings
from bot.replay import BadLineError, Replay, Row, report_of
from core.actions import takeout
from core.actions.rebuilding import households
from core.care.drydown.hindsight import Hindsight, Judged, Kind
from core.care.drydown.scoring import Score, score, undecided
from core.journal import ledger, record
from core.journal.lookback import look_back
from core.store.engine import Store, StoreFailedError, StoreUnavailableError
from core.store.opening import open_store

_One = TypeVar("_One")

_BAR: Final = 40
_LISTS: Final = frozenset({"reading"})
_NUMBERS: Final = frozenset({"weight_g", "dry_g", "wet_g", "vpd_kpa", "target"})
_HEADER: Final = (
    f"{'':24}{'n':>6}{'cut':>6}{'error':>8}{'mean':>8}{'7 days':>8}{'50 %':>7}{'80 %':>7}"
)


def run(paths: list[str], url: str | None, picture: str | None) -> int:
    """Backtest files, a household each, or without one a database (None: the usual one).

    A table on standard output, a picture if asked; 1 if something can't be read.
    """
    try:
        found = [one for path in paths for one in _file(path)] if paths else _journal(url)
    except (BadLineError, StoreUnavailableError) as error:
        sys.stderr.write(f"{error}\n")
        return 1
    except StoreFailedError as error:
        sys.stderr.write(f"The database gave way: {error}.\n")
        return 1
    if not found:
        sys.stdout.write("Nothing to judge: no pot was watered and later found dry.\n")
        return 0
    sys.stdout.write(table(found))
    return 0 if picture is None else _drawn(found, Path(picture))


def _file(path: str) -> list[Judged]:
    """One household's file. Raises BadLineError, the file's name in front."""
    try:
        rows = _read(Path(path))
        if rows and takeout.begins(rows[0][1]):
            home, entries = takeout.read(row for _, row in rows)
            return list(look_back(_with_bar(entries), home))
        return list(backtest(_with_bar(rows)))
    except (OSError, ValueError, BadLineError) as error:
        raise BadLineError(f"{path}: {error}") from error


def _drawn(found: list[Judged], picture: Path) -> int:
    from bot.calibration import draw  # noqa: PLC0415 - loads matplotlib

    try:
        picture.write_bytes(draw([case for _, case in found]))
    except OSError as error:
        sys.stderr.write(f"{picture}: {error}\n")
        return 1
    sys.stdout.write(f"Calibration drawn in {picture}.\n")
    return 0


def _journal(url: str | None) -> list[Judged]:
    """Every household's own journal, as it stands in a database."""
    store = open_store(settings.default_database() if url is None else url, new=False)
    try:
        with store.read() as tx:
            ids = households(tx)
        return [one for household_id in ids for one in _household(store, household_id)]
    finally:
        store.close()


def _household(store: Store, household_id: int) -> list[Judged]:
    with store.read() as tx:
        home = record.home_of(tx, household_id)
        entries, unread = ledger.readable(tx, household_id)
    for plant_id, error in unread.items():
        sys.stderr.write(f"plant {plant_id} is left out in part: {error}\n")
    return list(look_back(_with_bar(entries), home))


def backtest(rows: Iterable[tuple[int, Row]]) -> Iterator[Judged]:
    """Forecasts beside what came, as soon as it is known. Raises BadLineError."""
    replay = Replay(warn=lambda text: print(text, file=sys.stderr))  # noqa: T201 - a warning
    pots: dict[str, Hindsight] = {}
    for number, row in rows:
        try:
            replay.take({key: value for key, value in row.items() if key != "ask"})
            if "at" in row and "plant" in row:
                yield from _judged(replay, pots.setdefault(str(row["plant"]), Hindsight()), row)
        except (ValueError, KeyError, TypeError, AttributeError) as error:
            raise BadLineError(f"line {number}: {error}") from error
    for pot in pots.values():
        yield from pot.ended()


def _judged(replay: Replay, pot: Hindsight, row: Row) -> Iterator[Judged]:
    """What a row says of the forecasts before it, and the forecast it asks for itself."""
    moment, resident = replay.last, replay.residents[str(row["plant"])]
    report, watered = report_of(row, resident), bool(row.get("poured"))
    if report is not None:
        yield from pot.found(moment, report, resident.target)
    if watered:
        yield from pot.poured(moment)
    if pot.begun and (watered or (report is not None and report.middle > resident.target)):
        pot.asked(moment, replay.ask(resident, moment).days, watered=watered)


def table(found: list[Judged]) -> str:
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


def _with_bar(rows: list[_One]) -> Iterator[_One]:
    """The rows, with a bar on a terminal."""
    shown = sys.stderr.isatty()
    for done, row in enumerate(rows, start=1):
        yield row
        if shown and (done % 50 == 0 or done == len(rows)):
            full = _BAR * done // len(rows)
            sys.stderr.write(f"\r[{'#' * full}{'.' * (_BAR - full)}] {done}/{len(rows)}")
    if shown:
        sys.stderr.write("\n")
