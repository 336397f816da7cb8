"""Adding up from a mark gives what adding up from the first event gives."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from core.care.potsaid import PotSaid
from core.care.reading import Found, Reading
from core.care.season import Hemisphere
from core.journal import fold, marks
from core.journal.drying import Step
from core.journal.events import Arrived, Body, Checked, Poured
from core.journal.ledger import Entry
from core.journal.portrait import Home
from core.journal.state import PlantState

BEGIN = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
POT = PotSaid(said="15 cm pot", top_m=0.15)
BODIES: tuple[Body, ...] = (
    Poured(0.4),
    Checked(Found((Reading(7.0),))),
    Checked(Found((Reading(5.0), Reading(4.0)))),
    Checked(Found((Reading(4.0),))),
)


def _journal(count: int) -> list[Entry]:
    """Three plants by turns, an event every eight hours."""
    arrived = [
        _entry(number, number, Arrived(f"P{number}", "epipremnum-aureum", pot=POT))
        for number in (1, 2, 3)
    ]
    told = [_entry(k, k % 3 + 1, BODIES[k // 3 % len(BODIES)]) for k in range(4, count)]
    return arrived + told


def _entry(number: int, plant: int, body: Body) -> Entry:
    at = BEGIN + number * timedelta(hours=8)
    return Entry(number, plant, 7, at, at, number, body)


def _both(entries: list[Entry], home: Home) -> dict[int, PlantState]:
    """The states, after seeing that both ways give the same."""
    again = marks.fold_again(1, entries, home)
    assert again == fold.fold_household(entries, home)
    return again[0]


def test_any_change_of_the_journal_counts() -> None:
    """At the end, in the middle, before every mark; and the other half of the world."""
    entries, home = _journal(270), Home()
    first = _both(entries, home)
    assert _both(entries[:-1], home) != first
    assert _both(entries[:200] + entries[201:], home) != first
    assert _both(entries[:5] + entries[6:], Home(Hemisphere.SOUTH)) != first
    assert _both(entries[:3], home) != first


def test_only_what_comes_after_the_mark_is_read_again(monkeypatch: pytest.MonkeyPatch) -> None:
    entries, home = _journal(270), Home()
    marks.fold_again(1, entries, home)
    seen: list[Entry] = []
    plain = fold.fold

    def counted(state: PlantState, entry: Entry, home: Home) -> Step:
        seen.append(entry)
        return plain(state, entry, home)

    monkeypatch.setattr(fold, "fold", counted)
    marks.fold_again(1, entries[:-1], home)
    assert len(seen) == len(entries) - 1 - 256
