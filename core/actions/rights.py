"""Keeper, member, sitter, and what each may do; docs/guide.md has it as a table.

A sitter looks after the plants between two dates and changes neither the list nor the household.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from enum import StrEnum

from core.store.people import GONE, KEEPER, MEMBER, SITTER, Present


class Right(StrEnum):
    """What may need a part of some weight."""

    CARE = "care"  # see, probe, pour, tend, hand over
    ARRANGE = "arrange"  # the list of plants, what they are, the household's ways
    GOVERN = "govern"  # invite, give parts, send away, name, forget


_ALLOWED: Mapping[str, frozenset[Right]] = {
    KEEPER: frozenset(Right),
    MEMBER: frozenset({Right.CARE, Right.ARRANGE}),
    SITTER: frozenset({Right.CARE}),
    GONE: frozenset(),
}
# Kinds of event that change the list of plants or what a plant is.
ARRANGING = frozenset({"arrived", "described", "left"})


class Standing(StrEnum):
    """Whether somebody may act at all just now."""

    IN = "in"
    SENT_AWAY = "sent-away"
    NOT_YET = "not-yet"
    OVER = "over"


def standing(who: Present, now: datetime) -> Standing:
    """Whether somebody may act now: a sitter only within their time."""
    if who.role == GONE:
        return Standing.SENT_AWAY
    if who.role == SITTER and who.since is not None and now < who.since:
        return Standing.NOT_YET
    if who.role == SITTER and who.until is not None and now >= who.until:
        return Standing.OVER
    return Standing.IN


def may(who: Present, right: Right) -> bool:
    """Whether somebody's part gives them a right."""
    return right in _ALLOWED.get(who.role, frozenset())
