"""The few sweeps on the real clock: coalesced, never overlapping, none dropped for being late."""

from __future__ import annotations

import logging
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from apscheduler.executors.pool import ThreadPoolExecutor
from apscheduler.schedulers.background import BackgroundScheduler
from apscheduler.schedulers.base import BaseScheduler

if TYPE_CHECKING:
    from apscheduler.schedulers.asyncio import AsyncIOScheduler

# What is due is looked for so often: a sweep that finds nothing is a few indexed reads.
SWEEP_SECONDS = 2
# Late is never too late, many missed are one, and no two run at once.
_JOBS = {"coalesce": True, "misfire_grace_time": None, "max_instances": 1}
# A long morning leaves out the sweeps of its own time, which is as it should be: no warnings.
logging.getLogger("apscheduler").setLevel(logging.ERROR)


# A sweep that is off by this much is so because somebody set the clock.
_STEP = timedelta(seconds=3 * SWEEP_SECONDS)


class _Steady(BaseScheduler):  # type: ignore[misc]  # it is untyped
    """Sweeps come evenly, by a clock that nobody sets, whatever the clock on the wall does.

    One that steps back would leave them out until it has come as far again; one that leaps ahead
    would have each sweep left out counted one by one, from 1970 on where a machine has no battery.
    """

    def _process_jobs(self) -> float:
        """Start what is due; seconds until the next look."""
        now = datetime.now(UTC)
        for job in self.get_jobs():
            if job.next_run_time is not None and abs(job.next_run_time - now) > _STEP:
                job.modify(next_run_time=now)
        wait: float | None = super()._process_jobs()
        return SWEEP_SECONDS if wait is None else min(wait, SWEEP_SECONDS)


class _InThread(_Steady, BackgroundScheduler):  # type: ignore[misc]
    """In a thread of its own."""


def start_sweeps(tick: Callable[[], None]) -> BackgroundScheduler:
    """Call `tick` every few seconds from a thread of its own."""
    scheduler = _InThread(
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

    class OnLoop(_Steady, AsyncIOScheduler):  # type: ignore[misc]
        """On the running loop."""

    async def sweep() -> None:  # what is no coroutine function would be run in a thread
        await tick()

    scheduler = OnLoop(timezone="UTC", job_defaults=_JOBS)
    scheduler.add_job(sweep, "interval", seconds=SWEEP_SECONDS, id="sweep")
    scheduler.start()
    return scheduler
