"""Saying a piece of a reply on Telegram, with what it takes when the server doesn't like it."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping, Sequence
from typing import Any

import structlog
from telegram import (
    Bot,
    InlineKeyboardButton,
    InlineKeyboardMarkup,
    InputFile,
    LinkPreviewOptions,
    ReplyParameters,
    TelegramObject,
)
from telegram.error import BadRequest, TelegramError

from bot.port import Limits, Piece, RefusedError
from bot.talk.files import NoFileError, content
from bot.talk.message import Attachment, Reply
from bot.transports.telegram import cutting, fetching
from bot.transports.telegram.request import call
from bot.transports.telegram.trouble import BAD_MARKUP, NO_SUCH_THREAD, says, typed
from bot.transports.telegram.wording import as_html, plain
from core.store.outbox import Parcel

log = structlog.get_logger(__name__)

NO_PREVIEW = LinkPreviewOptions(is_disabled=True).to_json()
PICTURES = {"image/png", "image/jpeg", "image/webp"}
# So many buttons of this length stand side by side on a phone.
SHORT_LABEL, IN_A_ROW = 12, 3


class TelegramPort:
    """Brings replies to Telegram's chats."""

    network = "telegram"
    fades = True

    def __init__(self, bot: Bot, limits: Limits) -> None:
        self._bot = bot
        self._one = asyncio.Lock()  # pictures are drawn one at a time, and threads are few
        self.limits = limits

    def cut(self, parcel: Parcel, reply: Reply) -> Sequence[Piece]:
        """A reply as the messages it becomes."""
        return cutting.cut(reply, parcel.id)

    async def send(self, chat: str, piece: Piece) -> str | None:
        """Say a piece; without markup, or outside its topic, when the server insists."""
        markup, thread = True, piece.thread
        while True:
            try:
                number = await self._say(chat, piece, markup=markup, thread=thread)
            except BadRequest as error:
                if markup and says(error, BAD_MARKUP):
                    log.warning("our markup was refused", reason=error.message)
                    markup = False
                elif thread is not None and says(error, NO_SUCH_THREAD):
                    thread = None
                else:
                    raise typed(error) from error
            except TelegramError as error:
                raise typed(error) from error
            else:
                return f"{chat} {number}"

    async def take_away(self, said: str) -> None:
        """Take a message's buttons away."""
        chat, _, number = said.partition(" ")
        fields = {"chat_id": chat, "message_id": number}
        try:
            await call(self._bot, "editMessageReplyMarkup", fields)
        except TelegramError as error:
            raise typed(error) from error

    async def fetch(self, ref: str, most: int) -> bytes:
        """The bytes of a picture by its file id."""
        return await fetching.fetch(self._bot, ref, most)

    async def _say(self, chat: str, piece: Piece, *, markup: bool, thread: str | None) -> str:
        text = as_html(piece.text) if markup else plain(piece.text)
        common: dict[str, Any] = {"chat_id": int(chat), "reply_markup": keyboard(piece)}
        if markup:
            common["parse_mode"] = "HTML"
        if thread is not None:
            common["message_thread_id"] = int(thread)
        if piece.answers is not None:
            common["reply_parameters"] = ReplyParameters(
                int(piece.answers), allow_sending_without_reply=True
            )
        if piece.file is None:
            return await self._say_text(text, common)
        data, caption = await self._content(piece.file), text or None
        if piece.file.type in PICTURES:
            shown = await self._bot.send_photo(photo=data, caption=caption, **common)
        else:
            shown = await self._bot.send_document(document=data, caption=caption, **common)
        return str(shown.message_id)

    async def _say_text(self, text: str, common: Mapping[str, Any]) -> str:
        """Most messages are words alone: of what becomes of them only the id is looked at."""
        fields = {"text": text, "link_preview_options": NO_PREVIEW}
        for name, value in common.items():
            if value is not None:
                fields[name] = value.to_json() if isinstance(value, TelegramObject) else str(value)
        said = await call(self._bot, "sendMessage", fields)
        return str(said["message_id"])

    async def _content(self, file: Attachment) -> InputFile:
        try:
            async with self._one:
                data = await asyncio.to_thread(content, file)
        except NoFileError as error:
            raise RefusedError(str(error)) from error
        return InputFile(data, filename=file.name)


def keyboard(piece: Piece) -> InlineKeyboardMarkup | None:
    """The buttons of a piece; short ones stand side by side."""
    if not piece.choices:
        return None
    buttons = [InlineKeyboardButton(one.label, callback_data=one.id) for one in piece.choices]
    if all(len(one.label) <= SHORT_LABEL for one in piece.choices):
        rows = [buttons[n : n + IN_A_ROW] for n in range(0, len(buttons), IN_A_ROW)]
    else:
        rows = [[button] for button in buttons]
    return InlineKeyboardMarkup(rows)
