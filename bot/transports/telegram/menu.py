"""What Telegram shows beside the conversation: the menu of commands and what the bot is for."""

from __future__ import annotations

import structlog
from telegram import (
    Bot,
    BotCommand,
    BotCommandScope,
    BotCommandScopeAllGroupChats,
    BotCommandScopeAllPrivateChats,
)
from telegram.error import TelegramError

from bot.talk.catalogue import Catalogue, languages
from bot.talk.registry import COMMANDS

log = structlog.get_logger(__name__)

FIRST = "en"
# In a group the menu is shared by all, so it holds what is done with the plants.
NOT_IN_GROUPS = frozenset({"start", "settings"})


async def dress(bot: Bot) -> None:
    """Bring menus and descriptions up to date, in every language; failing is no reason to stop."""
    try:
        for language in languages():
            words = Catalogue(language)
            code = None if language == FIRST else language
            await _menus(bot, words, code)
            await _descriptions(bot, words, code)
    except TelegramError as error:
        log.warning("the menus could not be set", reason=error.message)


async def _menus(bot: Bot, words: Catalogue, code: str | None) -> None:
    every = [
        BotCommand(name, words(f"menu-{name}")) for name in COMMANDS if words.has(f"menu-{name}")
    ]
    in_groups = [one for one in every if one.command not in NOT_IN_GROUPS]
    scopes: list[tuple[BotCommandScope, list[BotCommand]]] = [
        (BotCommandScopeAllPrivateChats(), every),
        (BotCommandScopeAllGroupChats(), in_groups),
    ]
    for scope, wanted in scopes:
        if list(await bot.get_my_commands(scope, code)) != wanted:
            await bot.set_my_commands(wanted, scope, code)


async def _descriptions(bot: Bot, words: Catalogue, code: str | None) -> None:
    long, short = words("menu-about-bot"), words("menu-about-bot-short")
    if (await bot.get_my_description(code)).description != long:
        await bot.set_my_description(long, code)
    if (await bot.get_my_short_description(code)).short_description != short:
        await bot.set_my_short_description(short, code)
