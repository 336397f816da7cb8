"""For contributors: `python -m core.store.migrations "what changes"` writes the next revision.

It compares the tables in core/store/tables.py with those that the revisions so far make, in a
database in memory, and writes the difference as a file to be read and put right by hand.
"""

from __future__ import annotations

import sys

from core.store.engine import create
from core.store.migrations.running import revise, upgrade
from core.store.opening import HEAD, MIGRATIONS, alone


def main(arguments: list[str]) -> int:
    """Write the next revision. `arguments` is its title in words."""
    if not arguments:
        sys.stderr.write("Say what the revision changes: python -m core.store.migrations 'words'\n")
        return 2
    with alone(create("sqlite://")) as connection:
        upgrade(connection, HEAD, MIGRATIONS)
        revise(connection, f"{int(HEAD) + 1:04}", " ".join(arguments), MIGRATIONS)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
