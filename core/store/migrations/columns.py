"""Column types that revisions share, under names of our own so that old revisions stay true."""

from __future__ import annotations

from sqlmodel import UTCDateTime


def moment() -> UTCDateTime:
    """An aware time, kept in UTC: what a plain `datetime` in a table is.

    Should SQLModel ever change its type, the old one moves here. A bare `sa.DateTime` would
    make the same column but, in a step that copies rows, lose the offset on SQLite.
    """
    return UTCDateTime()
