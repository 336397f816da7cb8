"""The coached pour as it lives in the store: begun, answered, taken over, left alone.

The stages and amounts come from the pure pour; this module keeps them in a dialogue's row
and writes the watering in the journal when it is over.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection

from core.care import pour as coach
from core.care.dose import Dose
from core.care.pourplan import Way, drinks_badly, plan
from core.care.pourstate import Answer, Caution, Outcome, Pour, Say, Stage, Step, outcome
from core.journal import plants, record
from core.journal.events import Drained, Poured
from core.journal.ledger import Teller
from core.journal.plants import Plant
from core.journal.portrait import Home, Portrait
from core.store import dialogues, outbox
from core.store.dialogues import Talk
from core.store.outbox import Fact

SUBJECT = "pour"
TOPIC = "pour"


@dataclass(frozen=True, slots=True)
class Moved:
    """A pour after a step: what to say, the dialogue's version now, the plant as it stands."""

    plant: Plant
    step: Step
    talk_id: int
    version: int


def open_pour(tx: Connection, household_id: int, plant_id: int) -> Talk | None:
    """The pour of a plant that is under way, whoever began it."""
    talks = dialogues.open_about(tx, household_id, SUBJECT)
    return next((talk for talk in talks if talk.plant_id == plant_id), None)


def pour_of(talk: Talk) -> Pour:
    """The pour that a dialogue keeps."""
    return Pour.from_dict(json.loads(talk.state))


def begin(
    tx: Connection,
    teller: Teller,
    chat_id: int,
    plant: Plant,
    seen: Portrait,
    dose: Dose,
    way: Way | None = None,
    *,
    thread: str | None = None,
) -> Moved:
    """Lay out a pour of a dose and open its dialogue."""
    laid = plan(
        seen.pot,
        seen.mix,
        dose,
        water_to=seen.species.water_to,
        bone_dry=drinks_badly(seen.mix, seen.middle, seen.deep),
        way=way,
    )
    step = coach.begin(laid)
    if step.pour.stage is Stage.DONE:
        return Moved(plant, step, 0, 0)
    talk_id = dialogues.begin(
        tx,
        household_id=teller.household_id,
        chat_id=chat_id,
        person_id=teller.person_id,
        plant_id=plant.id,
        thread=thread,
        subject=SUBJECT,
        stage=step.pour.stage.value,
        state=json.dumps(step.pour.to_dict()),
        due_at=_due(step, teller.told_at),
        now=teller.told_at,
    )
    return Moved(plant, step, talk_id, 1)


def answer(
    tx: Connection,
    teller: Teller,
    home: Home,
    talk: Talk,
    said: Answer,
    *,
    chat_id: int,
    thread: str | None = None,
    amount_l: float | None = None,
    reading: float | None = None,
) -> Moved | None:
    """Take an answer, from anybody and in any chat of the household.

    None when somebody else moved the pour on in the same moment. Raises
    UnexpectedAnswerError for an answer to what wasn't asked, ValueError out of range.
    """
    step = coach.answer(pour_of(talk), said, amount_l=amount_l, reading=reading)
    if not _keep(tx, talk, step, teller.told_at, (chat_id, thread), teller.person_id):
        return None
    plant = _journal(tx, teller, home, talk, step, emptied=said is Answer.EMPTIED)
    return Moved(plant, step, talk.id, talk.version + 1)


def time_up(tx: Connection, talk: Talk, now: datetime) -> None:
    """A pause is over, or nobody answered: the next step, said by way of the outbox."""
    pour = pour_of(talk)
    step = coach.time_up(pour)
    if not _keep(tx, talk, step, now, (talk.chat_id, talk.thread), talk.person_id):
        return
    teller = Teller(talk.household_id, talk.person_id, now)
    plant = _journal(tx, teller, record.home_of(tx, talk.household_id), talk, step)
    if step.say is Say.CLOSED:
        return
    moved = Moved(plant, step, talk.id, talk.version + 1)
    outbox.put_fact(
        tx,
        Fact(
            household_id=talk.household_id,
            chat_id=talk.chat_id,
            person_id=talk.person_id,
            kind=outbox.REMINDER,
            occasion=f"pour.{talk.id}.{moved.version}",
            topic=TOPIC,
            facts=json.dumps(to_facts(moved) | {"thread": talk.thread}),
            due_at=now,
        ),
    )


def abandon(tx: Connection, teller: Teller, home: Home, talk: Talk) -> Plant:
    """End a pour where it stands; what went in is kept."""
    dialogues.close(tx, talk.id, teller.told_at)
    pour, plant = pour_of(talk), _plant(tx, talk)
    return plant if pour.recorded else _record(tx, teller, home, plant, outcome(pour))


def _plant(tx: Connection, talk: Talk) -> Plant:
    if talk.plant_id is None:
        raise LookupError("a pour without a plant")
    return plants.get(tx, talk.plant_id)


def _due(step: Step, now: datetime) -> datetime | None:
    pause = step.look_after or step.give_up_after
    return now + pause if pause else None


def _keep(
    tx: Connection,
    talk: Talk,
    step: Step,
    now: datetime,
    where: tuple[int, str | None],
    person_id: int | None,
) -> bool:
    """Keep a step; `where` are chat and topic."""
    if step.pour.stage is Stage.DONE:
        return dialogues.close(tx, talk.id, now)
    return dialogues.advance(
        tx,
        talk,
        stage=step.pour.stage.value,
        state=json.dumps(step.pour.to_dict()),
        due_at=_due(step, now),
        chat_id=where[0],
        thread=where[1],
        person_id=person_id,
    )


def _journal(
    tx: Connection, teller: Teller, home: Home, talk: Talk, step: Step, *, emptied: bool = False
) -> Plant:
    plant = _plant(tx, talk)
    if step.finished:
        plant = _record(tx, teller, home, plant, outcome(step.pour))
    if emptied and step.say is Say.TIDY:
        removed = step.pour.removed_l or None
        plant = record.tell(tx, teller, home, plant, Drained(removed))
    return plant


def _record(
    tx: Connection, teller: Teller, home: Home, plant: Plant, result: Outcome | None
) -> Plant:
    if result is None:
        return plant
    body = Poured(
        litres=result.litres,
        run_off_l=result.run_off_l or None,
        way=result.way.value,
        portions_l=result.portions_l,
        extent=result.extent.value,
        full=result.full,
    )
    return record.tell(tx, teller, home, plant, body)


def to_facts(moved: Moved) -> dict[str, Any]:
    """A step as plain values, to be worded when it is sent."""
    step = moved.step
    return {
        "plant": moved.plant.id,
        "talk": moved.talk_id,
        "version": moved.version,
        "pour": step.pour.to_dict(),
        "say": step.say.value,
        "next_l": step.next_portion_l,
        "choices": [choice.value for choice in step.choices],
        "cautions": [caution.value for caution in step.cautions],
        "finished": step.finished,
    }


def from_facts(tx: Connection, facts: Mapping[str, Any]) -> Moved:
    """The step that `to_facts` wrote."""
    step = Step(
        Pour.from_dict(facts["pour"]),
        Say(facts["say"]),
        next_portion_l=facts["next_l"],
        choices=tuple(Answer(choice) for choice in facts["choices"]),
        cautions=tuple(Caution(caution) for caution in facts["cautions"]),
        finished=facts["finished"],
    )
    return Moved(plants.get(tx, facts["plant"]), step, facts["talk"], facts["version"])
