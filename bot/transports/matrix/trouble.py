"""What a home server refuses, as the few kinds of trouble that the house knows."""

from __future__ import annotations

from datetime import timedelta

from nio import ErrorResponse

from bot.port import DeliveryError, GoneError, LimitedError, RefusedError, UnreachedError

NO_WAIT_NAMED = timedelta(seconds=5)
# The server doesn't know our login, or no longer.
UNKNOWN_TOKEN = frozenset({"M_UNKNOWN_TOKEN", "M_MISSING_TOKEN", "M_USER_DEACTIVATED"})
NEVER = frozenset({"M_TOO_LARGE", "M_BAD_JSON", "M_INVALID_PARAM", "M_NOT_JSON"})
# Synapse's words for "you have no place in that room", beside "you may not speak there".
NOT_IN_ROOM = "not in room"


def wait_of(error: ErrorResponse) -> timedelta | None:
    """How long the server asks us to wait; None when that isn't what it says."""
    if error.status_code != "M_LIMIT_EXCEEDED":
        return None
    wait = error.retry_after_ms
    return timedelta(milliseconds=wait) if wait else NO_WAIT_NAMED


def typed(error: ErrorResponse) -> DeliveryError:
    """The house's name for a failure of a send.

    A send carries an id that makes it harmless to repeat, so whatever isn't final is tried again.
    """
    wait = wait_of(error)
    if wait is not None:
        return LimitedError(wait)
    said = f"{error.status_code or 'no code'}: {error.message}"
    if error.status_code == "M_FORBIDDEN":
        gone = NOT_IN_ROOM in error.message.casefold()
        return GoneError() if gone else RefusedError(said)
    if error.status_code in NEVER:
        return RefusedError(said)
    return UnreachedError(said)
