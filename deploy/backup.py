#!/usr/bin/env python3
"""A whole copy of an SQLite database while programs go on using it, looked over; the newest stay.

    python3 backup.py /var/lib/potside/potside.db /var/backups/potside --keep 14

Standard library only. Exit status 0, or 1 with a sentence on stderr and nothing changed.
"""

from __future__ import annotations

import argparse
import sqlite3
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

NAME = "potside-%Y%m%dT%H%M%SZ.db"


def back_up(database: Path, folder: Path, keep: int, now: datetime) -> Path:
    """Copy a database into a folder, check the copy, and drop all but the newest `keep` copies.

    Raises OSError or sqlite3.Error; then no copy was added and none was dropped.
    """
    if not database.is_file():
        raise FileNotFoundError(f"there is no database at {database}")
    folder.mkdir(parents=True, exist_ok=True)
    copy = folder / now.astimezone(UTC).strftime(NAME)
    unfinished = copy.with_suffix(".part")
    unfinished.unlink(missing_ok=True)
    try:
        with closing(sqlite3.connect(database, timeout=60)) as here:
            here.execute("VACUUM INTO ?", [str(unfinished)])
        _look_over(unfinished)
        unfinished.rename(copy)
    finally:
        unfinished.unlink(missing_ok=True)
    for old in sorted(folder.glob("potside-*.db"))[:-keep]:
        old.unlink()
    return copy


def _look_over(copy: Path) -> None:
    with closing(sqlite3.connect(copy)) as there:
        said = [row[0] for row in there.execute("PRAGMA integrity_check(3)")]
    if said != ["ok"]:
        raise sqlite3.DatabaseError("; ".join(said))


def main(argv: list[str] | None = None) -> int:
    """Do it; the exit status."""
    parser = argparse.ArgumentParser(description="Back up an SQLite database of Potside.")
    parser.add_argument("database", type=Path)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--keep", type=int, default=14, help="so many copies (default 14)")
    options = parser.parse_args(argv)
    if options.keep < 1:
        parser.error("--keep is at least 1")
    try:
        copy = back_up(options.database, options.folder, options.keep, datetime.now(UTC))
    except (OSError, sqlite3.Error) as error:
        sys.stderr.write(f"No backup was made: {error}\n")
        return 1
    sys.stdout.write(f"{copy}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
