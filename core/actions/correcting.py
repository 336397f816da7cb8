"""Taking entries back."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection

from core.actions import picturing
from core.journal import ledger, record
from core.journal.events import Arrived, Described, Left
from core.journal.ledger import Entry, Teller
from core.journal.plants import Plant
from core.journal.portrait import Home
from core.store import dialogues

NAMING = (Arrived, Described)
"""What may give a plant its name."""


def take_back(tx: Connection, teller: Teller, home: Home, entries: Sequence[Entry]) -> list[Plant]:
    """Undo entries; the plants they were about, as they stand without them.

    Of a picture that is taken back nothing is left.
    """
    plants = record.take_back(tx, teller, home, entries)
    picturing.drop_taken_back(tx, entries)
    for plant in plants:
        if plant.left_at is not None:
            dialogues.close_about_plant(tx, plant.id, teller.told_at)
    return plants


def undo(tx: Connection, teller: Teller, home: Home, entries: Sequence[Entry]) -> list[Entry]:
    """Take back entries; if they corrected others, those stand again and are given back.

    A plant's coming, name or leaving that was told again stays taken back: its name may be
    another's by now.
    """
    fixes = ledger.corrections(tx, entries)
    before = ledger.taken_by(tx, fixes)
    if any(isinstance(one.body, (*NAMING, Left)) for one in before):
        fixes, before = [], []
    take_back(tx, teller, home, [*entries, *fixes])
    return before


def name_without(entries: Sequence[Entry]) -> str:
    """The name of a plant of which only these entries stand; empty where it would be gone."""
    if any(isinstance(entry.body, Left) for entry in entries):
        return ""
    told = [entry.body.name for entry in entries if isinstance(entry.body, NAMING)]
    return next((name for name in reversed(told) if name), "")


def latest_entry(tx: Connection, household_id: int) -> Entry | None:
    """The newest standing entry of a household, whoever told it."""
    return ledger.latest(tx, household_id)
