"""Pictures as Telegram gives them out: first where one lies, then its bytes, up to a limit."""

from __future__ import annotations

import aiohttp
from telegram import Bot
from telegram.error import BadRequest, Forbidden, TelegramError

from bot.port import DeliveryError, RefusedError, TooLargeError, UnreachedError
from bot.transports.telegram.trouble import says

TOO_BIG = ("file is too big",)
NOT_NOW = ("temporarily unavailable",)
CHUNK = 64 * 1024
# How long to wait for a connection, and for the next bytes, in seconds.
CONNECT, READ = 5.0, 15.0


async def fetch(bot: Bot, ref: str, most: int) -> bytes:
    """The bytes of a file by its id. Raises UnreachedError, TooLargeError, RefusedError."""
    try:
        file = await bot.get_file(ref)
    except TelegramError as error:
        raise _refusal(error) from error
    if file.file_path is None:
        raise UnreachedError("it doesn't say where the file lies")
    if (file.file_size or 0) > most:
        raise TooLargeError(f"{file.file_size} bytes")
    try:
        return await _read(file.file_path, most)
    except (aiohttp.ClientError, TimeoutError, OSError) as error:
        raise UnreachedError(type(error).__name__) from error  # its text would hold the token


def _refusal(error: TelegramError) -> DeliveryError:
    if says(error, TOO_BIG):
        return TooLargeError(error.message)
    if isinstance(error, BadRequest | Forbidden) and not says(error, NOT_NOW):
        return RefusedError(error.message)
    return UnreachedError(error.message)


async def _read(url: str, most: int) -> bytes:
    """The body behind a URL; one that is too long is left where it is."""
    timeout = aiohttp.ClientTimeout(connect=CONNECT, sock_read=READ)
    async with aiohttp.ClientSession(timeout=timeout) as session, session.get(url) as answer:
        if answer.status != 200:
            gone = answer.status in {403, 404, 410}
            raise RefusedError("gone") if gone else UnreachedError(f"status {answer.status}")
        if (answer.content_length or 0) > most:
            raise TooLargeError(f"{answer.content_length} bytes")
        read = bytearray()
        async for chunk in answer.content.iter_chunked(CHUNK):
            read += chunk
            if len(read) > most:
                raise TooLargeError("more bytes than announced")
        return bytes(read)
