"""What `potside doctor` found: one thing that was looked at, and how it is."""

from __future__ import annotations

from dataclasses import dataclass

GOOD, NOTE, BAD = "ok", "note", "WRONG"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was looked at."""

    state: str
    text: str
