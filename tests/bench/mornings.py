"""What the bench of the round measures, as a program of its own: its memory is nobody else's.

`python -m tests.bench.mornings idle URL` sweeps when nothing is due; `... fan-out URL HOUSEHOLDS`
has a street's morning, with somebody probing before and meanwhile. Prints one JSON object.
"""

from __future__ import annotations

import asyncio
import json
import sys
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from time import perf_counter

from bot.clock import StandingClock
from bot.duty.sweep import Sweeper
from bot.serving import all_loaded, run, serving
from bot.tally import Tally
from core.store.engine import Store
from core.store.opening import open_store
from tests.bench import street
from tests.faults.loopback import Loopback

MORNING = datetime(2026, 3, 5, 7, tzinfo=UTC)  # eight in Berlin
SWEEPS, CHECKS = 200, 100
PAUSE = 0.05
LONGEST = 1800.0


def memory_mib() -> float:
    """The most that this process ever had in memory."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 1024


def idle(store: Store) -> dict[str, object]:
    """Milliseconds of a sweep that finds nothing."""
    sweeper, took = Sweeper(store), []
    for _ in range(SWEEPS):
        began = perf_counter()
        assert sweeper.sweep(street.BEGINS) == 0
        took.append(perf_counter() - began)
    return {"ms": median(took) * 1000}


async def fan_out(store: Store, households: int) -> dict[str, object]:
    """Everybody's morning; in one household somebody probes before it and meanwhile."""
    clock, network = StandingClock(street.BEGINS), Loopback()
    quiet: list[float] = []
    busy: list[float] = []

    async def probe(into: list[float]) -> None:
        text = f"/check fern {len(into) % 9 + 1}"
        into.append(await network.ask(street.first_home(), text, clock.now()))
        await asyncio.sleep(PAUSE)

    async with serving(store, clock, [network], Tally(), zone=street.ZONE):
        all_loaded()
        while len(quiet) < CHECKS:
            await probe(quiet)
        clock.move_to(MORNING)
        began = perf_counter()
        while len(network.port.unasked) < households and perf_counter() - began < LONGEST:
            await probe(busy)
        took = max(one.at for one in network.port.unasked) - began
        await asyncio.sleep(1)  # whatever would be said a second time
    heard = Counter(one.chat for one in network.port.unasked)
    return {
        "seconds": took, "heard": len(heard), "doubles": sum(heard.values()) - len(heard),
        "quiet": quiet, "busy": busy,
    }  # fmt: skip


def main() -> None:
    """Measure, and say what it was."""
    what, url, *more = sys.argv[1:]
    store = open_store(url)
    found = idle(store) if what == "idle" else run(fan_out(store, int(more[0])))
    store.close()
    print(json.dumps(found | {"mib": memory_mib()}))


if __name__ == "__main__":
    main()
