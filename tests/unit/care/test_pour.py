"""The coached pour as a machine: every path ends, nothing is lost, stale answers are refused."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.care.dose import Drinker, dose, one_side
from core.care.pots import resolve
from core.care.potsaid import PotSaid
from core.care.potshape import Pot
from core.care.pour import GIVE_UP_AFTER, answer, begin, time_up
from core.care.pourplan import Plan, Way, drinks_badly, plan, ways_for
from core.care.pourstate import (
    Answer,
    Caution,
    Extent,
    Pour,
    Say,
    Stage,
    Step,
    UnexpectedAnswerError,
    outcome,
)
from core.knowledge.mixes import mixes
from core.knowledge.types import Habit, LightClass, Method, Mix, WaterTo

PEAT, CACTUS, CHIPS = mixes()["peat"], mixes()["cactus-mix"], mixes()["orchid-bark"]
ORCHID = Drinker(habit=Habit.SOAK, method=Method.BARK)


def pot(metres: float = 0.15, **said: object) -> Pot:
    return resolve(PotSaid("", top_m=metres, **said))  # type: ignore[arg-type]


def laid(
    filled: Pot | None = None,
    mix: Mix = PEAT,
    reading: float = 4.0,
    way: Way | None = None,
    drinker: Drinker | None = None,
) -> Plan:
    filled = filled or pot()
    amount = dose(filled, mix, deep=reading, drinker=drinker)
    return plan(filled, mix, amount, bone_dry=drinks_badly(mix, reading), way=way)


def start(way: Way | None = None, reading: float = 4.0) -> Step:
    return begin(laid(way=way, reading=reading))


PLANS = [
    *(laid(way=way, reading=reading) for way in Way for reading in (1.0, 2.5, 4.0, 7.0)),
    *(laid(pot(size), reading=2.0) for size in (0.06, 0.1, 0.3, 0.6)),
    *(laid(pot(size), way=Way.METER) for size in (0.06, 0.3)),
    laid(pot(hole=False)),
    laid(pot(0.3, outer=True), CACTUS),
    laid(mix=CHIPS, drinker=ORCHID),
    laid(pot(self_watering=True), drinker=Drinker(light=LightClass.LOW)),
    laid(drinker=Drinker(water_to=WaterTo.CUP)),
    plan(pot(), PEAT, one_side(pot(), PEAT)),
    laid(reading=9.0),
]


@given(data=st.data())
def test_every_pour_ends_and_is_recorded_once(data: st.DataObject) -> None:
    """Whatever people answer, in at most some dozens of steps: one record, no water lost."""
    step = begin(data.draw(st.sampled_from(PLANS)))
    finished, turn = 0, step.pour.turn
    for _ in range(80):
        finished += step.finished
        if step.pour.stage is Stage.DONE:
            break
        offered = [None, *step.choices] if step.look_after is None else [None]
        said = data.draw(st.sampled_from(offered))
        if said is None:
            step = time_up(step.pour)
        else:
            amount = data.draw(st.none() | st.floats(min_value=0, max_value=0.3))
            reading = data.draw(st.floats(min_value=1, max_value=10))
            step = answer(step.pour, said, amount_l=amount, reading=reading)
        assert step.next_portion_l is None or step.next_portion_l > 0
        assert step.pour.turn > turn
        turn = step.pour.turn
        assert Pour.from_dict(json.loads(json.dumps(step.pour.to_dict()))) == step.pour
    assert step.pour.stage is Stage.DONE
    given_any = step.pour.given > 0 or bool(step.pour.poured_l)
    assert finished == (1 if given_any else 0)
    assert (outcome(step.pour) is None) is not given_any
    assert step.pour.total_l == pytest.approx(sum(step.pour.poured_l))


@pytest.mark.parametrize("way", list(Way))
def test_a_step_waits_for_time_or_for_an_answer(way: Way) -> None:
    step = start(way)
    assert step.look_after is None
    assert step.give_up_after == GIVE_UP_AFTER
    assert step.choices


@given(st.sampled_from(PLANS))
def test_portions_make_the_dose(laid_out: Plan) -> None:
    if laid_out.way in (Way.TOP, Way.PORTIONS, Way.NO_HOLE, Way.DRY_SIDE):
        assert sum(laid_out.portions_l) == pytest.approx(laid_out.dose_l)
    assert all(portion > 0 for portion in laid_out.portions_l)
    most = 2 if laid_out.way is Way.TOP else 1
    assert all(later <= most * laid_out.portions_l[0] + 1e-12 for later in laid_out.portions_l)


@given(
    metres=st.floats(min_value=0.05, max_value=0.8),
    reading=st.floats(min_value=1, max_value=7.9),
    way=st.sampled_from([Way.TOP, Way.PORTIONS, Way.METER]),
)
def test_first_portion_is_the_smallest_of_its_bounds(
    metres: float, reading: float, way: Way
) -> None:
    laid_out = laid(pot(metres), reading=reading, way=way)
    first = laid_out.portions_l[0]
    assert first <= laid_out.dose_l / 2 + 1e-12
    assert first <= pot(metres).filled_l / 4 + 1e-12
    if metres >= 0.2:
        assert first <= 1.0


def test_ways_offered() -> None:
    amount = dose(pot(), PEAT, deep=4)
    assert ways_for(pot(), PEAT, amount)[0] is Way.TOP
    assert ways_for(pot(), PEAT, amount, bone_dry=True)[0] is Way.PORTIONS
    assert Way.METER not in ways_for(pot(), mixes()["gritty"], amount)
    assert ways_for(pot(hole=False), PEAT, amount) == (Way.NO_HOLE,)
    assert laid(mix=mixes()["gritty"], way=Way.METER).way is Way.PORTIONS


@pytest.mark.parametrize(
    ("mix", "readings", "badly"),
    [(PEAT, (3, 4), False), (PEAT, (2, 4), True), (PEAT, (None,), False), (CACTUS, (5,), True)],
)
def test_what_drinks_badly(mix: Mix, readings: tuple[float | None, ...], *, badly: bool) -> None:
    assert drinks_badly(mix, *readings) is badly


def test_nothing_missing_is_no_pour() -> None:
    step = begin(laid(reading=9))
    assert (step.say, step.pour.stage, step.finished) == (Say.NOTHING_DUE, Stage.DONE, False)
    assert outcome(step.pour) is None


def test_an_answer_to_another_question_is_refused() -> None:
    step = start()
    with pytest.raises(UnexpectedAnswerError) as caught:
        answer(step.pour, Answer.NONE)
    assert caught.value.choices == (Answer.POURED, Answer.STANDS, Answer.THROUGH)
    done = answer(time_up(answer(step.pour, Answer.POURED).pour).pour, Answer.WATER)
    with pytest.raises(UnexpectedAnswerError):
        answer(done.pour, Answer.STOPPED)


@pytest.mark.parametrize(
    ("said", "numbers"),
    [(Answer.POURED, {"amount_l": -0.1}), (Answer.POURED, {"amount_l": -1e-9})],
)
def test_impossible_amounts_are_refused(said: Answer, numbers: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="never less"):
        answer(start().pour, said, amount_l=numbers["amount_l"])


@pytest.mark.parametrize("reading", [None, 0.5, 11])
def test_impossible_readings_are_refused(reading: float | None) -> None:
    look = time_up(answer(start(Way.METER).pour, Answer.POURED).pour)
    with pytest.raises(ValueError, match="between 1 and 10"):
        answer(look.pour, Answer.READING, reading=reading)


def test_an_early_look_is_taken() -> None:
    """Somebody is back before the pause is over and says what there is to see."""
    rest = answer(start().pour, Answer.POURED)
    assert answer(rest.pour, Answer.WATER).say is Say.ENOUGH_BELOW


def test_what_was_really_poured_counts() -> None:
    rest = answer(start().pour, Answer.POURED, amount_l=0.3)
    assert rest.pour.poured_l == (0.3,)
    done = answer(time_up(rest.pour).pour, Answer.WATER, amount_l=0.02)
    found = outcome(done.pour)
    assert found is not None
    assert (found.litres, found.run_off_l, found.full) == (0.3, 0.02, True)


def test_stopped_early() -> None:
    step = answer(time_up(answer(start().pour, Answer.POURED).pour).pour, Answer.NONE)
    assert Answer.STOPPED in step.choices
    planned = step.pour.plan.portions_l
    told = answer(step.pour, Answer.STOPPED, amount_l=0.05)
    assert (told.say, told.finished, told.pour.rough) == (Say.STOPPED, True, False)
    assert told.pour.total_l == pytest.approx(planned[0] + 0.05)
    untold = answer(step.pour, Answer.STOPPED)
    assert untold.pour.rough
    assert untold.pour.total_l == pytest.approx(planned[0] + planned[1] / 2)


def test_stopped_while_resting_adds_nothing() -> None:
    rest = answer(start().pour, Answer.POURED)
    done = answer(rest.pour, Answer.STOPPED)
    assert done.finished
    assert done.pour.poured_l == rest.pour.poured_l
    assert not done.pour.rough


def test_who_wanders_off_has_poured_what_was_poured() -> None:
    nothing = time_up(start().pour)
    assert (nothing.say, nothing.finished) == (Say.GAVE_UP, False)
    assert outcome(nothing.pour) is None
    look = time_up(answer(start().pour, Answer.POURED).pour)
    left = time_up(look.pour)
    assert (left.say, left.finished, left.pour.stage) == (Say.GAVE_UP, True, Stage.DONE)
    found = outcome(left.pour)
    assert found is not None
    assert found.extent is Extent.HALF


def test_tipping_out_is_not_a_watering() -> None:
    rest = answer(start().pour, Answer.POURED)
    done = answer(time_up(rest.pour).pour, Answer.WATER)
    before = outcome(done.pour)
    asked = time_up(done.pour)
    assert (asked.say, asked.finished) == (Say.TIP_OUT, False)
    emptied = answer(asked.pour, Answer.EMPTIED, amount_l=0.08)
    assert (emptied.say, emptied.finished) == (Say.TIDY, False)
    assert emptied.pour.removed_l == 0.08
    assert outcome(emptied.pour) == before
    assert time_up(asked.pour).say is Say.CLOSED
    assert answer(done.pour, Answer.NONE).pour.removed_l == 0


def test_a_meter_pour_stops_at_the_ceiling() -> None:
    step = start(Way.METER)
    for _ in range(20):
        if step.finished:
            break
        look = time_up(answer(step.pour, Answer.POURED).pour)
        step = answer(look.pour, Answer.READING, reading=4)
    assert (step.say, step.finished) == (Say.ALL_IN, True)
    assert step.pour.total_l == pytest.approx(pot().half_l)


def test_a_saucer_is_refilled_up_to_the_ceiling() -> None:
    step = start(Way.BOTTOM, reading=1)
    for _ in range(20):
        if step.finished:
            break
        look = time_up(answer(step.pour, Answer.POURED).pour)
        step = answer(look.pour, Answer.DRUNK)
    assert step.finished
    assert step.pour.total_l == pytest.approx(pot().half_l)


def test_a_pot_that_drank_is_not_out_of_contact() -> None:
    step = start(Way.BOTTOM, reading=1)
    step = answer(time_up(answer(step.pour, Answer.POURED).pour).pour, Answer.DRUNK)
    step = answer(time_up(answer(step.pour, Answer.POURED).pour).pour, Answer.STANDING)
    step = answer(time_up(step.pour).pour, Answer.STANDING)
    assert step.say is Say.ENOUGH_DRUNK


def test_a_soak_is_recorded_without_litres() -> None:
    step = begin(laid(mix=CHIPS, drinker=ORCHID))
    rest = answer(step.pour, Answer.POURED)
    assert rest.look_after == timedelta(minutes=15)
    out = time_up(rest.pour)
    assert (out.say, out.cautions) == (Say.ASK_TAKEN_OUT, (Caution.TAKE_OUT,))
    found = outcome(answer(out.pour, Answer.EMPTIED).pour)
    assert found is not None
    assert (found.litres, found.extent, found.full) == (None, Extent.THROUGH, True)
    assert Caution.TAKE_OUT in time_up(out.pour).cautions


def test_a_heavy_pot_is_not_stood_in_water() -> None:
    step = begin(laid(pot(0.3), reading=1))
    for _ in range(8):
        step = answer(step.pour, Answer.THROUGH)
        assert step.say is not Say.STAND_IN_WATER
        if step.finished:
            break
        step = answer(time_up(step.pour).pour, Answer.WATER)
    assert step.finished
    assert Caution.BASTER in step.cautions


def test_water_that_ran_past_has_not_watered_through() -> None:
    step = answer(start().pour, Answer.THROUGH)
    step = answer(time_up(step.pour).pour, Answer.NONE)
    done = answer(step.pour, Answer.STOPPED, amount_l=0.4)
    found = outcome(done.pour)
    assert found is not None
    assert found.extent is Extent.HALF


def test_through_after_more_than_the_dose_ends_it() -> None:
    step = start(Way.METER)
    for _ in range(2):
        look = time_up(answer(step.pour, Answer.POURED, amount_l=0.2).pour)
        step = answer(look.pour, Answer.READING, reading=4)
    done = answer(step.pour, Answer.THROUGH, amount_l=0.1)
    assert done.finished
    assert Caution.RAN_THROUGH in done.cautions


def test_a_channel_on_the_dry_side() -> None:
    step = begin(plan(pot(), PEAT, one_side(pot(), PEAT)))
    done = answer(step.pour, Answer.THROUGH)
    assert Caution.RAN_THROUGH in done.cautions
    found = outcome(done.pour)
    assert found is not None
    assert found.extent is Extent.SIP


def test_no_water_through_a_closed_floor() -> None:
    step = begin(laid(pot(hole=False)))
    assert answer(step.pour, Answer.STANDS).say is Say.BLOCKED
    found = outcome(answer(step.pour, Answer.POURED).pour)
    assert found is not None
    assert found.extent is Extent.HALF


def test_water_that_sank_is_probed_before_more() -> None:
    step = time_up(answer(start(Way.METER).pour, Answer.STANDS).pour)
    assert answer(step.pour, Answer.SANK).say is Say.ASK_DEEP


def test_older_layouts_are_not_guessed() -> None:
    kept = start().pour.to_dict()
    with pytest.raises(ValueError, match="pour layout 9"):
        Pour.from_dict({**kept, "v": 9})
    with pytest.raises(ValueError, match="plan layout 9"):
        Plan.from_dict({**kept["plan"], "v": 9})
