"""One journal entry in a few words: `Fern 3 and 4`, `400 ml for Fern`."""

from __future__ import annotations

from bot.talk import say
from bot.talk.turn import Turn
from core.care.reading import Found, Instrument, Layer, Reading
from core.journal import plants
from core.journal.events import (
    Arrived,
    Body,
    Checked,
    Described,
    Drained,
    Left,
    Moved,
    Poured,
    Repotted,
    Tended,
)
from core.journal.ledger import Entry


def entry_words(turn: Turn, entry: Entry) -> str:
    """What an entry told, with the plant's name."""
    plant = plants.get(turn.tx, entry.plant_id) if entry.plant_id is not None else None
    name = plant.name if plant is not None else ""
    if plant is not None and not name and isinstance(entry.body, Arrived):
        name = entry.body.name
    return turn.words("entry-about", name=name, what=body_words(turn, entry.body))


def body_words(turn: Turn, body: Body) -> str:
    """What an entry told, without the name."""
    words = turn.words
    match body:
        case Checked(found=found):
            return found_words(turn, found)
        case Poured(litres=litres):
            return words("entry-poured", amount=say.plain_litres(litres) if litres else "none")
        case Drained(litres=litres):
            return words("entry-drained", amount=say.plain_litres(litres) if litres else "none")
        case Tended(act=act, note=note):
            return words(f"entry-{act}", note=note or "none")
        case Moved(spot=spot):
            return words("entry-moved", where=spot.said or spot.room)
        case Repotted():
            return words("entry-repotted")
        case Left(reason=reason):
            return words(f"entry-left-{reason}")
        case Described():
            return words("entry-described")
        case Arrived():
            return words("entry-arrived")
        case _:
            return words("entry-other")


def found_words(turn: Turn, found: Found) -> str:
    """A check as it was understood: `3 and 4`, `middle 4, deep 6`, `dry by finger`, `1.84 kg`."""
    parts = []
    if found.readings:
        parts.append(_readings(turn, found.readings))
    if found.weight_kg is not None:
        parts.append(say.weight(found.weight_kg, turn.settings.units))
    if found.level is not None:
        parts.append(turn.words(f"entry-level-{found.level.value}"))
    parts += [turn.words(f"entry-sign-{sign.value}") for sign in sorted(found.signs)]
    return ", ".join(parts)


def _readings(turn: Turn, readings: tuple[Reading, ...]) -> str:
    if all(one.word is None and one.layer is Layer.DEEP for one in readings):
        return turn.words.both([say.reading(one.value) for one in readings])
    return ", ".join(_one(turn, one) for one in readings)


def _one(turn: Turn, one: Reading) -> str:
    if one.word is not None:
        word = turn.words(f"entry-word-{one.word.value.replace(' ', '-')}")
        if one.instrument in (Instrument.UNSAID, Instrument.METER):
            layer = "" if one.layer is Layer.SURFACE else _layer(turn, one)
            return f"{layer} {word}".strip()
        return turn.words(f"entry-by-{one.instrument.value}", word=word)
    return f"{_layer(turn, one)} {say.reading(one.value)}"


def _layer(turn: Turn, one: Reading) -> str:
    return turn.words(f"entry-layer-{one.layer.value}")
