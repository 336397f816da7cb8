"""/gave: water that was given without being coached. /drained: water taken away."""

from __future__ import annotations

from bot.talk import checkwords, others, portrayal, say
from bot.talk.commands import gavemany
from bot.talk.commands.gaveamount import Given, read_given
from bot.talk.commands.told import Told, plant_and_time
from bot.talk.grammar.quantities import Refusal, Volume, find_volume
from bot.talk.groups import read_group
from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer
from bot.talk.verdictwords import next_probe
from core.actions import noticing, pouring, upkeep
from core.care.pourstate import Answer, Stage
from core.care.units import System
from core.journal.events import Poured
from core.journal.plants import Plant
from core.journal.portrait import portrait
from core.store.dialogues import Talk

# This many times what the pot holds is a slip: rinsing takes two pots' worth (ours).
MOST_POTS = 3.0
# Noticeably more than half the pot (ours).
MUCH = 1.25


def gave(turn: Turn, rest: str) -> Reply:
    """Record a watering: how much, and what ran off, as far as that was said."""
    parts = gavemany.parts(turn, rest)
    if len(parts) > 1:
        return gavemany.keep_all(turn, parts)
    group = read_group(turn, rest)
    if group is not None:
        return gavemany.all_of(turn, group)
    told = plant_and_time(turn, rest, "gave")
    if isinstance(told, Reply):
        return told
    given = read_given(told.rest, turn.settings.units)
    if isinstance(given, Refusal):
        return answer(turn.words.refusal(given.key, given.args))
    for doubt in (_odd, _seen, _under_way, _told_twice):
        reply = doubt(turn, told, given)
        if reply is not None:
            return reply
    return keep(turn, told.plant, given.body, told)


def keep(turn: Turn, plant: Plant, body: Poured, told: Told | None = None) -> Reply:
    """Write a watering down and say so."""
    at = told.at if told is not None else turn.happened_at
    after = upkeep.gave(turn.tx, turn.teller, turn.home, plant, body, at)
    if body.unseen:
        return _unseen(turn, after)
    given = read_given(told.rest, turn.settings.units) if told is not None else None
    volume = given.volume if isinstance(given, Given) else None
    lines = [
        turn.words(
            "gave-kept",
            plant=after.name,
            amount=_amount(turn, body, volume),
            when=checkwords.moment(turn, at),
        ),
        *_notes(turn, volume),
        _ran_off(turn, body),
        _much(turn, after, body),
        _next(turn, after, now=at is None),
    ]
    return answer(*lines)


def _unseen(turn: Turn, plant: Plant) -> Reply:
    watered = plant.state.watered
    when = say.on_day(turn.words, watered.at, turn.now, turn.who.zone) if watered else ""
    kept = turn.words("notice-unseen-kept", plant=plant.name, when=when)
    return answer(kept, _next(turn, plant, now=False))


def _amount(turn: Turn, body: Poured, volume: Volume | None) -> str:
    """What was said, exactly: a rounded echo would hide a slip."""
    if body.litres is None:
        return "sip" if body.extent == "sip" else "none"
    shown = say.exact(turn.words, body.litres, turn.settings.units)
    if volume is None or turn.settings.units is not System.METRIC or not volume.notes:
        return shown
    return turn.words("gave-as-said", amount=shown, said=volume.said)


def _notes(turn: Turn, volume: Volume | None) -> list[str]:
    """Which cup or ounce it was taken for, where the household's own measure doesn't say it."""
    if volume is None:
        return []
    own = f"took-{turn.settings.units.value}"
    notes = [f"took-{note.value}" for note in volume.notes]
    metric = turn.settings.units is System.METRIC
    return [turn.words(f"gave-{note}") for note in notes if metric or note != own]


def _ran_off(turn: Turn, body: Poured) -> str:
    if not body.run_off_l:
        return ""
    amount = say.exact(turn.words, body.run_off_l, turn.settings.units)
    return turn.words("gave-ran-off", amount=amount)


def _much(turn: Turn, plant: Plant, body: Poured) -> str:
    if body.litres is None or plant.state.pot is None:
        return ""
    seen = portrait(plant.state, turn.home)
    pot = seen.pot
    keeps_water = portrayal.looked_at(seen) == "level" or seen.situation.self_watering
    if body.litres <= pot.half_l * MUCH or keeps_water:
        return ""
    half = say.short(turn.words, pot.half_l, turn.settings.units)
    return turn.words("gave-much", half=half)


def _next(turn: Turn, plant: Plant, *, now: bool) -> str:
    key = "gave-next-saucer" if now else "plant-next-probe"
    if portrait(plant.state, turn.home).unmeasured:
        key = "pour-next-look"
    return next_probe(turn, plant.state.probe, key)


# --- what speaks against it ---------------------------------------------------------------


def _odd(turn: Turn, told: Told, given: Given) -> Reply | None:
    """Words that are no amount, a number without a unit, more than any pot takes."""
    if given.number:
        return _which_unit(turn, told, given.number)
    if given.strange:
        call = told.plant.call
        return answer(turn.words("gave-strange", what=given.strange[:30], call=call))
    return _too_much(turn, told, given)


def _seen(turn: Turn, told: Told, given: Given) -> Reply | None:
    """A watering that nobody told, where none is missing: two people may have answered."""
    if not given.body.unseen:
        return None
    plant = told.plant
    missing = noticing.unseen_watering(turn.tx, turn.who.household_id, turn.home, plant.state)
    if missing is not None:
        return None
    return answer(turn.words("notice-unseen-none", plant=plant.name, call=plant.call))


def _which_unit(turn: Turn, told: Told, number: str) -> Reply:
    call = told.plant.call
    buttons = tuple(
        Option(f"{number} {unit}", f"/gave {call}: {number} {unit} {told.moment}".strip())
        for unit in _units_for(number)
    )
    return answer(turn.words("gave-unit", n=number, plant=told.plant.name), buttons=buttons)


def _too_much(turn: Turn, told: Told, given: Given) -> Reply | None:
    plant, litres = told.plant, given.body.litres
    if litres is None or plant.state.pot is None or given.sure:
        return None
    pot = portrait(plant.state, turn.home).pot
    if litres <= MOST_POTS * pot.filled_l:
        return None
    units = turn.settings.units
    text = turn.words(
        "gave-cannot-be",
        plant=plant.name,
        amount=say.exact(turn.words, litres, units),
        pot=say.volume(turn.words, pot.filled_l, units),
    )
    again = f"/gave {plant.call}: {told.rest} sure {told.moment}".strip()
    never = Option(turn.words("add-never-mind"), "/cancel")
    return answer(text, buttons=(never, Option(turn.words("gave-keep-it"), again)))


def _units_for(number: str) -> tuple[str, ...]:
    value = float(number.replace(",", "."))
    if value > 12:
        return ("ml",)
    return ("cups", "l", "ml") if value <= 3 else ("cups", "ml")


def _under_way(turn: Turn, told: Told, given: Given) -> Reply | None:
    """A coached pour of the plant is open: part of it, or another watering?"""
    talk = pouring.open_pour(turn.tx, turn.who.household_id, told.plant.id)
    if talk is None or told.at is not None or pouring.pour_of(talk).stage not in others.UNDER_WAY:
        return None
    if given.besides:
        pouring.abandon(turn.tx, turn.teller, turn.home, talk)
        return None
    call, said = told.plant.call, told.rest
    other = others.pour_by_another(turn, told.plant)
    who = turn.name_of(talk.person_id) if other is not None else "none"
    return answer(
        turn.words(
            "gave-under-way",
            plant=told.plant.name,
            who=who if other is None else who[:1].upper() + who[1:],
        ),
        buttons=(
            Option(turn.words("gave-part-of-it"), f"/pour {call} poured {said}".strip()),
            Option(turn.words("gave-besides"), f"/gave {call}: {said} besides".strip()),
        ),
    )


def _told_twice(turn: Turn, told: Told, given: Given) -> Reply | None:
    """Somebody else has just told of a watering: the same, or another?"""
    plant = told.plant
    watered = others.watered_too(turn, plant, told.at)
    if watered is None or given.again or given.besides or given.body.unseen:
        return None
    said = f"/gave {plant.call}: {told.rest} again {told.moment}"
    return answer(
        others.watered_words(turn, plant, watered),
        turn.words("others-another"),
        buttons=(
            Option(turn.words("others-no-same"), "/cancel"),
            Option(turn.words("others-yes-another"), " ".join(said.split())),
        ),
    )


# --- taken away ---------------------------------------------------------------------------


def drained(turn: Turn, rest: str) -> Reply:
    """Water tipped out of a saucer or outer pot: not a watering."""
    told = plant_and_time(turn, rest, "drained")
    if isinstance(told, Reply):
        return told
    amount = find_volume(told.rest, turn.settings.units)
    if isinstance(amount, Refusal):
        return answer(turn.words.refusal(amount.key, amount.args))
    litres = amount.value.litres if amount else None
    talk = pouring.open_pour(turn.tx, turn.who.household_id, told.plant.id)
    if talk is not None and told.at is None and _drains(talk):
        pouring.answer(
            turn.tx, turn.teller, turn.home, talk, Answer.EMPTIED,
            chat_id=turn.who.chat_id, thread=turn.message.thread, amount_l=litres,
        )  # fmt: skip
    else:
        upkeep.drained(turn.tx, turn.teller, turn.home, told.plant, litres, told.at)
    shown = say.exact(turn.words, litres, turn.settings.units) if litres else "none"
    return answer(turn.words("gave-drained", plant=told.plant.name, amount=shown))


def _drains(talk: Talk) -> bool:
    return pouring.pour_of(talk).stage in (Stage.DRAINING, Stage.EMPTYING)
