"""Reads spans of months as the knowledge files write them: "Mar-Sep", "Sep-May", "May-Jun, Sep"."""

from __future__ import annotations

from functools import cache

_NAMES = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


def _number(name: str) -> int:
    try:
        return _NAMES.index(name.strip().casefold()) + 1
    except ValueError:
        raise ValueError(f"{name.strip()!r} is no month: write Jan, Feb, ... Dec") from None


def _span(text: str) -> frozenset[int]:
    first, dash, last = text.partition("-")
    start = _number(first)
    end = _number(last) if dash else start
    length = (end - start) % 12 + 1  # a span may run over the turn of the year
    return frozenset((start - 1 + step) % 12 + 1 for step in range(length))


@cache
def months(text: str) -> frozenset[int]:
    """Months 1 to 12 named by `text`, northern half of the world. Raises ValueError."""
    return frozenset().union(*map(_span, text.split(",")))
