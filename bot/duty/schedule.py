"""The few sweeps on the real clock: coalesced, never overlapping, none dropped for being late."""

from __future__ import annotations

from collections.abc import Callable

from apscheduler.executors.pool import ThreadPoolExecutor
from apscheduler.schedulers.background import BackgroundScheduler

SWEEP_SECONDS = 2


def start_sweeps(tick: Callable[[], None]) -> BackgroundScheduler:
    """Call `tick` every few seconds from a thread of its own."""
    scheduler = BackgroundScheduler(
        timezone="UTC",
        executors={"default": ThreadPoolExecutor(1)},
        job_defaults={"coalesce": True, "misfire_grace_time": None, "max_instances": 1},
    )
    scheduler.add_job(tick, "interval", seconds=SWEEP_SECONDS, id="sweep")
    scheduler.start()
    return scheduler


def stop_sweeps(scheduler: object) -> None:
    """Let the sweep in hand finish, then stop."""
    if isinstance(scheduler, BackgroundScheduler):
        scheduler.shutdown(wait=True)
