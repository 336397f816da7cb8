"""Measured drying series as pots with readings; origins and licences: the README beside them."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import groupby
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from core.care.drydown.vapour import deficit_kpa

Floats = NDArray[np.float64]
MISSING = -90.0


@dataclass(frozen=True, slots=True)
class Series:
    """One pot: days from `start`, true readings, where waterings begin, and the air if known.

    `watered` holds indices of the first value after a watering; `times_of_probes`: probed exactly
    then, or None for a person who probes every so often (`every`, days from and to).
    """

    name: str
    house: str
    start: datetime
    days: Floats
    readings: Floats
    watered: tuple[int, ...]
    target: float
    every: tuple[float, float]
    kpa: Floats | None = None
    as_taken: bool = False


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _days(moments: list[datetime]) -> Floats:
    first = moments[0]
    return np.array([(moment - first) / timedelta(days=1) for moment in moments])


def arabidopsis(folder: Path) -> Iterator[Series]:
    """40 pots of two runs in a growth chamber; 1.6 g of water per g of soil is 10, 0.2 is 1."""
    rows = _rows(folder / "phenoleaks_pot_weights.csv")
    rows = [row for row in rows if row["SWC"]]
    for (run, pot), group in groupby(rows, key=lambda row: (row["experiment"], row["idPot"])):
        own = list(group)
        moments = [datetime.fromisoformat(row["date"]).replace(tzinfo=UTC) for row in own]
        wet = np.array([float(row["SWC"]) for row in own])
        rises = np.flatnonzero(np.diff(wet) > 0.1) + 1
        readings = 1 + 9 * (wet - 0.2) / 1.4
        yield Series(
            pot, run, moments[0], _days(moments), readings, (0, *rises.tolist()), 6.0, (0.5, 1.5)
        )  # fmt: skip


def field(folder: Path, *, air: bool) -> Iterator[Series]:
    """Soil at 5, 10 and 20 cm in Kansas, March to October; watered by rain."""
    rows = _rows(folder / "uscrn_manhattan_ks_daily.csv")
    moments = [datetime.strptime(row["LST_DATE"], "%Y%m%d").replace(tzinfo=UTC) for row in rows]
    kpa = np.array([_deficit(row) for row in rows]) if air else None
    for depth in (5, 10, 20):
        wet = np.array([float(row[f"SOIL_MOISTURE_{depth}_DAILY"]) for row in rows])
        low, high = np.quantile(wet[wet > 0], [0.02, 0.98])
        readings = 1 + 9 * (wet - low) / (high - low)
        for year in range(2009, 2018):
            days = [
                k for k, moment in enumerate(moments)
                if moment.year == year and 3 <= moment.month <= 10 and wet[k] > 0
            ]  # fmt: skip
            if len(days) < 60:
                continue
            own = np.array(days)
            rises = np.flatnonzero(np.diff(wet[own]) >= 0.02) + 1
            keep = [k for k in rises.tolist() if k + 1 not in rises]  # the last wet day of a rain
            yield Series(
                f"{depth} cm", str(year), moments[days[0]], _days([moments[k] for k in days]),
                readings[own], tuple(keep), 4.5, (2.0, 4.0), None if kpa is None else kpa[own],
            )  # fmt: skip


def _deficit(row: dict[str, str]) -> float:
    celsius, humidity = float(row["T_DAILY_MEAN"]), float(row["RH_DAILY_AVG"])
    if celsius < MISSING or humidity < 0:
        return float("nan")
    return deficit_kpa(celsius, min(humidity, 100.0))


def soil_sample(folder: Path) -> Iterator[Series]:
    """One soil sample on a balance for two weeks: the first weight reads 10, the last 1."""
    rows = _rows(folder / "soilhyp_evaporation.csv")
    weight = np.array([float(row["weight"]) for row in rows])
    hours = np.array([float(row["ts"]) for row in rows])
    readings = 1 + 9 * (weight - weight[-1]) / (weight[0] - weight[-1])
    start = datetime(2020, 3, 1, tzinfo=UTC)
    yield Series("sample", "lab", start, hours / 24, readings, (0,), 4.5, (0.5, 1.5))


def sand_column(folder: Path) -> Iterator[Series]:
    """A bare sand column: what has evaporated, from its rate; nothing is 10, all of it is 1."""
    rows = _rows(folder / "iden_sand_evap_rate.csv")
    seconds = np.array([float(row["time"]) for row in rows])
    rate = np.array([float(row["flux"]) for row in rows])
    gone = np.concatenate([[0.0], np.cumsum(np.diff(seconds) * (rate[1:] + rate[:-1]) / 2)])
    readings = 10 - 9 * gone / gone[-1]
    start = datetime(2020, 3, 1, tzinfo=UTC)
    yield Series("sand", "lab", start, seconds / 86400, readings, (0,), 4.5, (0.5, 1.5))


def cores(folder: Path) -> Iterator[Series]:
    """Small soil cores, masses by hand: the wettest reads 10, the dry weight 1."""
    dry = {
        row["Core"]: float(row["DryWt_g"]) + float(row["EmptyWt_g"])
        for row in _rows(folder / "hysteresis_core_initial.csv")
        if row["DryWt_g"] and row["EmptyWt_g"]
    }
    rows = [row for row in _rows(folder / "hysteresis_core_masses.csv") if row["Core"]]
    rows.sort(key=lambda row: (float(row["Core"]), row["datetime"]))
    for core, group in groupby(rows, key=lambda row: str(int(float(row["Core"])))):
        own = [row for row in group if row["Mass_g"] and not row["Exclude"]]
        if core in dry and len(own) >= 4:
            yield _core(core, own, dry[core])


def _core(core: str, rows: list[dict[str, str]], dry: float) -> Series:
    moments = [datetime.fromisoformat(row["datetime"]).replace(tzinfo=UTC) for row in rows]
    water = np.array([float(row["Mass_g"]) for row in rows]) - dry
    readings = 1 + 9 * water / max(float(water.max()), 1e-6)
    rises = np.flatnonzero(np.diff(readings) > 2.0) + 1
    return Series(
        core, "lab", moments[0], _days(moments), readings, tuple(rises.tolist()), 4.5, (0.5, 1.5),
        as_taken=True,
    )  # fmt: skip
