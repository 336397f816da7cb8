"""What a home server refuses, by the error codes of the specification (FROM MEMORY)."""

from __future__ import annotations

from datetime import timedelta

import pytest
from nio import ErrorResponse

from bot.port import DeliveryError, GoneError, LimitedError, RefusedError, UnreachedError
from bot.transports.matrix.account import Patience
from bot.transports.matrix.syncing import JITTER, Pauses
from bot.transports.matrix.trouble import typed


@pytest.mark.parametrize(
    ("code", "words", "kind"),
    [
        ("M_FORBIDDEN", "User @potside:birch.test not in room !x:birch.test", GoneError),
        ("M_FORBIDDEN", "You don't have permission to post that to the room.", RefusedError),
        ("M_TOO_LARGE", "event too large", RefusedError),
        ("M_LIMIT_EXCEEDED", "Too Many Requests", LimitedError),
        ("M_UNKNOWN_TOKEN", "Invalid access token", UnreachedError),
        ("M_UNKNOWN", "Internal server error", UnreachedError),
        (None, "unknown error", UnreachedError),
    ],
)
def test_kinds(code: str | None, words: str, kind: type[DeliveryError]) -> None:
    assert type(typed(ErrorResponse(words, code))) is kind


def test_a_limit_is_as_long_as_it_says() -> None:
    told = typed(ErrorResponse("slow down", "M_LIMIT_EXCEEDED", 1603))
    assert isinstance(told, LimitedError)
    assert told.after == timedelta(milliseconds=1603)
    untold = typed(ErrorResponse("slow down", "M_LIMIT_EXCEEDED"))
    assert isinstance(untold, LimitedError)
    assert untold.after > timedelta(0)


def test_pauses_grow_to_a_limit_and_begin_anew() -> None:
    pauses = Pauses(Patience(pause=1, longest_pause=60))
    for expected in (1, 2, 4, 8, 16, 32, 60, 60, 60):
        assert expected * JITTER[0] <= pauses.next() <= expected * JITTER[1]
    pauses.well()
    assert pauses.next() <= JITTER[1]
