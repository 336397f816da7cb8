"""One journal entry in a few words: `Fern 3 and 4`, `400 ml for Fern`."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from bot.talk import say
from bot.talk.turn import Turn
from core.care.reading import Found, Instrument, Layer, Reading
from core.journal import plants
from core.journal.events import (
    Aired,
    Arrived,
    Body,
    Checked,
    Described,
    Drained,
    HighTold,
    Left,
    Looked,
    LowTold,
    Moved,
    Pictured,
    Postponed,
    Poured,
    Repotted,
    Tended,
)
from core.journal.ledger import Entry
from core.knowledge.library import library

MOST_SHOWN = 3


def entries_words(turn: Turn, entries: Sequence[Entry]) -> str:
    """Entries of one message: the first few, and how many more."""
    shown = [entry_words(turn, entry) for entry in entries[:MOST_SHOWN]]
    more = len(entries) - len(shown)
    if more:
        return f"{', '.join(shown)} {turn.words('common-and-more', n=more)}"
    return turn.words.both(shown)


def entry_words(turn: Turn, entry: Entry) -> str:
    """What an entry told, with the plant's name."""
    plant = plants.get(turn.tx, entry.plant_id) if entry.plant_id is not None else None
    name = plant.name if plant is not None else ""
    if plant is not None and not name and isinstance(entry.body, Arrived):
        name = entry.body.name
    return turn.words("entry-about", name=name, what=body_words(turn, entry.body)).strip()


def body_words(turn: Turn, body: Body) -> str:
    """What an entry told, without the name."""
    wording = _WORDING.get(type(body))
    return wording(turn, body) if wording is not None else turn.words("entry-other")


def _poured(turn: Turn, body: Poured) -> str:
    if body.unseen:
        return turn.words("entry-unseen")
    return turn.words("entry-poured", amount=_amount(turn, body.litres))


def _low(turn: Turn, body: LowTold) -> str:
    return turn.words("entry-low", low=say.temperature(body.celsius, turn.settings.units))


def _aired(turn: Turn, body: Aired) -> str:
    shown = say.temperature(body.celsius, turn.settings.units)
    humidity = "none" if body.humidity is None else f"{body.humidity:g}"
    return turn.words("entry-aired", room=body.room, celsius=shown, humidity=humidity)


def _drained(turn: Turn, body: Drained) -> str:
    return turn.words("entry-drained", amount=_amount(turn, body.litres))


def _tended(turn: Turn, body: Tended) -> str:
    return turn.words(f"entry-{body.act}", note=body.note or "none")


def _moved(turn: Turn, body: Moved) -> str:
    return turn.words("entry-moved", where=body.spot.said or body.spot.room)


def _repotted(turn: Turn, body: Repotted) -> str:
    return turn.words("entry-repotted", pot=body.pot.said if body.pot is not None else "none")


def _amount(turn: Turn, litres: float | None) -> str:
    return say.short(turn.words, litres, turn.settings.units) if litres else "none"


def _described(turn: Turn, body: Described) -> str:
    """Which detail was told, with its value where it is a word."""
    words = turn.words
    if body.name is not None:
        return words("entry-renamed", name=body.name)
    if body.species_id is not None:
        known = library()
        name = known.get(body.species_id).name if body.species_id in known else body.species_said
        return words("entry-kind", kind=name or "none")
    if body.pot is not None:
        return words("entry-pot", pot=body.pot.said)
    if body.resting is not None:
        return words("entry-resting" if body.resting else "entry-awake")
    return words("entry-described")


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


_WORDING: Mapping[type[Body], Callable[[Turn, Any], str]] = {
    Checked: lambda turn, body: found_words(turn, body.found),
    Poured: _poured,
    Drained: _drained,
    Tended: _tended,
    Looked: lambda turn, body: turn.words(f"entry-looked-{body.found}"),
    LowTold: _low,
    HighTold: lambda turn, body: turn.words(
        "entry-high", high=say.temperature(body.celsius, turn.settings.units)
    ),
    Aired: _aired,
    Moved: _moved,
    Pictured: lambda turn, body: turn.words("entry-pictured", note=body.note or "none"),
    Postponed: lambda turn, body: turn.words(
        "entry-postponed", act=body.act or "none", reason=body.reason or "none"
    ),
    Repotted: _repotted,
    Left: lambda turn, body: turn.words(f"entry-left-{body.reason}"),
    Described: _described,
    Arrived: lambda turn, _body: turn.words("entry-arrived"),
}
