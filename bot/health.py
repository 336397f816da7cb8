"""The pages for whoever watches over a server: /health and /metrics, beside the webhook's route."""

from __future__ import annotations

from collections.abc import Sequence

from aiohttp import web

from bot.environment import Listen
from bot.port import Network
from bot.tally import Tally


def routes(networks: Sequence[Network], tally: Tally) -> list[web.RouteDef]:
    """The two pages: all is well when every network is, and each says what there is to say."""

    def state() -> tuple[bool, dict[str, object]]:
        found = [network.health() for network in networks]
        told = {name: value for one in found for name, value in one.facts.items()}
        return all(one.well for one in found), told

    async def health(_request: web.Request) -> web.Response:
        well, told = state()
        return web.json_response({"well": well, **told}, status=200 if well else 503)

    async def metrics(_request: web.Request) -> web.Response:
        _, told = state()
        tally.gauges |= {name: float(v) for name, v in told.items() if isinstance(v, (int, float))}
        return web.Response(text="\n".join(tally.lines()) + "\n")

    return [web.get("/health", health), web.get("/metrics", metrics)]


async def open_server(listen: Listen, handlers: list[web.RouteDef]) -> web.AppRunner:
    """Serve these routes there; `cleanup()` ends it. Raises OSError when the address is taken."""
    app = web.Application()
    app.add_routes(handlers)
    runner = web.AppRunner(app, access_log=None, shutdown_timeout=5)
    await runner.setup()
    try:
        await web.TCPSite(runner, listen.host, listen.port).start()
    except OSError:
        await runner.cleanup()
        raise
    return runner
