"""`potside serve`: the networks named in the environment, on one house, until told to stop."""

from __future__ import annotations

import asyncio
import signal
import sys
from collections.abc import AsyncIterator, Awaitable, Callable, Coroutine, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import structlog

from bot import environment, settings
from bot.clock import Clock, RealClock
from bot.duty.clerk import Clerk
from bot.duty.courier import Courier
from bot.duty.mailroom import Mailroom
from bot.duty.schedule import sweeps_on_loop
from bot.duty.sweep import Sweeper
from bot.duty.workroom import LATER, Workroom
from bot.environment import Environment, Listen, SettingsError, TelegramSettings
from bot.logs import log_to_stderr
from bot.port import Limits
from bot.talk.reception import Reception
from bot.tally import Tally
from bot.tasks import ended
from core.store.engine import Store, StoreUnavailableError
from core.store.opening import open_store

if TYPE_CHECKING:
    from aiohttp.web import AppRunner, RouteDef

    from bot.transports.telegram.network import Account, Telegram

log = structlog.get_logger(__name__)

WORKERS_ON_A_SERVER = 8
# On SQLite so many messages share a commit when many come at once; on a server, where each
# transaction waits for its household, every message has its own.
TOGETHER = 8
# While much is going out, more of it is fetched as often as this lets, in seconds.
PAUSE = 0.05
RENEW_EVERY = 60.0
# A poll older than this is no sign of health: a question's half minute, its margins, one retry.
STALE = timedelta(seconds=90)
# The worker thread computes, the loop answers: neither keeps the interpreter for long.
SWITCH_SECONDS = 0.001


def serve() -> int:
    """Serve until SIGTERM or SIGINT; the exit status."""
    log_to_stderr()
    try:
        told = environment.read()
    except SettingsError as error:
        sys.stderr.write(f"{error}\n")
        return 2
    if told.telegram is None:
        sys.stderr.write("No network to serve: set POTSIDE_TELEGRAM_TOKEN.\n")
        return 2
    try:
        store = open_store(told.database)
    except StoreUnavailableError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    try:
        return _run(_serve(told, store))
    finally:
        store.close()


def _run(work: Coroutine[Any, Any, int]) -> int:
    """On uvloop where it is installed, else on asyncio's own loop."""
    sys.setswitchinterval(SWITCH_SECONDS)
    with asyncio.Runner(loop_factory=_new_loop) as runner:
        return runner.run(work)


def _new_loop() -> asyncio.AbstractEventLoop:
    try:
        import uvloop  # noqa: PLC0415 - not on every platform
    except ImportError:
        return asyncio.new_event_loop()
    return uvloop.new_event_loop()


async def _serve(told: Environment, store: Store) -> int:
    from bot.transports.telegram.network import (  # noqa: PLC0415 - 200 ms, when it is served
        Telegram,
        TokenRefusedError,
    )

    if told.telegram is None:
        return 2
    stop = asyncio.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        asyncio.get_running_loop().add_signal_handler(number, stop.set)
    clock, tally = RealClock(), Tally()
    network = Telegram(account(told.telegram, told.allow), clock.now, tally)
    connecting = asyncio.create_task(network.connect())
    await _first(connecting, stop)
    if stop.is_set():
        connecting.cancel()
        return 0
    try:
        await connecting
    except TokenRefusedError:
        sys.stderr.write("Telegram doesn't know this token; potside doctor says more.\n")
        return 1
    try:
        servers = await web_servers(network, tally, clock, told.web, told.health)
    except OSError as error:
        sys.stderr.write(f"An address to listen on can't be had: {error.strerror}\n")
        await network.disconnect()
        return 1
    async with serving(store, clock, network, tally, servers):
        log.info("serving", bot=network.bot.username, by="webhook" if network.route() else "poll")
        await stop.wait()
        log.info("stopping")
    return 0


async def _first(task: asyncio.Task[None], stop: asyncio.Event) -> None:
    stopping = asyncio.create_task(stop.wait())
    await asyncio.wait({task, stopping}, return_when=asyncio.FIRST_COMPLETED)
    stopping.cancel()


def account(told: TelegramSettings, allow: frozenset[str] | None) -> Account:
    """The bot to be, as its settings say."""
    from bot.transports.telegram.network import Account  # noqa: PLC0415 - when it is served
    from bot.transports.telegram.webhook import derived_secret  # noqa: PLC0415 - the same

    secret = derived_secret(told.token) if told.secret is None else told.secret
    return Account(told.token, told.api, told.webhook, secret, allow, Limits())


@dataclass(frozen=True, slots=True)
class Duties:
    """What happens without being asked: what falls due, and the sending of what is due."""

    sweeper: Sweeper
    clock: Clock
    room: Workroom
    courier: Courier
    mail: Mailroom
    alone: bool

    async def share(self) -> None:
        """Among several workers: keep our claims alive, free those of the dead; until cancelled."""
        while not self.alone:
            await asyncio.sleep(RENEW_EVERY)
            try:
                await self.mail.renew(self.courier.rows())
                await self.mail.recover(alone=False)
            except Exception:
                log.exception("claims could not be renewed; trying again")

    async def tick(self) -> None:
        """Do what is due by now, and begin to send it."""
        while await self.room.run(lambda: self.sweeper.sweep(self.clock.now()), LATER):
            pass
        await self.courier.look()

    async def run(self) -> None:
        """Do it at once and every few seconds; send more while more waits; until cancelled."""
        await self._safely(self.tick)
        scheduler = sweeps_on_loop(lambda: self._safely(self.tick))
        try:
            while True:
                await self.courier.hungry.wait()
                await self._safely(self.courier.look)
                await asyncio.sleep(PAUSE)
        finally:
            scheduler.shutdown(wait=False)

    async def _safely(self, work: Callable[[], Awaitable[object]]) -> None:
        try:
            await work()
        except Exception:
            log.exception("a sweep failed; the next one tries again")


@asynccontextmanager
async def serving(
    store: Store,
    clock: Clock,
    network: Telegram,
    tally: Tally,
    servers: Sequence[AppRunner] = (),
    *,
    zone: str | None = None,
) -> AsyncIterator[Duties]:
    """A house open to a connected network: it hears, works, sends; closed in good order.

    `servers` are closed with it. `zone` is that of households founded now, by default the
    machine's.
    """
    alone = store.engine.dialect.name == "sqlite"
    room = Workroom(1 if alone else WORKERS_ON_A_SERVER)
    mail = Mailroom(store, room, network.network, clock.now)
    courier = Courier(network.port, mail, clock.now, tally)
    here = zone or settings.machine_zone()
    reception = Reception(store, here, claims=clock.now, network=network.network)
    duties = Duties(Sweeper(store), clock, room, courier, mail, alone)
    clerk = Clerk(
        store,
        reception,
        room,
        clock.now,
        lambda held: courier.post(held.parcel, held.reply),
        tally,
        hands=2 if alone else WORKERS_ON_A_SERVER,
        together=TOGETHER if alone else 1,
    )
    await mail.recover(alone=alone)
    await clerk.attend_old()
    at_work = [asyncio.create_task(work) for work in (duties.run(), duties.share())]
    await network.listen(clerk)
    try:
        yield duties
    finally:
        await network.stop()
        await ended(at_work)
        await courier.close()
        await mail.close()
        await network.disconnect()
        for server in servers:
            await server.cleanup()
        await asyncio.to_thread(room.close)


async def web_servers(
    network: Telegram, tally: Tally, clock: Clock, web: Listen | None, health: Listen | None
) -> list[AppRunner]:
    """The servers for the webhook and for health; one, when both have the same address."""
    from bot.health import open_server, routes  # noqa: PLC0415 - only when it is served

    wanted: dict[Listen, list[RouteDef]] = {}
    hook = network.route()
    if web is not None and hook is not None:
        wanted.setdefault(web, []).append(hook)
    if health is not None:
        pages = routes(lambda: _state(network, clock), tally)
        wanted.setdefault(health, []).extend(pages)
    return [await open_server(listen, handlers) for listen, handlers in wanted.items()]


def _state(network: Telegram, clock: Clock) -> tuple[bool, dict[str, object]]:
    """Whether Telegram is heard, and the age of the last poll in seconds."""
    poller = network.poller
    if poller is None:
        return True, {"telegram": "webhook"}
    age = None if poller.last_poll is None else clock.now() - poller.last_poll
    well = age is not None and age < STALE and not poller.conflict and not poller.refused
    return well, {
        "telegram": "poll",
        "last_poll_age_seconds": None if age is None else round(age.total_seconds(), 1),
        "second_poller": poller.conflict,
        "token_refused": poller.refused,
    }
