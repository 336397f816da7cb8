"""A measured set as journals for `potside backtest`, probed as the protocol's person would.

python -m tests.drydown.journals field ../shared/data field/
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Iterator
from datetime import timedelta
from itertools import groupby
from pathlib import Path
from typing import Any

import numpy as np

from tests.drydown import measured
from tests.drydown.measured import Series
from tests.drydown.probing import NOISE, SEED, extent, visits

SETS: dict[str, Callable[[Path], Iterable[Series]]] = {
    "arabidopsis": measured.arabidopsis,
    "field": lambda folder: measured.field(folder, air=True),
    "season": lambda folder: measured.field(folder, air=False),
    "sample": measured.soil_sample,
    "sand": measured.sand_column,
    "cores": measured.cores,
}


def rows(every: Iterable[Series]) -> Iterator[dict[str, Any]]:
    """The first draw of the person in one household, in time order."""
    dice = np.random.default_rng([SEED, 0])
    told: list[dict[str, Any]] = []
    for series in every:
        name = f"{series.house} {series.name}"
        yield {"plant": name, "target": series.target}
        for day, kind, at in visits(series, dice):
            row: dict[str, Any] = {
                "at": (series.start + timedelta(days=day)).isoformat(),
                "plant": name,
            }
            if series.kpa is not None and np.isfinite(series.kpa[at]):
                row["vpd_kpa"] = round(float(series.kpa[at]), 3)
            if kind == 0:
                row["poured"] = extent(series, at).value
            elif kind == 1:
                found = round(series.readings[at] + dice.normal(0, NOISE))
                row["reading"] = min(max(int(found), 1), 10)
            told.append(row)
    yield from sorted(told, key=lambda row: row["at"])


def write(name: str, data: Path, folder: Path) -> None:
    """One file for each household of a set."""
    folder.mkdir(parents=True, exist_ok=True)
    every = sorted(SETS[name](data), key=lambda one: one.house)
    for house, group in groupby(every, key=lambda one: one.house):
        text = "".join(json.dumps(row) + "\n" for row in rows(group))
        (folder / f"{house}.jsonl").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write(sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3]))
