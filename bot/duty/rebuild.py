"""`potside rebuild`: work everything out anew from the journal and print any difference."""

from __future__ import annotations

import sys

from bot import settings
from core.actions.rebuilding import Difference, rebuild
from core.store.engine import StoreUnavailableError
from core.store.opening import open_store


def run(url: str | None, *, write: bool) -> int:
    """Compare what is kept with what the journal says; 0 when they agree, 3 when not."""
    try:
        store = open_store(url or settings.default_database())
    except StoreUnavailableError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    with store.write() as tx:
        differences = rebuild(tx, write=write)
    store.close()
    for one in differences:
        sys.stdout.write(_line(one))
    sys.stdout.write(_summary(differences, write=write))
    return 3 if differences and not write else 0


def _line(one: Difference) -> str:
    return (
        f"plant {one.plant_id} ({one.name}), {one.column}: kept {one.kept}, journal {one.journal}\n"
    )


def _summary(differences: list[Difference], *, write: bool) -> str:
    if not differences:
        return "No difference: what is kept is what the journal says.\n"
    plants = len({one.plant_id for one in differences})
    done = "put right" if write else "left as they are; --write puts them right"
    return f"{len(differences)} differences on {plants} plants, {done}.\n"
