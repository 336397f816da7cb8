"""Spans of months as the knowledge files write them."""

from __future__ import annotations

import pytest

from core.knowledge.months import months


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Mar-Sep", {3, 4, 5, 6, 7, 8, 9}),
        ("Nov-Feb", {11, 12, 1, 2}),
        ("Jul", {7}),
        ("May-Jun, Sep-Nov", {5, 6, 9, 10, 11}),
        ("Jan-Dec", set(range(1, 13))),
        ("dec-jan", {12, 1}),
    ],
)
def test_spans(text: str, expected: set[int]) -> None:
    assert months(text) == expected


@pytest.mark.parametrize("text", ["", "spring", "Mar-", "-Mar", "Mar-Sep-Nov", "3-9", "Mars"])
def test_what_is_no_span_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is no month"):
        months(text)
