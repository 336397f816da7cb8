"""`potside rebuild`: work everything out anew from the journal and print any difference."""

from __future__ import annotations

import sys

from bot import settings
from core.actions.rebuilding import Difference, households, rebuild
from core.store.engine import Store, StoreFailedError, StoreUnavailableError
from core.store.opening import open_store

AGREE, CANNOT, DIFFER = 0, 1, 3


def run(url: str | None, *, write: bool) -> int:
    """Compare what is kept with what the journal says; 0 when they agree, 3 when not."""
    try:
        store = open_store(settings.default_database() if url is None else url, new=False)
    except StoreUnavailableError as error:
        sys.stderr.write(f"{error}\n")
        return CANNOT
    try:
        return _compare(store, write=write)
    except StoreFailedError as error:
        sys.stderr.write(f"The database gave way: {error}.\n")
        return CANNOT
    finally:
        store.close()


def _compare(store: Store, *, write: bool) -> int:
    """Household by household, so that nobody's conversation waits for all of them."""
    with store.read() as tx:
        ids = households(tx)
    found: list[Difference] = []
    for household_id in ids:
        with store.write() if write else store.read() as tx:
            differences = rebuild(tx, household_id, write=write)
        for one in differences:
            sys.stdout.write(f"{one.what}, {one.column}: kept {one.kept}, journal {one.journal}\n")
        found += differences
    sys.stdout.write(_summary(found, write=write))
    left = [one for one in found if not (write and one.heals)]
    return DIFFER if left else AGREE


def _summary(differences: list[Difference], *, write: bool) -> str:
    if not differences:
        return "No difference: what is kept is what the journal says.\n"
    count = f"{len(differences)} {'difference' if len(differences) == 1 else 'differences'}"
    beyond = sum(not one.heals for one in differences)
    tail = f" {beyond} of them cannot be put right here.\n" if beyond else "\n"
    if not write:
        return f"{count}, left as found; --write puts right what it can.{tail}"
    return f"{count}, put right.{tail}" if beyond < len(differences) else f"{count}.{tail}"
