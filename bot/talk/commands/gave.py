"""/gave: water that was given without being coached. /drained: water taken away."""

from __future__ import annotations

import re

from bot.talk import say
from bot.talk.commands.told import Told, plant_and_time
from bot.talk.grammar.quantities import Refusal, Volume, find_volume
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from core.actions import pouring, upkeep
from core.journal.events import Poured
from core.journal.plants import Plant
from core.journal.portrait import portrait

EXTENTS = {
    "sip": "sip",
    "little": "sip",
    "bit": "sip",
    "splash": "sip",
    "half": "half",
    "through": "through",
    "thoroughly": "through",
    "soaked": "through",
    "well": "through",
}
FILLERS = frozenset("a the it of water with about some all some more".split())
# The amount right before the words, and nothing of an amount before that one.
_NUMBER = r"[\d¼½¾⅓⅔][\d.,/¼½¾⅓⅔]*"
_RUN_OFF = re.compile(
    rf"(?:and\s+)?((?:{_NUMBER}\s+)?{_NUMBER}\s*[^\W\d_]+(?:\s+[^\W\d_]+)?"
    r"|\b(?:half )?an?\s+[a-z]+)"
    r"\s+(?:of it\s+)?(?:r[au]n[- ]?off|drained|came out)\b",
    re.IGNORECASE,
)


def gave(turn: Turn, rest: str) -> Reply:
    """Record a watering: how much, and what ran off, as far as that was said."""
    told = plant_and_time(turn, _names_first(rest), "gave")
    if isinstance(told, Reply):
        return told
    under_way = pouring.open_pour(turn.tx, turn.who.household_id, told.plant.id)
    if under_way is not None and told.at is None:
        return _under_way(turn, told)
    amounts = _amounts(turn, told.rest)
    if isinstance(amounts, Reply):
        return amounts
    given, run_off, extent, strange = amounts
    if strange:
        return answer(turn.words("gave-strange", what=strange[:30], call=told.plant.call))
    body = Poured(
        litres=given.litres if given else None,
        run_off_l=run_off,
        way="told",
        extent=extent or "through",
    )
    plant = upkeep.gave(turn.tx, turn.teller, turn.home, told.plant, body, told.at)
    return _kept(turn, plant, told, given, run_off)


def _names_first(rest: str) -> str:
    """`400 ml to the fern` says the same as `fern 400 ml`."""
    match = re.match(r"^(.*\d.*?)\s+(?:to|for)\s+(.+)$", rest, re.IGNORECASE)
    return f"{match[2]} {match[1]}" if match else rest


def _under_way(turn: Turn, told: Told) -> Reply:
    call = told.plant.call
    return answer(
        turn.words("gave-under-way", plant=told.plant.name),
        buttons=(
            Option(turn.words("gave-part-of-it"), f"/pour {call} poured {told.rest}".strip()),
            Option(turn.words("gave-close-it"), f"/pour {call} cancel"),
        ),
    )


def _amounts(turn: Turn, text: str) -> tuple[Volume | None, float | None, str, str] | Reply:
    run_off: float | None = None
    match = _RUN_OFF.search(text)
    if match:
        ran = find_volume(match[1], turn.settings.units)
        if ran is None or isinstance(ran, Refusal):
            return answer(turn.words("gave-run-off-how"))
        run_off, text = ran.value.litres, f"{text[: match.start()]} {text[match.end() :]}"
    given = find_volume(text, turn.settings.units)
    if isinstance(given, Refusal):
        return answer(turn.words.refusal(given.key, given.args))
    left = given.rest if given else text
    words = [word.strip(".,!") for word in left.casefold().split()]
    extent = next((EXTENTS[word] for word in words if word in EXTENTS), "")
    strange = [word for word in words if word and word not in EXTENTS and word not in FILLERS]
    if run_off is not None and given is not None and run_off > given.value.litres:
        return answer(turn.words("gave-run-off-more"))
    return (given.value if given else None), run_off, extent, " ".join(strange)


def _kept(
    turn: Turn, plant: Plant, told: Told, given: Volume | None, run_off: float | None
) -> Reply:
    words = turn.words
    amount = say.litres(words, given.litres, turn.settings.units) if given else "none"
    when = say.ago(words, told.at, turn.now, turn.who.zone) if told.at else "none"
    lines = [words("gave-kept", plant=plant.name, amount=amount, when=when)]
    lines += [words(f"gave-took-{note.value}") for note in (given.notes if given else ())]
    if run_off is not None:
        lines.append(words("gave-ran-off", amount=say.plain_litres(run_off)))
    lines.append(_more_than_half(turn, plant, given))
    lines.append(words("pour-saucer-soon") if told.at is None else "")
    probe = plant.state.probe
    if probe is not None:
        when = say.on_day(words, probe.expected, turn.now, turn.who.zone)
        lines.append(words("plant-next-probe", when=when))
    return answer(*lines)


def _more_than_half(turn: Turn, plant: Plant, given: Volume | None) -> str:
    if given is None or plant.state.pot is None:
        return ""
    pot = portrait(plant.state, turn.home).pot
    if given.litres <= pot.half_l * 1.25:
        return ""
    return turn.words("gave-much", half=say.plain_litres(pot.half_l))


def drained(turn: Turn, rest: str) -> Reply:
    """Water tipped out of a saucer or outer pot: not a watering."""
    told = plant_and_time(turn, rest, "drained")
    if isinstance(told, Reply):
        return told
    amount = find_volume(told.rest, turn.settings.units)
    if isinstance(amount, Refusal):
        return answer(turn.words.refusal(amount.key, amount.args))
    home = turn.home
    litres = amount.value.litres if amount else None
    upkeep.drained(turn.tx, turn.teller, home, told.plant, litres, told.at)
    shown = say.plain_litres(litres) if litres else "none"
    return answer(turn.words("gave-drained", plant=told.plant.name, amount=shown))
