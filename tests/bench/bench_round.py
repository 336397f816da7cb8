"""What reminding costs: a sweep that finds nothing, a morning's fan-out, one job per plant.

Sizes by `POTSIDE_PLANTS` (100000 unless told; 1000000 is the full one), `POTSIDE_HOMES` (2000;
10000 is the full one) and `POTSIDE_JOBS` (2000; 100000 is the full one). The peer of the last is
given `POTSIDE_PATIENCE` seconds (600) and compared by what it has done until then.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter, sleep
from typing import TYPE_CHECKING, Any

from sqlalchemy import update

from bot.duty.sweep import Sweeper
from core.store.people import PLAN_ANEW
from core.store.tables import Household, table_of
from tests.bench import street
from tests.bench.mornings import MORNING

if TYPE_CHECKING:
    from apscheduler.schedulers.background import BackgroundScheduler

    from tests.bench.conftest import Figures

ROOT = Path(__file__).resolve().parents[2]
PLANTS = int(os.environ.get("POTSIDE_PLANTS", "100000"))
HOMES = int(os.environ.get("POTSIDE_HOMES", "2000"))
JOBS = int(os.environ.get("POTSIDE_JOBS", "2000"))
PATIENCE = float(os.environ.get("POTSIDE_PATIENCE", "600"))
FULL = 100_000
MOST_GROWTH, LEAST_TIMES, MOST_MIB = 1.5, 100, 200
TURNS = 3  # so often each size is measured, one after the other
FIRED = 500  # jobs and plants whose morning comes


def _measured(*more: str) -> dict[str, Any]:
    """What `mornings` says."""
    command = [sys.executable, "-m", "tests.bench.mornings", *more]
    done = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True)
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_sweep_with_nothing_due(tmp_path: Path, figures: Figures) -> None:
    """A sweep with nothing due, by how many plants there are"""
    sizes = [size for size in (1000, 10_000, 100_000, 1_000_000) if size <= PLANTS]
    for size in sizes:
        street.build(tmp_path / f"{size}.db", size // street.EACH).close()
    turns = [
        {size: _measured("idle", f"sqlite:///{tmp_path / f'{size}.db'}") for size in sizes}
        for _ in range(TURNS)
    ]
    ms = {size: min(turn[size]["ms"] for turn in turns) for size in sizes}
    mib = {size: max(turn[size]["mib"] for turn in turns) for size in sizes}
    for size in sizes:
        figures.note(f"{size} plants", f"{ms[size]:8.3f} ms, {mib[size]:.0f} MiB")
        (tmp_path / f"{size}.db").unlink()
    least, most = sizes[0], sizes[-1]
    figures.goal(f"{most} plants against {least}", ms[most] / ms[least], MOST_GROWTH)
    figures.goal(f"memory at {most} plants", mib[most], MOST_MIB, "MiB")
    figures.goal("the same against the fewest", mib[most] / mib[least], 1.05)
    figures.settle()


def test_fan_out(tmp_path: Path, figures: Figures) -> None:
    """A morning's fan-out of households at one minute, with somebody probing meanwhile"""
    path = tmp_path / "fan.db"
    street.build(path, HOMES).close()
    found = _measured("fan-out", f"sqlite:///{path}", str(HOMES))
    figures.note("households, of ten plants each", f"{HOMES:8}")
    figures.note("messages a second", f"{found['heard'] / found['seconds']:8.0f}")
    figures.goal("lost", HOMES - found["heard"], 0)
    figures.goal("said twice", found["doubles"], 0)
    for when in ("quiet", "busy"):
        waits = [one * 1000 for one in found[when]]
        shown = f"p50 {median(waits):.1f} ms, p99 {quantiles(waits, n=100)[98]:.1f} ms"
        figures.note(f"a check, {'before' if when == 'quiet' else 'meanwhile'}", shown)
    figures.goal("memory after that", found["mib"], MOST_MIB, "MiB")
    figures.settle()


# --- the peer -----------------------------------------------------------------------------

_FIRED: list[int] = []


def remind(number: int) -> None:
    """What a reminder of the peer does: less than ours."""
    _FIRED.append(number)


def _peer(path: Path) -> BackgroundScheduler:
    from apscheduler.jobstores.sqlalchemy import SQLAlchemyJobStore
    from apscheduler.schedulers.background import BackgroundScheduler

    kept = SQLAlchemyJobStore(url=f"sqlite:///{path}")
    peer = BackgroundScheduler(
        jobstores={"default": kept},
        job_defaults={"misfire_grace_time": None, "coalesce": True},
        timezone="UTC",
    )
    peer.start(paused=True)
    return peer


def _added(peer: BackgroundScheduler, jobs: int, first: datetime) -> tuple[int, float]:
    """Give the peer a daily job for each plant; how many it took, and in how many seconds."""
    began = perf_counter()
    for n in range(jobs):
        peer.add_job(remind, "interval", days=1, next_run_time=first, args=[n], id=str(n))
        if perf_counter() - began > PATIENCE:
            return n + 1, perf_counter() - began
    return jobs, perf_counter() - began


def _swept(path: Path, households: int, *, anew: bool) -> float:
    """Seconds until a street is planned anew, or has had its morning."""
    store = street.build(path, households)
    if anew:
        with store.write() as tx:
            told = {"round_at": PLAN_ANEW, "round_rule": ""}
            tx.execute(update(table_of(Household)).values(told))
    sweeper, began = Sweeper(store), perf_counter()
    while sweeper.sweep(street.BEGINS if anew else MORNING):
        pass
    took = perf_counter() - began
    store.close()
    return took


def test_one_job_per_plant(tmp_path: Path, figures: Figures) -> None:
    """The same reminders as one APScheduler job per plant in its SQLAlchemy store: to plan them"""
    peer = _peer(tmp_path / "jobs.db")
    jobs, adding = _added(peer, JOBS, datetime.now(UTC) + timedelta(days=1))
    peer.shutdown(wait=False)
    began = perf_counter()
    again = _peer(tmp_path / "jobs.db")
    assert len(again.get_jobs()) == jobs
    loading = perf_counter() - began
    again.shutdown(wait=False)
    ours = _swept(tmp_path / "ours.db", JOBS // street.EACH, anew=True)
    ended = "" if jobs == JOBS else f", of {JOBS} in {PATIENCE:.0f} s"
    figures.note("jobs that the peer took", f"{jobs:8}{ended}")
    figures.note("the peer: adding them", f"{adding:8.2f} s")
    figures.note("the peer: reading them after a start", f"{loading:8.2f} s")
    figures.note(f"ours: planning the rounds of {JOBS} plants", f"{ours:8.2f} s")
    times = adding / jobs * JOBS / ours
    figures.note("the peer against ours", f"{times:8.0f} x")
    if JOBS >= FULL:
        figures.goal(f"ours, as hundredths of the peer's ({times:.0f} x)", LEAST_TIMES / times, 1)
    figures.settle()


def test_one_job_per_plant_in_the_morning(tmp_path: Path, figures: Figures) -> None:
    """The same when their morning comes: empty jobs of the peer, our rounds made to be sent"""
    peer = _peer(tmp_path / "jobs.db")
    _added(peer, FIRED, datetime.now(UTC) - timedelta(seconds=1))
    began = perf_counter()
    peer.resume()
    while len(_FIRED) < FIRED and perf_counter() - began < PATIENCE:
        sleep(0.01)
    theirs = perf_counter() - began
    fired = len(set(_FIRED))
    peer.shutdown(wait=False)
    ours = _swept(tmp_path / "ours.db", FIRED // street.EACH, anew=False)
    figures.note(f"the peer: {fired} of {FIRED} jobs run and planned again", f"{theirs:8.2f} s")
    figures.note("ours: rounds of as many plants made and planned again", f"{ours:8.2f} s")
    figures.note("the peer against ours", f"{theirs / ours:8.1f} x")
    figures.settle()
