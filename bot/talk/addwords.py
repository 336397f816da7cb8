"""A plant that was just put on the list, in words, and what its line left open."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from bot.talk import portrayal, say
from bot.talk.answers import ANY_KIND, ANY_POT
from bot.talk.commands.addline import Line
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.care.pots import PotUnclearError, resolve
from core.care.potshape import Assumed
from core.journal.plants import Plant
from core.journal.portrait import Portrait, portrait
from core.knowledge.library import UNKNOWN_ID
from core.knowledge.matching import Ask, Choice, Unknown
from core.knowledge.types import Species

MOST_NAMES = 5
MOST_KINDS = 4
MOST_NEAR = 2


@dataclass(slots=True)
class Several:
    """What became of many lines."""

    added: int = 0
    taken: list[str] = field(default_factory=list)
    asking: list[str] = field(default_factory=list)
    strange: list[str] = field(default_factory=list)
    odd_pots: list[str] = field(default_factory=list)
    potless: list[Plant] = field(default_factory=list)
    left_over: list[str] = field(default_factory=list)
    nameless: list[str] = field(default_factory=list)


def introduce(turn: Turn, plant: Plant, line: Line) -> Reply:
    """What was understood, what the plant wants, its dangers, and when to probe it first."""
    seen = portrait(plant.state, turn.home)
    taken, known = not seen.unmeasured, seen.species.id != UNKNOWN_ID
    about = portrayal.about(turn, plant.state, seen.species, seen.pot, taken=taken)
    next_ = (
        turn.words("add-terrarium")
        if line.terrarium
        else portrayal.wants(turn, seen.species, plant.call),
        turn.words("add-apart") if line.bought else "",
        _first_probe(turn, plant, seen),
    )
    lines = [
        turn.words("add-done", name=plant.name, about=about),
        portrayal.danger(turn, seen.species),
        *_troubles(turn, line),
        "" if plant.state.pot or seen.unmeasured or line.terrarium else turn.words("add-no-pot"),
        " ".join(part for part in (next_ if known else reversed(next_)) if part),
    ]
    return answer(*lines, buttons=_next_steps(turn, plant, seen, line))


def _troubles(turn: Turn, line: Line) -> list[str]:
    """What of the line couldn't be taken, said so that it can be mended."""
    troubles = []
    if line.refused is not None:
        troubles.append(turn.words.refusal(line.refused.key, line.refused.args))
    elif line.pot is not None and not _makes_a_pot(line):
        troubles.append(turn.words("add-pot-unclear", said=line.pot.said[:40]))
    if line.left_over:
        left = [one[:30] for one in line.left_over[:MOST_NAMES]]
        troubles.append(turn.words("add-left-over", what=turn.words.both(left)))
    return troubles


def _makes_a_pot(line: Line) -> bool:
    if line.pot is None:
        return False
    try:
        resolve(line.pot)
    except PotUnclearError:
        return False
    return True


def _first_probe(turn: Turn, plant: Plant, seen: Portrait) -> str:
    probe = plant.state.probe
    if probe is None:
        return ""
    day = say.day(turn.words, probe.expected, turn.now, turn.who.zone)
    today = day == turn.words("common-today")
    when = day if today else turn.words("add-by", when=day)
    return turn.words(f"add-first-{portrayal.looked_at(seen)}", when=when)


def _next_steps(turn: Turn, plant: Plant, seen: Portrait, line: Line) -> tuple[Option, ...]:
    steps = [Option(turn.words("add-probe-now"), f"/check {plant.call}")]
    if isinstance(line.species, Unknown):
        near = [_near(turn, plant, one) for one in line.species.nearest[:MOST_NEAR]]
        hidden = Option(ANY_KIND, f"/plant {plant.call} species {{text}}")
        return (*steps, *near, _change(turn, plant), hidden)
    if plant.state.pot is None and not seen.unmeasured:
        hidden = Option(ANY_POT, f"/plant {plant.call} pot {{text}}")
        return (*steps, _change(turn, plant), hidden)
    if not seen.unmeasured and Assumed.DEPTH in seen.pot.assumed:
        steps.append(Option(turn.words("add-shallower"), f"/plant {plant.call} pot shallow"))
        steps.append(Option(turn.words("add-deeper"), f"/plant {plant.call} pot deep"))
    return (*steps, _change(turn, plant))


def _near(turn: Turn, plant: Plant, species: Species) -> Option:
    name = species.common[0] if species.common else species.name
    label = turn.words("add-near", name=name)
    return Option(label[:40], f"/plant {plant.call} species {species.id}")


def _change(turn: Turn, plant: Plant) -> Option:
    return Option(turn.words("add-change"), f"/plant {plant.call} change")


# --- which of several kinds ---------------------------------------------------------------


def which_species(turn: Turn, plant: Plant, line: Line, ask: Ask) -> Reply:
    """On the list already; only which of several plants it is remains to be said."""
    head = turn.words("add-on-the-list", name=plant.name)
    asked = ask_species(turn, plant, ask)
    lines = asked.text.split("\n")
    return answer(f"{head} {lines[0]}", *_troubles(turn, line), *lines[1:], buttons=asked.buttons)


def ask_species(turn: Turn, plant: Plant, ask: Ask) -> Reply:
    """The likeliest as buttons with how to tell them; the others by name, typed."""
    command = f"/plant {plant.call} species"
    hidden = Option(ANY_KIND, f"{command} {{text}}")
    if len(ask.choices) == 1:
        only = ask.choices[0]
        yes = Option(turn.words("add-yes-it-is"), f"{command} {only.species_id}")
        other = Option(turn.words("add-no-other"), command)
        text = turn.words("add-is-it", label=_capital(only.label))
        return answer(text, ask.caution, buttons=(yes, other, hidden))
    buttons = tuple(
        Option(_capital(choice.short)[:40], f"{command} {choice.species_id}")
        for choice in ask.first
    )
    told = "; ".join(_tell_apart(choice) for choice in ask.first)
    rest = [choice.short for choice in ask.rest]
    more = turn.words("add-which-more", more=_listed(turn, rest)) if rest else ""
    return answer(
        turn.words("add-which", kind=ask.name),
        ask.caution,
        turn.words("add-which-told", told=_capital(told)),
        more,
        buttons=(*buttons, hidden),
    )


def _tell_apart(choice: Choice) -> str:
    """`peace lily: glossy leaves`: only the first mark of each, and what is deadly."""
    name, colon, marks = choice.label.partition(":")
    if not colon:
        return choice.label
    bracket = re.search(r"\([^)]*\)", marks)
    first = re.split(r",| \(", marks, maxsplit=1)[0]
    return f"{name}:{first} {bracket[0]}" if bracket else f"{name}:{first}"


def _listed(turn: Turn, names: list[str]) -> str:
    shown = names[:MOST_KINDS]
    more = len(names) - len(shown)
    if not more:
        return turn.words.either(shown)
    return ", ".join([*shown, turn.words("common-more", n=more)])


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


# --- many at once -------------------------------------------------------------------------


def summary(turn: Turn, told: Several) -> Reply:
    """Counted, with what is still open by name."""
    potless = [one.name for one in told.potless if not portrait(one.state, turn.home).unmeasured]
    lines = [
        turn.words("add-several", n=told.added),
        _cut(turn, "add-several-taken", told.taken),
        _cut(turn, "add-several-asking", told.asking),
        _cut(turn, "add-several-strange", told.strange),
        _cut(turn, "add-several-odd-pots", told.odd_pots),
        _cut(turn, "add-several-potless", potless),
        _cut(turn, "add-several-left-over", told.left_over),
        _cut(turn, "add-several-nameless", [one[:20] for one in told.nameless]),
        turn.words("add-several-end") if told.added else "",
    ]
    return answer(*lines)


def _cut(turn: Turn, key: str, names: list[str]) -> str:
    if not names:
        return ""
    shown, more = names[:MOST_NAMES], len(names) - MOST_NAMES
    if more > 0:
        return turn.words(key, n=len(names), names=f"{', '.join(shown)} {_more(turn, more)}")
    return turn.words(key, n=len(names), names=turn.words.both(shown))


def _more(turn: Turn, more: int) -> str:
    return turn.words("common-and-more", n=more)
