"""Adding up a household's journal again without starting at its first event.

On the way through, what the events came to is remembered every so often, in this process only. A
mark counts only where the events before it are the same ones, which a sum over them tells, and what
follows from them doesn't depend on where one starts; `rebuild` takes no marks.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from core.journal.fold import fold_on
from core.journal.ledger import Entry
from core.journal.portrait import Home
from core.journal.state import PlantState

_EVERY: Final = 128  # events between marks
_KEPT: Final = 8  # newest marks of a household
_HOUSEHOLDS: Final = 64  # that spoke last


@dataclass(frozen=True, slots=True)
class _Mark:
    """After the first `count` events, whose sum is `chain`."""

    count: int
    chain: int
    states: dict[int, PlantState]
    home: Home


_marks: OrderedDict[int, tuple[_Mark, ...]] = OrderedDict()


def fold_again(
    household_id: int, entries: Sequence[Entry], home: Home
) -> tuple[dict[int, PlantState], Home]:
    """The same as `fold_household` of these events, begun at the newest mark that still counts."""
    chains = _chains(entries, home)
    marks = [mark for mark in _marks.pop(household_id, ()) if _counts(mark, chains)]
    states: dict[int, PlantState] = {}
    home, done = replace(home, house=None), 0
    if marks:
        states, home, done = dict(marks[-1].states), marks[-1].home, marks[-1].count
    for end in (*range(done - done % _EVERY + _EVERY, len(entries), _EVERY), len(entries)):
        home = fold_on(states, entries[done:end], home)
        done = end
        if end % _EVERY == 0 and end:
            marks.append(_Mark(end, chains[end // _EVERY], dict(states), home))
    _remember(household_id, marks)
    return states, home


def _chains(entries: Sequence[Entry], home: Home) -> list[int]:
    """Sums over the first 0, 128, 256, ... events and what they were judged by."""
    chain = hash((home.hemisphere, home.rooms))
    found = [chain]
    for count, entry in enumerate(entries, start=1):
        chain = hash((chain, entry))
        if count % _EVERY == 0:
            found.append(chain)
    return found


def _counts(mark: _Mark, chains: Sequence[int]) -> bool:
    place = mark.count // _EVERY
    return place < len(chains) and chains[place] == mark.chain


def _remember(household_id: int, marks: Sequence[_Mark]) -> None:
    _marks[household_id] = tuple(marks[-_KEPT:])
    while len(_marks) > _HOUSEHOLDS:
        _marks.popitem(last=False)
