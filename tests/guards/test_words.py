"""Words that have no place in the project: they mean something on one machine or to a few people.

Each pattern is written so that it does not match itself.
"""

from __future__ import annotations

import re

import pytest

OUT_OF_PLACE = {
    "a path of one machine": r"/(?:wor[k]|far[m]|tm[p]|roo[t]|hom[e]/\w+|User[s]/\w+|op[t])/",
    "where packages come from": r"pypi\.or[g]|pythonhoste[d]|index-ur[l]",
    "an unfinished thought": r"\b(?:TOD[O]|FIXM[E]|XX[X]|HAC[K])\b|NotImplemente[d]Error",
    "where we heard it": r"(?i)\b(?:you[t]ube|vide[o]\s|web[i]nar|screen[c]ast)",
}
IN_PLACE = re.compile(r"--no-emit-index-url")


@pytest.mark.parametrize("pattern", OUT_OF_PLACE.values(), ids=OUT_OF_PLACE)
def test_nothing_is_out_of_place(texts: dict[str, str], pattern: str) -> None:
    found = [
        f"{name}:{number}: {line.strip()}"
        for name, text in texts.items()
        for number, line in enumerate(text.splitlines(), start=1)
        if re.search(pattern, IN_PLACE.sub("", line))
    ]
    assert not found


@pytest.mark.parametrize(
    ("kind", "line"),
    [
        ("a path of one machine", "see /tm" + "p/a.txt"),
        ("where packages come from", "pypi" + ".org"),
        ("an unfinished thought", "# TO" + "DO: later"),
        ("where we heard it", "from a You" + "Tube talk"),
    ],
)
def test_patterns_match_what_they_mean(kind: str, line: str) -> None:
    assert re.search(OUT_OF_PLACE[kind], line)
