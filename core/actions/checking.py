"""Somebody probed: keep what was found, judge it, work out the dose."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import Connection

from core.care.decision import GIVES_WATER, Decision, Verdict
from core.care.dose import Dose, Drinker, dose, one_side
from core.care.reading import Found
from core.journal import ledger, marks, record
from core.journal.events import Checked
from core.journal.fold import fold_all, fold_check, verdict_of
from core.journal.ledger import Teller
from core.journal.plants import Plant
from core.journal.portrait import Home, Portrait, anew, portrait
from core.journal.state import PlantState
from core.knowledge.types import LightClass


@dataclass(frozen=True, slots=True)
class Outcome:
    """A check's verdict and dose. `late`: newer entries exist, so the verdict is of then.

    `home` and `plant` are as they stand after it. `dose`, and `seen` whom it is for, are None where
    nothing is poured, or nothing is known of the pot.
    """

    before: Plant
    plant: Plant
    home: Home
    verdict: Verdict
    dose: Dose | None = None
    seen: Portrait | None = None
    late: bool = False


def check(
    tx: Connection,
    teller: Teller,
    home: Home,
    plant: Plant,
    found: Found,
    at: datetime | None = None,
) -> Outcome:
    """Keep a check and judge it. A check told late is judged as the plant stood then."""
    moment, checked = at or teller.told_at, Checked(found)
    common = record.common_of(tx, teller.household_id)
    if common.knows_newer(moment):
        return _behind_others(tx, teller, home, plant, checked, moment)
    # The fold judges on its way, so it isn't asked twice.
    entry = ledger.append(tx, teller, plant.id, checked, moment)
    housed = replace(home, house=common.house)
    state, housed, seen, verdict = fold_check(plant.state, checked, entry, housed)
    after = record.keep(tx, teller.household_id, common, entry, state, housed)
    return _outcome(plant, after, housed, verdict, seen)


def _behind_others(
    tx: Connection, teller: Teller, home: Home, plant: Plant, checked: Checked, moment: datetime
) -> Outcome:
    """A check behind newer entries of the household, perhaps of the plant's own."""
    late = ledger.has_newer(tx, plant.id, moment)
    before = _standing_before(tx, teller.household_id, home, plant, moment) if late else plant.state
    housed = record.housed(tx, teller.household_id, home)
    verdict = verdict_of(before, checked.found, moment, housed)
    after = record.tell(tx, teller, home, plant, checked, moment)
    housed = record.housed(tx, teller.household_id, home)
    if late:
        return Outcome(plant, after, housed, verdict, late=True)
    return _outcome(plant, after, housed, verdict, portrait(after.state, housed))


def _standing_before(
    tx: Connection, household_id: int, home: Home, plant: Plant, moment: datetime
) -> PlantState:
    """The plant at a moment, its house-mates as they stood at the mark before."""
    mark = marks.newest(tx, household_id, moment)
    begun = mark.states.get(plant.id) if mark is not None else None
    earlier = [one for one in ledger.of_plant(tx, plant.id) if one.happened_at <= moment]
    if mark is None or begun is None:
        return fold_all(earlier, home) if earlier else plant.state
    later = [one for one in earlier if marks.place_of(one) > mark.place]
    return fold_all(later, replace(home, house=mark.common.house), begun)


def _outcome(before: Plant, after: Plant, home: Home, verdict: Verdict, seen: Portrait) -> Outcome:
    """With a dose, if water is to be given; `seen` is the plant's portrait from before or after."""
    if verdict.gives_water:
        seen = anew(seen, after.state)
        if after.state.pot is not None or seen.unmeasured:
            given = dose_now(seen, dry_side=verdict.side_dose)
            return Outcome(before, after, home, verdict, given, seen)
    return Outcome(before, after, home, verdict)


def dose_now(seen: Portrait, *, dry_side: bool = False) -> Dose:
    """How much this plant needs by its last check."""
    if dry_side:
        return one_side(seen.pot, seen.mix)
    return dose(
        seen.pot,
        seen.mix,
        middle=seen.middle,
        deep=seen.deep,
        missing_l=seen.missing_l,
        drinker=Drinker(
            habit=seen.species.habit,
            method=seen.situation.method,
            water_to=seen.species.water_to,
            light=seen.light or LightClass.MEDIUM,
            from_top=seen.from_top,
        ),
        own=seen.own,
    )


def asks_for_water(decision: str) -> bool:
    """Whether a kept verdict says that something is to be poured."""
    return Decision(decision) in GIVES_WATER


def wants_dry_side(state: PlantState) -> bool:
    """Whether the last verdict was a little on the dry side only."""
    return state.judged is not None and state.judged.decision == Decision.DRY_SIDE.value
