"""`potside serve`: the networks named in the environment, on one house, until told to stop."""

from __future__ import annotations

import asyncio
import gc
import signal
import sys
from collections.abc import AsyncIterator, Awaitable, Callable, Coroutine, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

import structlog

from bot import environment, settings
from bot.clock import Clock, RealClock
from bot.duty.branch import WORKERS_ON_A_SERVER, Branch
from bot.duty.schedule import sweeps_on_loop
from bot.duty.sharing import Lease, Sharing
from bot.duty.sweep import Sweeper
from bot.duty.workroom import LATER, Workroom
from bot.environment import (
    Environment,
    Listen,
    SettingsError,
    TelegramSettings,
    WeatherSettings,
)
from bot.logs import log_to_stderr
from bot.port import Limits, Network
from bot.studio.studio import STUDIO
from bot.talk.turn import Means
from bot.tally import Tally
from bot.tasks import ended
from core.store.engine import Store, StoreFailedError, StoreUnavailableError
from core.store.opening import open_store

if TYPE_CHECKING:
    from aiohttp.web import AppRunner, RouteDef

    from bot.transports.telegram.network import Account

log = structlog.get_logger(__name__)

Result = TypeVar("Result")

# The worker thread computes, the loop answers: neither keeps the interpreter for long.
SWITCH_SECONDS = 0.001
# After so many new objects the collector looks for circles among them.
LOOKED_FOR = 20_000


def serve() -> int:
    """Serve until SIGTERM or SIGINT; the exit status."""
    log_to_stderr()
    try:
        told = environment.read()
    except SettingsError as error:
        sys.stderr.write(f"{error}\n")
        return 2
    if told.telegram is None and told.matrix is None:
        sys.stderr.write(
            "No network to serve: set POTSIDE_TELEGRAM_TOKEN or POTSIDE_MATRIX_HOMESERVER.\n"
        )
        return 2
    try:
        store = open_store(told.database)
    except StoreUnavailableError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    try:
        return run(_serve(told, store))
    finally:
        store.close()


def run(work: Coroutine[Any, Any, Result]) -> Result:
    """Run what serves: on uvloop where it is installed, else on asyncio's own loop."""
    sys.setswitchinterval(SWITCH_SECONDS)
    with asyncio.Runner(loop_factory=_new_loop) as runner:
        return runner.run(work)


def all_loaded() -> None:
    """Say that what is in memory stays there, as code and tables of a program do.

    The collector stops everybody while it looks through all that there is, for over 100 ms here;
    after this it looks only at what came later, and less often: a message makes thousands of
    objects, hardly any of them in circles.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(LOOKED_FOR)


def _new_loop() -> asyncio.AbstractEventLoop:
    try:
        import uvloop  # noqa: PLC0415 - not on every platform
    except ImportError:
        return asyncio.new_event_loop()
    return uvloop.new_event_loop()


async def _serve(told: Environment, store: Store) -> int:
    stop = asyncio.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        asyncio.get_running_loop().add_signal_handler(number, stop.set)
    clock, tally = RealClock(), Tally()
    networks, room = the_networks(told, clock, tally), workroom(store)
    at, doors = sensor_doors(told, store, room, clock, tally)
    try:
        servers = await web_servers(networks, tally, told.web, told.health, doors)
    except OSError as error:
        sys.stderr.write(f"An address to listen on can't be had: {error.strerror}\n")
        room.close()
        return 1
    house = serving(
        store,
        clock,
        networks,
        tally,
        servers,
        wait=False,
        weather=told.weather,
        sensors=at,
        room=room,
    )
    async with house as duties:
        refused = await stopped(stop, duties)
        if refused:
            sys.stderr.write("".join(f"{one}\n" for one in refused))
            return 1
        log.info("stopping")
    await asyncio.to_thread(STUDIO.end)
    return 0


async def stopped(stop: asyncio.Event, duties: Duties) -> list[str]:
    """Wait until told to stop, or until every network has refused us: then, why each did.

    Whenever one is heard, which may be long before another, what it needed is loaded.
    """
    stopping = asyncio.create_task(stop.wait())
    waiting: set[asyncio.Task[Any]] = {stopping, *duties.opening}
    while True:
        _, waiting = await asyncio.wait(waiting, return_when=asyncio.FIRST_COMPLETED)
        if stopping.done():
            return []
        refused = [one.refused for one in duties.branches if one.refused]
        if len(refused) == len(duties.branches):
            await ended([stopping])
            return refused
        all_loaded()


def workroom(store: Store) -> Workroom:
    """As many threads as the database takes writers."""
    return Workroom(1 if store.engine.dialect.name == "sqlite" else WORKERS_ON_A_SERVER)


def sensor_doors(
    told: Environment, store: Store, room: Workroom, clock: Clock, tally: Tally
) -> tuple[str, list[RouteDef]]:
    """Where rooms' sensors send, up to their secret, and the route for it; neither if nowhere."""
    if told.web is None or not told.public:
        return "", []
    from bot.duty.sensors import PATH, route  # noqa: PLC0415 - only where sensors can send

    return f"{told.public}{PATH}", [route(store, room, clock.now, tally)]


def the_networks(told: Environment, clock: Clock, tally: Tally) -> list[Network]:
    """The networks that the settings name, not connected yet."""
    networks: list[Network] = []
    if told.telegram is not None:
        from bot.transports.telegram.network import Telegram  # noqa: PLC0415 - 200 ms, when served

        networks.append(Telegram(account(told.telegram, told.allow), clock.now, tally))
    if told.matrix is not None:
        from bot.transports.matrix.account import Account as OnMatrix  # noqa: PLC0415 - the same
        from bot.transports.matrix.network import Matrix  # noqa: PLC0415 - the same

        networks.append(Matrix(OnMatrix.of(told.matrix, told.allow), clock.now, tally))
    return networks


def account(told: TelegramSettings, allow: frozenset[str] | None) -> Account:
    """The bot to be on Telegram, as its settings say."""
    from bot.transports.telegram.network import Account  # noqa: PLC0415 - when it is served
    from bot.transports.telegram.webhook import derived_secret  # noqa: PLC0415 - the same

    secret = derived_secret(told.token) if told.secret is None else told.secret
    return Account(told.token, told.api, told.webhook, secret, allow, Limits())


@dataclass(frozen=True, slots=True)
class Duties:
    """What happens without being asked: what falls due, and the sending of what is due.

    Each of `opening` is done when its network is heard or has refused us.
    """

    sweeper: Sweeper
    clock: Clock
    room: Workroom
    branches: Sequence[Branch]
    opening: Sequence[asyncio.Task[None]]

    async def tick(self) -> None:
        """Do what is due by now, and begin to send it while more is done."""
        found = 1
        while found:
            found = await self.room.run(lambda: self.sweeper.sweep(self.clock.now()), LATER)
            for branch in self.branches:
                await branch.look()

    async def run(self) -> None:
        """Do it at once and every few seconds; until cancelled."""
        await self._safely(self.tick)
        scheduler = sweeps_on_loop(lambda: self._safely(self.tick))
        try:
            await asyncio.Event().wait()
        finally:
            scheduler.shutdown(wait=False)

    async def _safely(self, work: Callable[[], Awaitable[object]]) -> None:
        try:
            await work()
        except StoreFailedError as error:  # as long as it lasts, and a full disk is full of logs
            log.warning("the database gives way; trying again soon", reason=str(error))
        except Exception:
            log.exception("a duty was not done; the next time tries again")


@asynccontextmanager
async def serving(
    store: Store,
    clock: Clock,
    networks: Sequence[Network],
    tally: Tally,
    servers: Sequence[AppRunner] = (),
    *,
    zone: str | None = None,
    wait: bool = True,
    weather: WeatherSettings | None = None,
    lease: Lease | None = None,
    sensors: str = "",
    room: Workroom | None = None,
) -> AsyncIterator[Duties]:
    """A house open to its networks: it hears, works, sends; closed in good order.

    `servers` are closed with it. `zone` is that of households founded now, by default the
    machine's. With `wait`, it is open once every network is heard. `weather` is which service
    households may let us ask, `sensors` where their sensors send, `lease` how workers on one server
    share; `room` is closed with the house.
    """
    room = room or workroom(store)
    sharing = Sharing(store, room, lease or Lease())
    here = zone or settings.machine_zone()
    means = Means(weather.service if weather is not None else "", sensors)
    branches = [
        Branch(network, store, room, clock, tally, here, sharing, means=means)
        for network in networks
    ]
    opening = [asyncio.create_task(branch.open()) for branch in branches]
    duties = Duties(Sweeper(store), clock, room, branches, opening)
    if wait:
        await asyncio.gather(*opening)
    at_work = [asyncio.create_task(work) for work in (duties.run(), sharing.run(branches))]
    if weather is not None:
        from bot.duty.weather.feed import Feed  # noqa: PLC0415 - only where one is to be asked

        feed = Feed(weather, store, room, clock.now, tally)
        at_work.append(asyncio.create_task(feed.run()))
    try:
        yield duties
    finally:
        await ended([*at_work, *opening])
        await asyncio.gather(*(branch.shut() for branch in branches))
        for server in servers:
            await server.cleanup()
        await sharing.close()
        await asyncio.to_thread(room.close)


async def web_servers(
    networks: Sequence[Network],
    tally: Tally,
    web: Listen | None,
    health: Listen | None,
    doors: Sequence[RouteDef] = (),
) -> list[AppRunner]:
    """The servers for webhook, sensors and health; one, when all have the same address."""
    from bot.health import open_server, routes  # noqa: PLC0415 - only when it is served

    wanted: dict[Listen, list[RouteDef]] = {}
    if web is not None:
        hooks = [hook for network in networks if (hook := network.route()) is not None]
        if hooks or doors:
            wanted.setdefault(web, []).extend([*hooks, *doors])
    if health is not None:
        wanted.setdefault(health, []).extend(routes(networks, tally))
    return [await open_server(listen, handlers) for listen, handlers in wanted.items()]
