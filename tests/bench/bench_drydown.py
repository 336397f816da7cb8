"""How good and how dear the drying model is, by docs/drydown-protocol.md.

Beside our figures stand those of the first prototype, run here under the same protocol, and those
it told of its own.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta
from math import log
from pathlib import Path
from time import perf_counter, process_time
from typing import TYPE_CHECKING

import numpy as np
import pytest

from core.care.drydown import cycle as grids
from core.care.drydown import filter as drying
from core.care.drydown import grid
from core.care.drydown.clock import in_days
from core.care.drydown.forecast import days_left
from core.care.drydown.reports import of_values
from core.care.drydown.scoring import Case, least_errors, score, undecided
from core.care.drydown.state import House, Plant, Told
from tests.drydown import measured
from tests.drydown.contenders import Maker, Ours, Theirs
from tests.drydown.people import find_truths, live
from tests.drydown.policies import alarms, closed_loop
from tests.drydown.probing import Asked, probed
from tests.drydown.replaying import Scored, replayed
from tests.drydown.simulator import household

if TYPE_CHECKING:
    from tests.bench.conftest import Figures

HELD_OUT = range(9000, 9090)
LOOP, ALARM = range(9500, 9515), range(9600, 9630)
START = datetime(2026, 3, 2, 8, tzinfo=UTC)
BATCH = 30  # households at a time


def _rows(
    figures: Figures, scored: Iterable[Scored], what: str, name: str, first: int, last: int
) -> list[Case]:
    cases = [
        one.case for one in scored if one.shot.what == what and first <= one.shot.cycle <= last
    ]
    found = score(cases)
    figures.note(
        f"{what}, cycle {name}",
        f"{found}  of mean interval {found.error / found.naive:.2f}, of 7 days "
        f"{found.error / found.fixed:.2f}",
    )
    return cases


def _held_out(figures: Figures, make: Maker) -> list[Scored]:
    scored: list[Scored] = []
    for k in range(0, len(HELD_OUT), BATCH):
        lives = live([household(seed) for seed in HELD_OUT[k : k + BATCH]])
        find_truths(lives)
        scored += replayed(lives, make)
    for what in ("watered", "probed"):
        for name, first, last in (("1", 1, 1), ("2", 2, 2), ("3-4", 3, 4), ("5+", 5, 999)):
            _rows(figures, scored, what, name, first, last)
    return scored


def test_prototype_in_held_out_households(figures: Figures) -> None:
    """The prototype in the same households"""
    assert _held_out(figures, Theirs)


def test_held_out_households(figures: Figures) -> None:
    """Simulated households, held out (prototype: see each line)"""
    scored = _held_out(figures, Ours)
    later = score(s.case for s in scored if s.shot.what == "watered" and s.shot.cycle > 4)
    figures.note(
        "prototype, its own simulator, watered 5+", "error 3.15 / 5.35 / 8.20  50% 0.63  80% 0.87"
    )
    figures.note(
        "prototype, its own simulator, probed 5+", "error 3.33 / 5.97 / 9.32  50% 0.62  80% 0.86"
    )
    figures.note("prototype, its own simulator, watered 1; probed 1", "80% 0.81; 0.68")
    figures.goal("watered 5+: error against mean interval", later.error / later.naive, 0.56)
    figures.goal("watered 5+: error against 7 days", later.error / later.fixed, 0.37)
    figures.goal("watered 5+: 80 % ranges off 84 %", abs(later.wide - 0.84), 0.06)
    figures.goal("watered 5+: 50 % ranges off 55 %", abs(later.half - 0.55), 0.10)
    for what in ("watered", "probed"):
        begun = score(s.case for s in scored if s.shot.what == what and s.shot.cycle == 1)
        figures.goal(f"{what} 1: missed by 80 % ranges", 1 - begun.wide, 0.25)
    figures.settle()


def test_closed_loop(figures: Figures) -> None:
    """Closed loop, 120 pots, 300 days"""
    names = ("three days", "two and a half days", "mean interval", "ours")
    found = {name: closed_loop(LOOP, 300, name) for name in names}
    for name, loop in found.items():
        figures.note(
            name,
            f"{loop.probes:5.2f} probes a month, too wet {loop.too_wet:.3f}, "
            f"late {loop.late:.2f} days a month",
        )
    figures.note("prototype", " 3.80 probes a month, too wet 0.010, late 0.90 days a month")
    ours, three = found["ours"], found["three days"]
    often = found["two and a half days"]
    alike = np.interp(ours.late, [often.late, three.late], [often.probes, three.probes])
    figures.note("probes against every three days", f"{ours.probes / three.probes:8.2f}")
    figures.note("late days against every three days", f"{ours.late / three.late:8.2f}")
    figures.goal("probes against a fixed interval as late", ours.probes / float(alike), 0.5)
    figures.goal("too-wet waterings", 100 * ours.too_wet, 1, "%")
    figures.settle()


def test_alarm(figures: Figures) -> None:
    """Alarm on pots at half speed"""
    found = alarms(ALARM, 180.0, 365.0)
    figures.goal(f"not noticed within 2 cycles, of {found.pots}", 1 - found.noticed, 0.2)
    figures.goal("false alarms a plant-year", found.false_a_year, 1.0)
    figures.settle()


# Error of the prototype over that of 7 days after a probe in later cycles, where it was told.
SETS: dict[str, tuple[Callable[[Path], Iterable[measured.Series]], int, str]] = {
    "Arabidopsis": (measured.arabidopsis, 2, "0.54 against 4.64, any cycle"),
    "field, air told": (lambda folder: measured.field(folder, air=True), 6, "2.59 against 5.09"),
    "field, season only": (
        lambda folder: measured.field(folder, air=False), 6, "3.09 against 5.09",
    ),
    "soil sample": (measured.soil_sample, 2, "not told"),
    "sand column": (measured.sand_column, 2, "not told"),
    "soil cores": (measured.cores, 2, "not told"),
}  # fmt: skip


@pytest.mark.parametrize("name", SETS)
def test_measured_series(figures: Figures, measured_series: Path, name: str) -> None:
    """Measured series"""
    load, later, prototype = SETS[name]
    figures.title = f"Measured: {name}"
    series = list(load(measured_series))
    for make, mark in ((Ours, ""), (Theirs, ", prototype")):
        asked = probed(series, make)
        assert asked
        for what in ("watered", "probed"):
            _measured(figures, asked, what, f"first{mark}", lambda cycle: cycle == 1)
            _measured(figures, asked, what, f"{later}+{mark}", lambda cycle: cycle >= later)
    figures.note("prototype, probed later, its own protocol", prototype)


def _measured(
    figures: Figures, asked: list[Asked], what: str, name: str, counts: Callable[[int], bool]
) -> None:
    cases = [one.case for one in asked if one.what == what and counts(one.cycle)]
    if cases:
        mark = "  (coverage open: too many cut)" if undecided(cases) else ""
        figures.note(f"{what}, cycle {name}", f"{score(cases)}{mark}")
        figures.note(f"{what}, cycle {name}, with cut ones", _with_cut(cases))


def _with_cut(cases: list[Case]) -> str:
    ours, naive, fixed = least_errors(cases)
    return f"error {ours:5.2f}  mean interval {naive:5.2f}  7 days {fixed:5.2f}"


# --- cost -----------------------------------------------------------------------------------


def _fastest(what: Callable[[], object], times: int = 300) -> float:
    """Microseconds of the fastest of many runs, in blocks of ten."""
    best = float("inf")
    for _ in range(times // 10):
        begun = perf_counter()
        for _ in range(10):
            what()
        best = min(best, (perf_counter() - begun) / 10)
    return best * 1e6


def _probed_pot(reports: int) -> tuple[Plant, House]:
    plant, house = drying.new_plant(log(9.0), 4.5), drying.new_house(START)
    for cycle in range(4):
        plant, house = drying.watered(plant, house, START + timedelta(days=9 * cycle))
        for k in range(3 if cycle < 3 else reports):
            moment = START + timedelta(days=9 * cycle + 1.7 * (k + 1))
            seen = drying.observe(plant, house, moment, of_values([9 - 1.5 * k]))
            plant, house = seen.plant, seen.house
    return plant, house


def test_cost(figures: Figures) -> None:
    """Cost on one core"""
    values = np.linspace(-1, 1, 10_000)
    stated = _fastest(lambda: np.exp(values))
    plant, house = _probed_pot(3)
    assert plant.cycle is not None
    told: Told = plant.cycle.told[-1]
    before = np.ones(grid.SIZE)
    now = in_days(START) + 33
    update = _fastest(lambda: before * grids.one(plant.reference, told))
    ahead = _fastest(lambda: days_left(plant, house, now, 4.5))
    figures.note("numpy.exp of 10,000 doubles", f"{stated:8.1f} µs")
    figures.goal("update", update, 60, "µs")
    figures.note("update against numpy.exp", f"{update / stated:8.2f}")
    figures.goal("forecast", ahead, 40, "µs")
    figures.note("forecast against numpy.exp", f"{ahead / stated:8.2f}")
    whole = _fastest(
        lambda: drying.observe(plant, house, START + timedelta(days=33), of_values([4]))
    )
    figures.note("a report taken in, household told", f"{whole:8.1f} µs")
    size = len(json.dumps(plant.to_json(), separators=(",", ":")))
    figures.goal("state of a pot", size, 1024, "B")
    figures.note("state of a household", f"{len(json.dumps(house.to_json())):8d} B")
    figures.settle()


def test_many_plants(figures: Figures) -> None:
    """Dates of 100,000 pots from their stored states"""
    stored = []
    for k in range(1000):
        plant, house = _probed_pot(2 + k % 4)
        assert plant.cycle is not None
        data = plant.to_json()
        data["cycle"]["told"] = [
            [round(row[0] + 1e-4 * k, 6), *row[1:]] for row in data["cycle"]["told"]
        ]
        stored.append(json.dumps(data))
    now = in_days(START) + 36
    _, house = _probed_pot(2)
    begun = process_time()
    for _ in range(3):
        for text in stored:
            days_left(Plant.from_json(json.loads(text)), house, now, 4.5)
    figures.goal("100,000 pots", (process_time() - begun) / 3 * 100, 30, "s")
    figures.settle()
