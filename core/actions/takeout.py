"""A household's own, to be taken along: one JSON object a line, and such lines read back.

Numbers count within the file: those of the database would tell how much others tell. What isn't in
it: networks and their numbers, codes, sensors' secrets, what was said word by word, photos' bytes.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, TypeAlias

from pydantic import ValidationError
from sqlalchemy import Connection

from core.actions import rounds
from core.actions.rounds import Told
from core.journal import events, plants, settings
from core.journal.events import Aired, Pictured, Undone, UnknownEventError
from core.journal.ledger import Entry
from core.journal.portrait import Home
from core.store import dialogues, whole
from core.store.whole import Fact, Household, Picture, Somebody

FORMAT: Final = 1
"""Grows when a line changes so that an older program would misread it."""

TYPE: Final = "application/x-ndjson"

Line: TypeAlias = dict[str, Any]

# What a plant is; what it came to can be worked out from the facts.
_OF_A_PLANT: Final = (
    "name", "species_id", "species_said", "pot", "depth", "hole", "outer", "self_watering", "mix",
    "spot", "wet_kg", "dry_kg", "resting", "terrarium", "arrived_at", "bought_at", "repotted_at",
    "probe", "left_at", "left_because",
)  # fmt: skip


class _Numbers(dict[int | None, int]):
    """The number in the file of what has an id in the database; None for what isn't in it."""

    def __init__(self, ids: Iterable[int]) -> None:
        super().__init__((one, number) for number, one in enumerate(ids, 1))

    def many(self, ids: Iterable[int]) -> list[int]:
        """The numbers of those that are in the file."""
        return [self[one] for one in ids if one in self]


@dataclass(frozen=True, slots=True)
class _Numbered:
    """A household's rows, and the numbers that they have in the file."""

    people: _Numbers
    plants: _Numbers
    facts: _Numbers
    photos: _Numbers


def written(tx: Connection, household_id: int) -> bytes | None:
    """The file of a household; None where there is none."""
    household = whole.household(tx, household_id)
    if household is None:
        return None
    lines = _lines(tx, household_id, household)
    return "".join(f"{json.dumps(line, ensure_ascii=False)}\n" for line in lines).encode()


def _lines(tx: Connection, household_id: int, household: Household) -> Iterator[Line]:
    people, facts = whole.people(tx, household_id), whole.facts(tx, household_id)
    pictures, kept = whole.pictures(tx, household_id), plants.texts(tx, household_id)
    of = _Numbered(
        _Numbers(one.id for one in people),
        _Numbers(sorted(kept)),
        _Numbers(one.id for one in facts),
        _Numbers(one.id for one in pictures),
    )
    yield {
        "is": "household",
        "format": FORMAT,
        "name": household.name,
        "zone": household.zone,
        "area": household.area,
        "settings": json.loads(household.settings),
    }
    yield from (_person(one, of) for one in people)
    yield from (_plant(of.plants[one], kept[one]) for one in sorted(kept))
    yield from (_fact(one, of) for one in facts)
    yield from (_picture(one, of) for one in pictures)
    for talk in dialogues.ever_about(tx, household_id, rounds.SUBJECT):
        yield _round(rounds.read_told(talk), of)


def _person(one: Somebody, of: _Numbered) -> Line:
    return {
        "is": "person",
        "person": of.people[one.id],
        "name": one.name,
        "role": one.role,
        "since": _moment(one.since),
        "until": _moment(one.until),
    }


def _plant(number: int, kept: str) -> Line:
    state = json.loads(kept)
    told = {name: state[name] for name in _OF_A_PLANT if name in state}
    return {"is": "plant", "plant": number, **told}


def _fact(fact: Fact, of: _Numbered) -> Line:
    body: Line = json.loads(fact.body)
    if fact.kind == Undone.kind:
        body["events"] = of.facts.many(body["events"])
    if fact.kind == Pictured.kind:
        body["photo"] = of.photos.get(body["photo"], 0)  # none: it was removed
    return {
        "is": "fact",
        "fact": of.facts[fact.id],
        "plant": of.plants.get(fact.plant_id),
        "person": of.people.get(fact.person_id),
        "happened_at": _moment(fact.happened_at),
        "told_at": _moment(fact.told_at),
        "kind": fact.kind,
        "version": fact.version,
        "body": body,
        "undone_by": of.facts.get(fact.undone_by),
    }


def _picture(one: Picture, of: _Numbered) -> Line:
    number = of.photos[one.id]
    return {
        "is": "photo",
        "photo": number,
        "file": f"photo-{number}.jpg",
        "plant": of.plants.get(one.plant_id),
        "person": of.people.get(one.person_id),
        "told_at": _moment(one.told_at),
        "note": one.note,
        "bytes": one.size,
    }


def _round(told: Told, of: _Numbered) -> Line:
    return {
        "is": "round",
        "day": told.day.isoformat(),
        "plants": of.plants.many(told.plants),
        "takers": {room: of.people.get(who) for room, who in told.takers.items()},
        "evening": told.promised,
    }


def _moment(moment: datetime | None) -> str | None:
    return None if moment is None else moment.isoformat()


# --- read back ------------------------------------------------------------------------------


def begins(line: Mapping[str, Any]) -> bool:
    """Whether a line is the first of such a file."""
    return line.get("is") == "household"


def read(lines: Iterable[Mapping[str, Any]]) -> tuple[Home, list[Entry]]:
    """What of the household bears on care, and the standing facts about its plants in their order.

    Raises ValueError, with what is wrong, for lines that this program can't read.
    """
    home, entries = Home(), []
    for number, line in enumerate(lines, 1):
        try:
            if begins(line):
                home = _home(line)
            elif _stands(line):
                entries.append(_entry(line))
        except UnknownEventError as error:
            raise ValueError(f"line {number}: {error} comes from a newer program") from error
        except (KeyError, TypeError, ValidationError) as error:
            raise ValueError(f"line {number} is not as /export writes it") from error
    return home, sorted(entries, key=lambda one: (one.happened_at, one.id))


def _home(line: Mapping[str, Any]) -> Home:
    if line["format"] != FORMAT:
        raise UnknownEventError(f"format {line['format']}")
    return Home.of(settings.read(json.dumps(line["settings"])))


def _stands(line: Mapping[str, Any]) -> bool:
    told = line["is"] == "fact" and line["undone_by"] is None
    return told and (line["plant"] is not None or line["kind"] == Aired.kind)


def _entry(line: Mapping[str, Any]) -> Entry:
    return Entry(
        line["fact"],
        line["plant"],
        line["person"],
        datetime.fromisoformat(line["happened_at"]),
        datetime.fromisoformat(line["told_at"]),
        None,
        events.read(line["kind"], line["version"], json.dumps(line["body"])),
    )
