"""What reminding costs: a sweep that finds nothing, a morning's fan-out, one job per plant.

Sizes by `POTSIDE_PLANTS` (100000 unless told; 1000000 is the full one) and `POTSIDE_HOMES` (2000;
10000 is the full one).
"""

from __future__ import annotations

import os
import resource
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median, quantiles
from threading import Thread
from time import perf_counter, sleep
from typing import TYPE_CHECKING

from sqlalchemy import insert, update

from bot.app import House
from bot.clock import StandingClock
from bot.duty.sweep import Sweeper
from bot.talk.message import Message, Reply
from bot.talk.reception import Reception
from core.store.opening import open_store
from core.store.outbox import Parcel
from core.store.people import PLAN_ANEW, Address
from core.store.tables import Household, Plant, table_of
from tests.faults.fanout import NETWORK, found

if TYPE_CHECKING:
    from tests.bench.conftest import Figures

PLANTS = int(os.environ.get("POTSIDE_PLANTS", "100000"))
HOMES = int(os.environ.get("POTSIDE_HOMES", "2000"))
EACH = 10  # plants in a household
NOW = datetime(2026, 3, 2, 12, tzinfo=UTC)
FULL = 100_000
MOST_GROWTH, LEAST_TIMES, MOST_MB = 1.5, 100, 200
MOST_JOBS = int(os.environ.get("POTSIDE_JOBS", "2000"))  # the goal is for 100000, which take long
PAUSE = 0.05  # twenty checks a second, from one household


def _store(folder: Path, plants: int) -> Sweeper:
    """Households with plants whose rounds and probes all lie ahead."""
    store = open_store(f"sqlite:///{folder / f'{plants}.db'}")
    later = NOW + timedelta(hours=20)
    homes = max(1, plants // EACH)
    with store.write() as tx:
        for start in range(0, homes, 5000):
            rows = [
                {"id": n + 1, "name": "h", "zone": "UTC", "settings": "{}", "created_at": NOW,
                 "round_at": later, "round_rule": "08:00 UTC"}
                for n in range(start, min(homes, start + 5000))
            ]  # fmt: skip
            tx.execute(insert(table_of(Household)), rows)
        for start in range(0, plants, 5000):
            rows = [
                {"household_id": n % homes + 1, "name": f"p{n}", "name_key": f"p{n}", "room": "",
                 "probe_at": later, "state": "{}"}
                for n in range(start, min(plants, start + 5000))
            ]  # fmt: skip
            tx.execute(insert(table_of(Plant)), rows)
    return Sweeper(store)


def _timed(sweeper: Sweeper) -> float:
    """Milliseconds of a sweep that finds nothing."""
    took = []
    for _ in range(200):
        began = perf_counter()
        assert sweeper.sweep(NOW) == 0
        took.append(perf_counter() - began)
    return median(took) * 1000


def bench_sweep_with_nothing_due(tmp_path: Path, figures: Figures) -> None:
    """A sweep with nothing due, by how many plants there are"""
    sizes = [size for size in (1000, 10_000, 100_000, 1_000_000) if size <= PLANTS]
    times = {}
    for size in sizes:
        sweeper = _store(tmp_path, size)
        times[size] = _timed(sweeper)
        sweeper.store.close()
        figures.note(f"{size} plants", f"{times[size]:8.3f} ms")
    growth = times[sizes[-1]] / times[sizes[0]]
    figures.goal(f"{sizes[-1]} plants against {sizes[0]}", growth, MOST_GROWTH, "x")
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    figures.goal("most memory so far, seeding included", used, MOST_MB, "MiB")
    figures.settle()


class _Sink:
    """A network that counts."""

    network = NETWORK

    def __init__(self) -> None:
        self.heard: Counter[str] = Counter()

    def send(self, parcel: Parcel, reply: Reply) -> None:
        """Heard."""
        if "to probe" in reply.text and parcel.chat != f"home{HOMES}":
            self.heard[parcel.chat] += 1


def bench_fan_out(tmp_path: Path, figures: Figures) -> None:
    """A morning's fan-out of households at one minute, with people probing meanwhile"""
    store = open_store(f"sqlite:///{tmp_path / 'fan.db'}")
    found(store, HOMES + 1, NOW)  # one more: where somebody probes meanwhile
    sink, clock = _Sink(), StandingClock(NOW + timedelta(minutes=1))
    house = House(store, clock, sink, "Europe/Berlin")
    while house.sweeper.sweep(clock.now()):
        pass
    clock.move_to(datetime(2026, 3, 12, 7, 0, tzinfo=UTC))
    checks: list[float] = []
    over: list[bool] = []
    prober = Thread(target=lambda: _probe(house, checks, over))
    began = perf_counter()
    prober.start()
    house.tick()
    took = perf_counter() - began
    over.append(True)
    prober.join()
    store.close()
    figures.note("households", f"{HOMES:8}")
    figures.note("messages a second", f"{sum(sink.heard.values()) / took:8.0f}")
    figures.goal("lost", HOMES - len(sink.heard), 0)
    figures.goal("said twice", sum(sink.heard.values()) - len(sink.heard), 0)
    if len(checks) > 1:
        figures.note("a check meanwhile, p99", f"{quantiles(checks, n=100)[-1] * 1000:8.1f} ms")
    figures.settle()


def _probe(house: House, checks: list[float], over: list[bool]) -> None:
    """Somebody probes, one check after the other, on the same database."""
    reception, n = Reception(house.store, "Europe/Berlin"), 0
    where = Address(NETWORK, "bot", f"home{HOMES}", f"p{HOMES}", "Ida", direct=True)
    while not over:
        n += 1
        message = Message(where, f"c{n}", f"/check fern {n % 9 + 1}", house.clock.now())
        began = perf_counter()
        key = reception.take_in(message)
        if key is not None:
            reception.attend(key)
        checks.append(perf_counter() - began)
        sleep(PAUSE)


def _nothing() -> None:
    """What a reminder of the peer does: less than ours."""


def bench_one_job_per_plant(tmp_path: Path, figures: Figures) -> None:
    """The same as one APScheduler job per plant in its SQLAlchemy store: time to plan"""
    from apscheduler.jobstores.sqlalchemy import SQLAlchemyJobStore
    from apscheduler.schedulers.background import BackgroundScheduler

    jobs = min(PLANTS, MOST_JOBS)
    kept = SQLAlchemyJobStore(url=f"sqlite:///{tmp_path / 'jobs.db'}")
    peer = BackgroundScheduler(jobstores={"default": kept}, timezone="UTC")
    peer.start(paused=True)
    due = datetime.now(UTC) + timedelta(days=1)
    began = perf_counter()
    for n in range(jobs):
        peer.add_job(_nothing, "date", run_date=due, id=str(n))
    adding = perf_counter() - began
    peer.shutdown(wait=False)
    began = perf_counter()
    again = BackgroundScheduler(
        jobstores={"default": SQLAlchemyJobStore(url=f"sqlite:///{tmp_path / 'jobs.db'}")},
        timezone="UTC",
    )
    again.start(paused=True)
    assert len(again.get_jobs()) == jobs
    loading = perf_counter() - began
    again.shutdown(wait=False)
    sweeper = _store(tmp_path, jobs)
    with sweeper.store.write() as tx:
        tx.execute(update(table_of(Household)).values(round_at=PLAN_ANEW))
    began = perf_counter()
    while sweeper.sweep(NOW):
        pass
    ours = perf_counter() - began
    sweeper.store.close()
    figures.note("jobs of the peer", f"{jobs:8}")
    figures.note("the peer: adding them", f"{adding:8.2f} s")
    figures.note("the peer: reading what is planned", f"{loading * 1000:8.1f} ms")
    figures.note("ours: planning the rounds of as many plants", f"{ours:8.2f} s")
    figures.note("the peer against ours", f"{adding / ours:8.0f} x")
    if jobs >= FULL:
        figures.goal("ours, in hundredths of the peer's", ours / adding * LEAST_TIMES, 1)
    figures.settle()
