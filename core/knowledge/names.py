"""How names of plants are made comparable: what a person types differs in a hundred small ways."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

_APOSTROPHES = re.compile(r"['\u2018\u2019\u02bc`\u00b4]")
_NOT_WORD = re.compile(r"[\W_]+")
_CULTIVAR = re.compile(
    r"(?:^|(?<=\s))(?:'[^']+'|\u2018[^\u2019]+\u2019|\"[^\"]+\"|\u201c[^\u201d]+\u201d)(?=\s|$)"
)
_PARENS = re.compile(r"\(([^)]*)\)")
_LAST_PLANT = re.compile(r"\s+(?:house\s?)?plants?\s*$", re.IGNORECASE)

# Words that don't tell one plant from another: articles, and the small print of botany.
_NOISE = frozenset(
    "a an and cv group hybrid hybrids my our sp species spp ssp subsp the var x".split()
)
_ODD_PLURALS = {"cacti": "cactus", "ficuses": "ficus", "leaves": "leaf"}


def fold(text: str) -> str:
    """The form of a name in which case, accents, apostrophes, hyphens and plurals are ignored.

    Both what is stored and what is typed go through it, so it may mangle as long as it
    mangles alike ("cacti" and "cactus" both become "cactu"). Empty when nothing is left.
    """
    words = _NOT_WORD.sub(" ", _APOSTROPHES.sub("", _plain(text))).split()
    telling = [word for word in words if word not in _NOISE] or words
    return " ".join(_singular(word) for word in telling)


def _plain(text: str) -> str:
    if text.isascii():
        return text.lower()
    apart = unicodedata.normalize("NFKD", text.replace("×", " ").casefold())
    return "".join(char for char in apart if not unicodedata.combining(char))


def _singular(word: str) -> str:
    word = _ODD_PLURALS.get(word, word)
    if len(word) <= 3 or not word.endswith("s") or word.endswith("ss"):  # noqa: PLR2004
        return word
    return word[:-3] + "y" if word.endswith("ies") else word[:-1]


def squeezed(folded: str) -> str:
    """A folded name without spaces: "bostonfern"."""
    return folded.replace(" ", "")


def in_order(folded: str) -> str:
    """A folded name with its words sorted, so that "fern boston" is found."""
    return " ".join(sorted(folded.split()))


def forms(text: str) -> Iterator[str]:
    """The folded names a text may stand for, the most literal first.

    After the whole of it: without the cultivar in quotes, without what stands in brackets,
    what stands in brackets, and without a last word "plant".
    """
    bare = _CULTIVAR.sub(" ", text)
    outside = _PARENS.sub(" ", bare)
    inside = _PARENS.findall(bare)
    whole = (text, bare, outside, *inside, _LAST_PLANT.sub("", outside))
    yield from dict.fromkeys(folded for folded in map(fold, whole) if folded)
