"""What many commands share: a plant at the start of the text and a moment somewhere in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from bot.talk.grammar.dates import When, take_when
from bot.talk.grammar.refusal import Unclear
from bot.talk.message import Option, Reply
from bot.talk.naming import Spoken, anywhere, exact, split_plant
from bot.talk.turn import Turn, answer
from core.journal.plants import Plant

# In what these tell, a number on its own is no reading: `fed fern yesterday at 4`.
_NO_READINGS = frozenset("gave drained turn wipe feed scout rinse repot looked".split())


@dataclass(frozen=True, slots=True)
class Told:
    """A plant, when it happened (None: now), what else was said, and the moment's own words."""

    spoken: Spoken
    at: datetime | None
    rest: str
    moment: str = ""

    @property
    def plant(self) -> Plant:
        """The plant that was named."""
        return self.spoken.plant

    @property
    def whole(self) -> str:
        """All that was said after the name: a moment may turn out to be none (`fern is at 3`)."""
        return f"{self.rest} {self.moment}".strip()


def plant_and_time(turn: Turn, text: str, command: str) -> Told | Reply:
    """Take a command's text apart; a Reply asks for what is unclear.

    A plant's whole name goes before a moment, so that a plant may be called Yesterday.
    """
    named = exact(turn, text)
    if named is not None and not _is_moment(turn, named):
        counts = command in _NO_READINGS
        moment = take_when(named.rest, turn.now, turn.who.zone, counts=counts)
        if not isinstance(moment, When):
            return _which_moment(turn, moment, f"/{command} {named.plant.call}:")
        return _told(turn, replace(named, rest=moment.rest), moment)
    moment = moment_in(turn, text)
    if not isinstance(moment, When):
        return _which_moment(turn, moment, f"/{command}")
    when = f" {moment.said}".rstrip()
    found = split_plant(
        turn, moment.rest, lambda name, rest: f"/{command} {name} {rest}{when}".strip()
    )
    return found if isinstance(found, Reply) else _told(turn, found, moment)


def moment_in(turn: Turn, text: str) -> When | Unclear:
    """The moment that a line names, unless its words are a plant's name: `3 june` of June."""
    moment = take_when(text, turn.now, turn.who.zone)
    if not isinstance(moment, When) or moment.at is None or anywhere(turn, moment.rest) is not None:
        return moment
    return moment if anywhere(turn, text) is None else When(None, text)


def _which_moment(turn: Turn, moment: Unclear, start: str) -> Reply:
    """What is unclear about a moment; what may have been meant can be chosen."""
    buttons = tuple(Option(one[:40], f"{start} {one}") for one in moment.meanings)
    return answer(turn.words.refusal(moment.key, moment.args), buttons=buttons)


def _told(turn: Turn, spoken: Spoken, moment: When) -> Told:
    return Told(spoken, moment.at or turn.happened_at, spoken.rest, moment.said)


def _is_moment(turn: Turn, named: Spoken) -> bool:
    """Whether `yesterday fern 3` means the fern, though a plant is called Yesterday."""
    called = take_when(named.plant.call, turn.now, turn.who.zone)
    is_one = isinstance(called, When) and called.at is not None
    return is_one and bool(named.rest) and exact(turn, named.rest) is not None
