"""`potside doctor`: looks at everything that serving needs, and says in words what is wrong."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import AsyncIterator, Iterator
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from bot import environment
from bot.environment import Environment, SettingsError
from bot.finding import BAD, GOOD, NOTE, Finding
from core.store import aside, forecasts, postbox, sensors
from core.store.engine import StoreUnavailableError, Transaction
from core.store.opening import open_store

if TYPE_CHECKING:
    from telegram import Bot

# A second poller asks again well within this; our own server leaves us this much room.
LISTEN_SECONDS = 3
NETWORKS = ("telegram", "matrix")


def examine() -> int:
    """Print what was found; 0 when nothing is wrong, else 1."""
    try:
        told = environment.read()
    except SettingsError as error:
        return _show([Finding(BAD, str(error))])
    findings = list(_database(told))
    for network in (_telegram(told), _matrix(told)):
        findings += asyncio.run(_all(network))
    return _show(findings)


def _show(findings: list[Finding]) -> int:
    for one in findings:
        sys.stdout.write(f"{one.state:<5}  {one.text}\n")
    return 1 if any(one.state == BAD for one in findings) else 0


async def _all(findings: AsyncIterator[Finding]) -> list[Finding]:
    return [one async for one in findings]


def _database(told: Environment) -> Iterator[Finding]:
    """Opens, and holds nothing that nobody looks after."""
    try:
        store = open_store(told.database)
    except StoreUnavailableError as error:
        yield Finding(BAD, f"database: {error}")
        return
    with store.read() as tx:
        set_aside = list(_set_aside(tx))
        doubtful = [one for name in NETWORKS for one in postbox.uncertain(tx, name)]
        counts = [(name, postbox.counts(tx, name)) for name in NETWORKS]
        standing = None if told.weather is None else forecasts.standing(tx, told.weather.service)
        others = forecasts.any_allows(tx, told.weather.service if told.weather else "")
        rooms = sensors.standing(tx, datetime.now(UTC) - timedelta(days=1))
    store.close()
    yield Finding(GOOD, f"database: opens ({store.engine.dialect.name})")
    yield from set_aside
    for one in doubtful:
        yield Finding(
            NOTE,
            f"uncertain: {one.kind} {one.row} to chat {one.chat} at {one.at:%Y-%m-%d %H:%M} UTC "
            "may have arrived; it is not sent again",
        )
    for name, found in counts:
        if found:
            shown = ", ".join(f"{number} {state}" for state, number in sorted(found.items()))
            yield Finding(GOOD, f"outbox of {name}: {shown}")
    yield from _weather(told, standing, others)
    yield from _sensors(told, *rooms)


def _set_aside(tx: Transaction) -> Iterator[Finding]:
    """Messages that nobody could work on or say, chats that are gone: the newest of each."""
    kinds = {
        "inbox {row}: a message from {network} {chat} could not be worked on; the log of then "
        "says why": aside.unworked(tx),
        "outbox {row}: {what} to {network} {chat} is not said: refused, without words, or given up "
        "after a day": aside.unsaid(tx),
        "chat {row}: {network} {chat} is gone; {what} messages are parked, its keepers were told "
        "where they could be": aside.gone(tx),
    }
    for words, some in kinds.items():
        for one in some.newest:
            said = words.format(row=one.row, network=one.network, chat=one.chat, what=one.what)
            yield Finding(NOTE, f"{said} ({one.at:%Y-%m-%d %H:%M} UTC)")
        if some.total > len(some.newest):
            kind = words.partition(" ")[0]
            yield Finding(NOTE, f"{kind}: {some.total - len(some.newest)} older ones like these")


def _weather(
    told: Environment, standing: forecasts.Standing | None, others: int
) -> Iterator[Finding]:
    """Which service is asked, for how many areas, and how it answers."""
    if told.weather is None or standing is None:
        yield Finding(NOTE, "weather: POTSIDE_WEATHER is off; nights are told with /low")
    else:
        name = told.weather.service.value
        oldest = "none yet" if standing.oldest is None else f"{standing.oldest:%Y-%m-%d %H:%M} UTC"
        text = f"weather: {name} is asked for {standing.areas} areas, the oldest answer {oldest}"
        yield Finding(GOOD, text)
        if standing.failing:
            why = f"{standing.failing} areas have no fresh forecast: {standing.trouble}"
            yield Finding(NOTE, f"weather: {why}")
    if others:
        yield Finding(
            NOTE,
            f"weather: {others} households allowed another service than is set up now; "
            "nothing is told to this one until they say yes again",
        )


def _sensors(told: Environment, there: int, heard: int) -> Iterator[Finding]:
    """Whether rooms' sensors can send, and how many do."""
    if told.web is not None and told.public:
        text = f"sensors: {there} may send to {told.public}/sensor/..., {heard} did in the last day"
        yield Finding(GOOD, text)
    elif there or told.public:
        yield Finding(
            NOTE,
            f"sensors: {there} are known, but none can send: that needs both POTSIDE_WEB and "
            "POTSIDE_PUBLIC_URL",
        )


async def _matrix(told: Environment) -> AsyncIterator[Finding]:
    """The home server, our login, the keys of our device."""
    if told.matrix is None:
        yield Finding(NOTE, "matrix: no POTSIDE_MATRIX_HOMESERVER, so not served")
        return
    from bot.transports.matrix import checkup  # noqa: PLC0415 - only when it is looked at
    from bot.transports.matrix.account import Account  # noqa: PLC0415 - the same

    async for one in checkup.examine(Account.of(told.matrix, told.allow)):
        yield one


async def _telegram(told: Environment) -> AsyncIterator[Finding]:
    """The token, the way updates come, privacy mode, a second poller."""
    if told.telegram is None:
        yield Finding(NOTE, "telegram: no POTSIDE_TELEGRAM_TOKEN, so not served")
        return
    from telegram import Bot
    from telegram.error import InvalidToken, TelegramError

    from bot.transports.telegram.request import AiohttpRequest  # noqa: PLC0415 - the same

    base = told.telegram.api.rstrip("/")
    bot = Bot(
        told.telegram.token,
        base_url=f"{base}/bot",
        request=AiohttpRequest(4),
        get_updates_request=AiohttpRequest(1),
    )
    try:
        await bot.initialize()
        yield Finding(GOOD, f"telegram: the token is @{bot.username}'s")
        yield _privacy(bot)
        async for one in _updates(bot, told.telegram.webhook):
            yield one
    except InvalidToken:
        yield Finding(BAD, "telegram: the token is refused; ask @BotFather for the right one")
    except TelegramError as error:
        yield Finding(BAD, f"telegram: {base} can't be reached: {error.message}")
    finally:
        await bot.shutdown()


def _privacy(bot: Bot) -> Finding:
    if bot.can_read_all_group_messages:
        text = (
            "telegram: privacy mode is off, so Telegram sends us everything said in groups; "
            "we keep only what is meant for us. @BotFather /setprivacy turns it on"
        )
        return Finding(NOTE, text)
    text = (
        "telegram: privacy mode is on; in groups we get commands and replies. "
        "A change counts once the bot is added to a group anew"
    )
    return Finding(GOOD, text)


async def _updates(bot: Bot, wanted: str) -> AsyncIterator[Finding]:
    """How updates come, and whether they come at all."""
    hook = await bot.get_webhook_info()
    if hook.last_error_message:
        yield Finding(BAD, f"telegram: the webhook failed last: {hook.last_error_message}")
    if hook.pending_update_count:
        yield Finding(NOTE, f"telegram: {hook.pending_update_count} updates wait to be fetched")
    if hook.url != wanted:
        shown = hook.url or "none (polling)"
        yield Finding(
            NOTE,
            f"telegram: Telegram knows the webhook {shown}, the settings say "
            f"{wanted or 'none (polling)'}; potside serve sets it when it starts",
        )
    if not hook.url:
        yield await _second_poller(bot)


async def _second_poller(bot: Bot) -> Finding:
    """Polling ourselves for a moment: whoever else polls comes between."""
    from telegram.error import Conflict

    try:
        await bot.get_updates(timeout=LISTEN_SECONDS, limit=1)
    except Conflict:
        return Finding(
            NOTE,
            "telegram: something polls with this token right now; well if that is your one "
            "potside serve, else end the other",
        )
    return Finding(GOOD, "telegram: nobody else polls with this token")
