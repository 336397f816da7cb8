"""The few sweeps on the real clock: coalesced, never overlapping, none dropped for being late."""

from __future__ import annotations

import logging
from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING

from apscheduler.executors.pool import ThreadPoolExecutor
from apscheduler.schedulers.background import BackgroundScheduler

if TYPE_CHECKING:
    from apscheduler.schedulers.asyncio import AsyncIOScheduler

# What is due is looked for so often: a sweep that finds nothing is a few indexed reads.
SWEEP_SECONDS = 2
# Late is never too late, many missed are one, and no two run at once.
_JOBS = {"coalesce": True, "misfire_grace_time": None, "max_instances": 1}
# A long morning leaves out the sweeps of its own time, which is as it should be: no warnings.
logging.getLogger("apscheduler").setLevel(logging.ERROR)


def start_sweeps(tick: Callable[[], None]) -> BackgroundScheduler:
    """Call `tick` every few seconds from a thread of its own."""
    scheduler = BackgroundScheduler(
        timezone="UTC", executors={"default": ThreadPoolExecutor(1)}, job_defaults=_JOBS
    )
    scheduler.add_job(tick, "interval", seconds=SWEEP_SECONDS, id="sweep")
    scheduler.start()
    return scheduler


def stop_sweeps(scheduler: object) -> None:
    """Let the sweep in hand finish, then stop."""
    if isinstance(scheduler, BackgroundScheduler):
        scheduler.shutdown(wait=True)


def sweeps_on_loop(tick: Callable[[], Awaitable[None]]) -> AsyncIOScheduler:
    """Call `tick` at once and every few seconds on the running event loop, until shut down."""
    from apscheduler.schedulers.asyncio import AsyncIOScheduler  # noqa: PLC0415 - when it serves

    async def sweep() -> None:  # what is no coroutine function would be run in a thread
        await tick()

    scheduler = AsyncIOScheduler(timezone="UTC", job_defaults=_JOBS)
    scheduler.add_job(sweep, "interval", seconds=SWEEP_SECONDS, id="sweep")
    scheduler.start()
    return scheduler
