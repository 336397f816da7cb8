"""The bots that the Telegram bench measures, each as a program: MODE BASE TOKEN [URL] [OVERALL].

`plain` echoes as python-telegram-bot comes, `aiohttp` with an aiohttp request class and 64 at
once, `potside` is the real thing on a database, with limits of OVERALL messages a second.
"""

from __future__ import annotations

import asyncio
import sys
from typing import Any

from telegram import Update
from telegram.ext import Application, ApplicationBuilder, MessageHandler, filters

from bot.clock import RealClock
from bot.port import Limits
from bot.serving import all_loaded, run, serving
from bot.tally import Tally
from bot.transports.telegram.network import Account, Telegram
from bot.transports.telegram.request import AiohttpRequest
from core.store.opening import open_store


async def _echo(update: Update, _context: Any) -> None:
    if update.message is not None:
        await update.message.reply_text(f"heard {update.message.text}")


def echo(base: str, token: str, *, aiohttp: bool) -> None:
    """A bare bot that says again what it hears."""
    builder = ApplicationBuilder().token(token).base_url(f"{base}/bot")
    if aiohttp:
        builder = builder.request(AiohttpRequest(64)).get_updates_request(AiohttpRequest(2))
        builder = builder.concurrent_updates(64)
    app: Application[Any, Any, Any, Any, Any, Any] = builder.build()
    app.add_handler(MessageHandler(filters.TEXT, _echo))
    app.run_polling()


async def potside(base: str, token: str, url: str, overall: float) -> None:
    """Ours, until it is ended."""
    store = open_store(url)
    limits = Limits(overall, per_second=1e6, burst=1_000_000, group_per_minute=1_000_000)
    tally = Tally()
    network = Telegram(Account(token, base, limits=limits), RealClock().now, tally)
    await network.connect()
    async with serving(store, RealClock(), [network], tally, zone="Europe/Berlin"):
        all_loaded()
        await asyncio.Event().wait()


def main() -> None:
    mode, base, token, *more = sys.argv[1:]
    if mode == "potside":
        run(potside(base, token, more[0], float(more[1])))
    else:
        echo(base, token, aiohttp=mode == "aiohttp")


if __name__ == "__main__":
    main()
