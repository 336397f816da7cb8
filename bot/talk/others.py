"""What somebody else has just done to a plant, said before it is done twice."""

from __future__ import annotations

from datetime import datetime, timedelta

from bot.talk import say
from bot.talk.entries import found_words
from bot.talk.turn import Turn
from core.actions import pouring
from core.care.pourstate import Stage
from core.journal.plants import Plant
from core.journal.state import Watered
from core.store.dialogues import Talk

# Somebody who watered a plant this recently is named before more goes in, or is written down.
WATERED_LATELY = timedelta(hours=18)
# A reading of somebody else's is told this long; a second one is worth keeping all the same.
PROBED_LATELY = timedelta(hours=2)

UNDER_WAY = (Stage.POURING, Stage.RESTING, Stage.LOOKING)
"""Stages in which a pour's water isn't in the journal yet."""


def watered_too(turn: Turn, plant: Plant, at: datetime | None) -> Watered | None:
    """Somebody else's watering that may be the one being told of now; None in a correction."""
    watered = plant.state.watered
    if watered is None or watered.by == turn.who.person_id or turn.happened_at is not None:
        return None
    return watered if abs((at or turn.now) - watered.at) < WATERED_LATELY else None


def watered_words(turn: Turn, plant: Plant, watered: Watered) -> str:
    """Who watered a plant, when and how much."""
    units = turn.settings.units
    return turn.words(
        "others-watered",
        who=_capital(turn.name_of(watered.by)),
        plant=plant.name,
        ago=say.ago(turn.words, watered.at, turn.now, turn.who.zone),
        amount=say.short(turn.words, watered.litres, units) if watered.litres else "none",
    )


def probed_words(turn: Turn, plant: Plant) -> str:
    """Who has just probed a plant and what they found; nothing where nobody else did.

    What was found before it was watered is no second opinion.
    """
    probed, watered = plant.state.probed, plant.state.watered
    if probed is None or (watered is not None and watered.at >= probed.at):
        return ""
    if probed.by == turn.who.person_id or turn.happened_at is not None:
        return ""
    if not timedelta(0) <= turn.now - probed.at < PROBED_LATELY:
        return ""
    return turn.words(
        "others-probed",
        who=_capital(turn.name_of(probed.by)),
        plant=plant.name,
        found=found_words(turn, probed.found),
        ago=say.ago(turn.words, probed.at, turn.now, turn.who.zone),
    )


def open_now(turn: Turn, plant: Plant) -> Talk | None:
    """The plant's coached pour whose water isn't in the journal yet, whoever has it in hand."""
    talk = pouring.open_pour(turn.tx, turn.who.household_id, plant.id)
    return talk if talk is not None and pouring.pour_of(talk).stage in UNDER_WAY else None


def pour_by_another(turn: Turn, plant: Plant) -> Talk | None:
    """The same, where somebody else has it in hand."""
    talk = open_now(turn, plant)
    return talk if talk is not None and talk.person_id != turn.who.person_id else None


def pouring_words(turn: Turn, plant: Plant) -> str:
    """Who is pouring a plant right now, and how to go on; nothing where nobody else is."""
    talk = pour_by_another(turn, plant)
    if talk is None:
        return ""
    who = _capital(turn.name_of(talk.person_id))
    return turn.words("others-pouring", who=who, plant=plant.name, call=plant.call)


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]
