"""Names said in part or misspelt, against the names a household knows."""

from __future__ import annotations

import re
from collections.abc import Iterable

from core.journal.plants import Named

# Up to five letters one slip of the fingers, from six on two; a slip is a letter too many, too
# few, another, or two that changed places. Under four letters a slip makes another word.
SHORTEST_FUZZY = 4
LONG_FROM = 6
MOST_OFFERED = 3
# Words that are no plant's name misspelt, whatever names there are.
COMMON = frozenset(
    "all and any are can did does dont for good has have how ill its live morning not now off our "
    "should some that the them they this was we were what when where who why will with would you "
    "your".split()
)


def begins(spoken: str, known: list[Named]) -> list[Named]:
    """Names that contain the spoken words from the start of a word, else those a slip away.

    Numbers are readings as soon as a name is only hinted at, so they count only as whole words.
    """
    parts = spoken.split()
    if not parts or all(part.isdigit() for part in parts):
        return []
    in_order = _in_order(parts)
    partly = [one for one in known if in_order.search(one.key)]
    return partly or _slipped(spoken, known)


def nearest(spoken: str, known: list[Named]) -> list[Named]:
    """Names that look a little like what was said: fit to be offered, never to be taken."""
    if len(spoken) < SHORTEST_FUZZY - 1 or spoken.isdigit() or spoken in COMMON:
        return []
    from rapidfuzz import fuzz, process  # noqa: PLC0415 - only for misspelt names

    keys = [one.key for one in known]
    hits = process.extract(spoken, keys, scorer=fuzz.ratio, score_cutoff=60, limit=MOST_OFFERED)
    return [known[index] for _, _, index in hits]


def slipped(spoken: str, words: Iterable[str]) -> str | None:
    """The one word that a slip of the fingers made another of: `watred`, `wattered`."""
    if len(spoken) < LONG_FROM - 1:
        return None
    from rapidfuzz import process  # noqa: PLC0415 - only for misspelt words
    from rapidfuzz.distance import OSA  # noqa: PLC0415

    long = [one for one in words if len(one) >= LONG_FROM - 1]
    near = [one for one, _, _ in process.extract(spoken, long, scorer=OSA.distance, score_cutoff=1)]
    near = [one for one in near if one[-1] == spoken[-1]] or near  # `waterd` was done, not begun
    return near[0] if len(near) == 1 else None


def _in_order(parts: list[str]) -> re.Pattern[str]:
    """Names in which every spoken word begins a word, in order; a number is a whole one."""
    words = (rf"{part}(?= |$)" if part.isdigit() else re.escape(part) for part in parts)
    return re.compile("(?:^| )" + ".* ".join(words))


def _digits(text: str) -> str:
    return "".join(char for char in text if char.isdigit())


def _slipped(spoken: str, known: list[Named]) -> list[Named]:
    if len(spoken) < SHORTEST_FUZZY:
        return []
    from rapidfuzz import process  # noqa: PLC0415 - only for misspelt names
    from rapidfuzz.distance import OSA  # noqa: PLC0415

    most = 1 if len(spoken) < LONG_FROM else 2
    number = _digits(spoken)
    known = [one for one in known if _digits(one.key) == number]  # a number is no slip
    keys = [one.key for one in known]
    near = process.extract(spoken, keys, scorer=OSA.distance, score_cutoff=most, limit=None)
    return [known[index] for _, distance, index in near if distance == near[0][1]]
