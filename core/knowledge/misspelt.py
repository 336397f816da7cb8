"""Names with slips of the finger in them: how far off is still that name, and when it is clear.

Counted in single edits: a letter added, left out, changed, or two neighbours swapped.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from core.knowledge.matching import Ask, Match
from core.knowledge.names import squeezed

Sure: TypeAlias = Match | Ask

SHORT = 4  # a lone word this short is never taken for another: "fern" is no "fig"
_LONGEST = 60  # nobody's plant has a longer name; more is a letter, not a name
_MANY = 12  # candidates looked at; the nearest come first
_LOOKS_LIKE = 70.0  # of 100, for names only offered as "did you mean"

# Edits allowed by letters: in a whole name, and in one of its words. ("ice plant" is no
# "air plant", though one word of two is right.) Judged, not published.
_IN_NAME = ((SHORT, 0), (7, 1), (12, 2), (_LONGEST, 3))
_IN_WORD = ((7, 1), (_LONGEST, 2))
_EXACT_WORD = 3  # letters: "air" is neither "ice" nor "hair"
_SURE_LETTERS = 6  # a lone word shorter than this is asked about even when one edit away
_NO_SPACE_LETTERS = 8  # words run together are compared as one from here on


@dataclass(frozen=True, slots=True)
class Misspelling:
    """A name the text may be, how many edits away, and whether it needs no question."""

    sure: Sure
    edits: int
    clear: bool


def _allowed(letters: int, budget: Sequence[tuple[int, int]]) -> int:
    return next((edits for up_to, edits in budget if letters <= up_to), 0)


def _in_word(mine: str, its: str) -> int:
    exact = min(len(mine), len(its)) <= _EXACT_WORD
    return 0 if exact else _allowed(max(len(mine), len(its)), _IN_WORD)


def _edits(key: str, name: str) -> int | None:
    """Edits between two folded names, None when some word of them is too far off."""
    from rapidfuzz.distance import OSA  # noqa: PLC0415 - only slips of the finger need it

    ours, theirs = key.split(), name.split()
    if len(ours) != len(theirs):
        one, other = squeezed(key), squeezed(name)
        near = min(len(one), len(other)) >= _NO_SPACE_LETTERS and OSA.distance(one, other) <= 1
        return 1 if near else None
    total = 0
    for mine, its in zip(ours, theirs, strict=True):
        edits = OSA.distance(mine, its)
        if edits > _in_word(mine, its):
            return None
        total += edits
    return total


def _candidates(key: str, names: Mapping[str, Sure]) -> Iterator[tuple[int, Sure]]:
    from rapidfuzz import process  # noqa: PLC0415 - only slips of the finger need it
    from rapidfuzz.distance import OSA  # noqa: PLC0415

    allowed = _allowed(len(squeezed(key)), _IN_NAME)
    found = process.extract(
        key, names.keys(), scorer=OSA.distance, score_cutoff=allowed + 1, limit=_MANY
    )
    for name, _, _ in found:
        edits = _edits(key, name)
        if edits is not None and edits <= allowed:
            yield edits, names[name]


def _is_clear(key: str, edits: int, runner_up: int | None) -> bool:
    """One name, and no other nearly as near; a short lone word is never clear."""
    if " " not in key and len(key) < _SURE_LETTERS:
        return False
    margin = 1 if edits == 1 else 2
    return runner_up is None or runner_up - edits >= margin


def misspelt(key: str, names: Mapping[str, Sure]) -> tuple[Misspelling, ...]:
    """The names a folded text may be a slip of, nearest first; exactly one when it is clear."""
    if not SHORT < len(squeezed(key)) <= _LONGEST:
        return ()
    nearest: dict[object, tuple[int, Sure]] = {}
    for edits, sure in sorted(_candidates(key, names), key=lambda pair: pair[0]):
        nearest.setdefault(_target(sure), (edits, sure))
    hits = tuple(nearest.values())
    if not hits:
        return ()
    best, first = hits[0]
    if _is_clear(key, best, hits[1][0] if len(hits) > 1 else None):
        return (Misspelling(first, best, clear=True),)
    return tuple(Misspelling(sure, edits, clear=False) for edits, sure in hits)


def _target(sure: Sure) -> object:
    return sure.species.id if isinstance(sure, Match) else ("ask", sure.name)


def look_alikes(key: str, names: Mapping[str, Sure]) -> Iterator[Sure]:
    """Names that share something with the text, best first: to offer, never to take."""
    from rapidfuzz import fuzz, process  # noqa: PLC0415 - only unknown names need it

    if len(key) < SHORT:
        return
    found = process.extract(
        key[:_LONGEST], names.keys(), scorer=fuzz.ratio, score_cutoff=_LOOKS_LIKE, limit=_MANY
    )
    yield from (names[name] for name, _, _ in found)
