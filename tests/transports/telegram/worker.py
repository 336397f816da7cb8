"""One of several workers on a database, as a program: BASE TOKEN URL LEASE_SECONDS OVERALL.

`potside serve` with a short lease and quick polls; it says "ready" once it is open.
"""

from __future__ import annotations

import asyncio
import sys
from datetime import timedelta

from bot.clock import RealClock
from bot.duty.sharing import Lease
from bot.port import Limits
from bot.serving import serving
from bot.tally import Tally
from bot.transports.telegram.network import Account, Telegram
from core.store.opening import open_store
from tests.transports.telegram.world import QUICK


async def work(base: str, token: str, url: str, seconds: float, rate: float) -> None:
    """Until it is killed."""
    store, tally = open_store(url), Tally()
    limits = Limits(rate, per_second=1e6, burst=1_000_000, group_per_minute=1_000_000)
    account = Account(token, base, limits=limits, patience=QUICK)
    network = Telegram(account, RealClock().now, tally)
    lease = Lease(timedelta(seconds=seconds), timedelta(seconds=seconds / 6))
    async with serving(store, RealClock(), [network], tally, zone="UTC", lease=lease):
        sys.stdout.write("ready\n")
        sys.stdout.flush()
        await asyncio.Event().wait()


def main() -> None:
    base, token, url, lease_seconds, overall = sys.argv[1:]
    asyncio.run(work(base, token, url, float(lease_seconds), float(overall)))


if __name__ == "__main__":
    main()
