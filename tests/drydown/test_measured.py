"""Measured series, read in place: pooling on rice pots, first dates, learning on field soil.

Nothing is fitted on them. Bounds say what held when they were first run, with room; docs/drydown.md
tells where this is not good enough.
"""

from __future__ import annotations

import csv
from collections import defaultdict
from dataclasses import replace
from math import log
from pathlib import Path

import numpy as np

from core.care.drydown.clock import Clock
from core.care.drydown.pooling import expected, learn, share
from core.care.drydown.scoring import score
from core.care.drydown.state import Belief, House, Plant
from tests.drydown import measured
from tests.drydown.contenders import Theirs
from tests.drydown.probing import Asked, probed

WEIGHED = 0.05**2  # variance of a log rate from two weighings


def _rates(folder: Path) -> dict[str, list[tuple[float, float]]]:
    """Log of the grams a day each pot lost, by day, from after a watering to before the next."""
    with (folder / "growthpheno_rice_pot_weights.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["Weight.Before"] and row["Weight.After"]]
    pots: dict[str, list[tuple[float, float]]] = defaultdict(list)
    last: dict[str, tuple[float, float]] = {}
    for row in sorted(rows, key=lambda row: float(row["Snapshot.Time.Stamp"])):
        pot, day = row["Snapshot.ID.Tag"], float(row["Snapshot.Time.Stamp"]) / 86400
        if pot in last:
            then, weight = last[pot]
            lost = (weight - float(row["Weight.Before"])) / (day - then)
            if lost > 5 and day - then < 1.6:
                pots[pot].append((day, log(lost)))
        last[pot] = (day, float(row["Weight.After"]))
    return pots


def test_house_mates_make_a_better_forecast_of_rice_pots(measured_series: Path) -> None:
    """The prototype's own test: a pot not weighed today, after its house-mates were."""
    pots = {pot: rates for pot, rates in _rates(measured_series).items() if len(rates) > 8}
    assert _pooled_over_alone(pots, 8) < 0.97
    assert _pooled_over_alone(pots, 32) < 0.9


def _pooled_over_alone(pots: dict[str, list[tuple[float, float]]], size: int) -> float:
    """Root mean square errors in households of so many, against each pot by itself."""
    names = sorted(pots)
    alone: list[float] = []
    pooled: list[float] = []
    for begin in range(0, len(names), size):
        house = {name: pots[name] for name in names[begin : begin + size]}
        alone += _errors(house, pool=False)
        pooled += _errors(house, pool=True)
    return float(np.sqrt(np.mean(np.square(pooled)) / np.mean(np.square(alone))))


def _errors(pots: dict[str, list[tuple[float, float]]], *, pool: bool) -> list[float]:
    days = sorted({round(day) for rates in pots.values() for day, _ in rates})
    by_day = {name: {round(day): rate for day, rate in rates} for name, rates in pots.items()}
    houses = [House(clock=Clock(0.0, days[0])) for _ in (pots if not pool else [0])]
    plants = {name: Plant(guess=-5.0, reference=4.5) for name in pots}
    errors = []
    for day in days:
        for k, name in enumerate(pots):  # the last in line hears of the others of its day first
            at = houses[0 if pool else k]
            rate = by_day[name].get(day)
            if rate is None:
                continue
            if plants[name].cycles > 2:
                errors.append(expected(plants[name], at, day).mean + rate)
            told = Belief(1 / WEIGHED, -rate / WEIGHED)
            plants[name], at = learn(plants[name], at, day, told)
            said, houses[0 if pool else k] = share(plants[name], at, day, Belief())
            plants[name] = replace(plants[name], share=said)
    return errors


def _after_probes(asked: list[Asked], first: int, last: int = 999) -> float:
    return score(
        one.case for one in asked if one.what == "probed" and first <= one.cycle <= last
    ).error


def test_field_soil_is_forecast_better_than_by_the_prototype(measured_series: Path) -> None:
    every = measured.field(measured_series, air=True)
    series = [one for one in every if one.house in {"2012", "2014", "2016"}]
    assert _after_probes(probed(series), 6) < 0.8 * _after_probes(probed(series, Theirs), 6)


def test_first_ranges_hold_on_sand_and_on_a_soil_sample(measured_series: Path) -> None:
    for load in (measured.sand_column, measured.soil_sample):
        found = score(one.case for one in probed(load(measured_series)))
        assert found.wide >= 0.75


def test_small_cores_are_caught_up_with_by_the_first_readings(measured_series: Path) -> None:
    found = probed(measured.cores(measured_series))
    days = [one.case for one in found if one.what == "probed"]
    assert score(days).error < 0.5 * score(days).fixed


def test_arabidopsis_pots_together_are_forecast_no_worse_than_by_the_prototype(
    measured_series: Path,
) -> None:
    """Some hold no plant and read near 10 for days: that mustn't slow the others' forecasts."""
    ours = probed(measured.arabidopsis(measured_series))
    theirs = probed(measured.arabidopsis(measured_series), Theirs)
    assert _after_probes(ours, 1, 1) < _after_probes(theirs, 1, 1)
    assert _after_probes(ours, 2) < _after_probes(theirs, 2)
