"""What was said about a watering: the amount, what ran off, how far it went."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from bot.talk.grammar.quantities import Refusal, Volume, find_volume
from core.care.units import System
from core.journal.events import Poured

EXTENTS = {
    "sip": "sip",
    "little": "sip",
    "bit": "sip",
    "splash": "sip",
    "drop": "sip",
    "half": "half",
    "through": "through",
    "thoroughly": "through",
    "soaked": "through",
    "soak": "through",
    "well": "through",
}
# Small words that change nothing.
FILLERS = frozenset(
    "a an and the it them of water with about around some all more to for on in by got had was "
    "were given just now good only roughly approx approximately ca each drink".split()
)
# Said by buttons: it is meant, however much; it is another watering beside the one under way.
SURE, BESIDES = "sure", "besides"
# It is another watering than the one that somebody else told of.
AGAIN = frozenset({"again", "too", "also"})
# By somebody who didn't tell: the answer to a pot found wetter than it was.
UNSEEN = "unseen"

# The amount right before the words, and nothing of an amount before that one.
_NUMBER = r"[\d¼½¾⅓⅔][\d.,/¼½¾⅓⅔]*"
_RUN_OFF = re.compile(
    rf"(?:and\s+)?((?:{_NUMBER}\s+)?{_NUMBER}\s*[^\W\d_]+(?:\s+[^\W\d_]+)?"
    r"|\b(?:half )?an?\s+[a-z]+)"
    r"\s+(?:of it\s+)?(?:r[au]n[- ]?off|drained|came out)\b",
    re.IGNORECASE,
)
_BARE_NUMBER = re.compile(r"\d{1,5}(?:[.,]\d{1,2})?")


@dataclass(frozen=True, slots=True)
class Given:
    """One watering as told. `number`: an amount without a unit; `strange`: words not known."""

    body: Poured
    volume: Volume | None = None
    number: str = ""
    strange: str = ""
    words: frozenset[str] = field(default_factory=frozenset)

    @property
    def sure(self) -> bool:
        """Meant, however much it is."""
        return SURE in self.words

    @property
    def besides(self) -> bool:
        """Another watering beside the one under way."""
        return BESIDES in self.words

    @property
    def again(self) -> bool:
        """Another watering than somebody else's."""
        return bool(AGAIN & self.words)


def read_given(text: str, units: System) -> Given | Refusal:
    """What a text tells of a watering; never raises."""
    ran = _run_off(text, units)
    if isinstance(ran, Refusal):
        return ran
    run_off, text = ran
    given = find_volume(text, units)
    if isinstance(given, Refusal):
        return given
    left = given.rest if given else text
    words = [word.strip(".,!?;:") for word in left.casefold().split()]
    extent = next((EXTENTS[word] for word in words if word in EXTENTS), "through")
    known = EXTENTS.keys() | FILLERS | AGAIN | {SURE, BESIDES, UNSEEN, ""}
    strange = [word for word in words if word not in known]
    litres = given.value.litres if given else None
    if run_off is not None and litres is not None and run_off > litres:
        return Refusal("gave-run-off-more", {})
    number = strange[0] if len(strange) == 1 and _BARE_NUMBER.fullmatch(strange[0]) else ""
    body = Poured(
        litres=litres,
        run_off_l=run_off,
        way="told",
        extent=extent,
        full=bool(run_off),  # what runs off below had filled the pot first
        unseen=UNSEEN in words,
    )
    volume = given.value if given else None
    return Given(body, volume, number, " ".join(strange), frozenset(words))


def _run_off(text: str, units: System) -> tuple[float | None, str] | Refusal:
    """The litres that ran off, and the text without them."""
    match = _RUN_OFF.search(text)
    if match is None:
        return None, text
    ran = find_volume(match[1], units)
    if ran is None or isinstance(ran, Refusal):
        return Refusal("gave-run-off-how", {})
    return ran.value.litres, f"{text[: match.start()]} {text[match.end() :]}"
