"""What the Bot API refuses, as the few kinds of trouble that the house knows.

The API names most refusals only in words; the phrases are those of its server's source and of
the reports that people filed.
"""

from __future__ import annotations

from telegram.error import (
    BadRequest,
    ChatMigrated,
    Forbidden,
    InvalidToken,
    TelegramError,
)

from bot.port import (
    DeliveryError,
    GoneError,
    LimitedError,
    MovedError,
    RefusedError,
    UncertainError,
    UnreachedError,
)
from bot.transports.telegram.request import NotReachedError, TooFastError

NOBODY_THERE = (
    "chat not found",
    "user not found",
    "peer_id_invalid",
    "user is deactivated",
    "group chat was deactivated",
    "chat was deleted",
)
NO_RIGHT = ("not enough rights", "no rights to send", "chat_write_forbidden", "chat_restricted")
BAD_MARKUP = ("can't parse entities", "can't parse message text", "can't find end")
NO_SUCH_THREAD = ("message thread not found", "topic_deleted", "topic_closed", "topic_id_invalid")


def says(error: TelegramError, phrases: tuple[str, ...]) -> bool:
    """Whether a refusal is worded like one of these."""
    text = error.message.casefold()
    return any(phrase in text for phrase in phrases)


def typed(error: TelegramError) -> DeliveryError:
    """The house's name for a failure of a send."""
    match error:
        case ChatMigrated():
            return MovedError(str(error.new_chat_id))
        case TooFastError():
            return LimitedError(error.after)
        case NotReachedError() | InvalidToken():
            return UnreachedError(error.message)
        case Forbidden() | BadRequest():
            return _refused(error)
        case _:
            return _unclear(error)


def _refused(error: TelegramError) -> DeliveryError:
    gone = says(error, NOBODY_THERE) or isinstance(error, Forbidden)
    return GoneError() if gone and not says(error, NO_RIGHT) else RefusedError(error.message)


def _unclear(error: TelegramError) -> DeliveryError:
    """Whatever else went wrong may have gone wrong after the message had arrived."""
    too_large = "too large" in error.message.casefold()
    return RefusedError(error.message) if too_large else UncertainError(error.message)
