"""The coached pour: from one step to the next, by what a person answers or by time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import timedelta
from typing import Final

from core.care.pourplan import Plan, Way, in_portions, standing_in_water, wet_from_above
from core.care.pourstate import (
    Answer,
    Caution,
    Pour,
    Say,
    Stage,
    Step,
    UnexpectedAnswerError,
)

# The saucer is emptied within half an hour (SEEN-2ND; "don't let the pot sit in water" SEEN,
# UC ANR). A pot without a hole is looked into after an hour (G).
_TIP_OUT_AFTER: Final = timedelta(minutes=30)
_LOOK_AT_FLOOR_AFTER: Final = timedelta(hours=1)

# Water that stands on top gets ten minutes to sink (ours).
_SINK: Final = timedelta(minutes=10)

# From the saucer: water still there after ten to fifteen minutes is enough (common practice, no
# source), so after the first look at seven, five more.
_STAND_LONGER: Final = timedelta(minutes=5)

# The wet zone of the meter: 8 to 10 (common practice, no source).
_WET_ZONE: Final = 8.0
_METER_TOP: Final = 10.0

# A foot that finds no water is wetted once from above with a quarter of the dose (ours).
_FROM_ABOVE_PARTS: Final = 4

# Nobody answers a question for this long: they have wandered off (ours).
GIVE_UP_AFTER: Final = timedelta(hours=6)

# Stopped early without a number: half of that portion is taken to be in (ours).
_STOPPED_SHARE: Final = 0.5

_HANDS: Final = (Answer.POURED, Answer.STANDS, Answer.THROUGH)
_OPENING: Final = {
    Way.TOP: (Say.POUR_FIRST, _HANDS),
    Way.METER: (Say.POUR_FIRST, _HANDS),
    Way.PORTIONS: (Say.POUR_FIRST, _HANDS),
    Way.BOTTOM: (Say.FILL_SAUCER, (Answer.POURED,)),
    Way.SOAK: (Say.STAND_IN_WATER, (Answer.POURED,)),
    Way.NO_HOLE: (Say.POUR_ALL, (Answer.POURED, Answer.STANDS)),
    Way.FILL: (Say.FILL_VESSEL, (Answer.POURED,)),
    Way.DRY_SIDE: (Say.POUR_DRY_SIDE, (Answer.POURED, Answer.THROUGH)),
    Way.CUP: (Say.POUR_CUP, (Answer.POURED,)),
}
_MORE: Final = {Way.METER: Say.POUR_LITTLE, Way.BOTTOM: Say.FILL_SAUCER}
_QUESTION: Final = {
    Way.TOP: (Say.ASK_SAUCER, (Answer.NONE, Answer.WATER, Answer.SANK)),
    Way.METER: (Say.ASK_DEEP, (Answer.READING,)),
    Way.PORTIONS: (Say.ASK_SAUCER, (Answer.NONE, Answer.WATER, Answer.HEAVY)),
    Way.BOTTOM: (Say.ASK_DRUNK, (Answer.DRUNK, Answer.STANDING)),
    Way.SOAK: (Say.ASK_TAKEN_OUT, (Answer.EMPTIED,)),
}
_SUNK: Final = (Say.ASK_SUNK, (Answer.SANK, Answer.STANDS))
_HEFT: Final = (Say.ASK_HEAVY, (Answer.HEAVY, Answer.LIGHT))
_EMPTY: Final = (Say.TIP_OUT, (Answer.EMPTIED, Answer.NONE))
_DRAINS: Final = (Way.TOP, Way.METER, Way.PORTIONS, Way.BOTTOM, Way.NO_HOLE)


def begin(plan: Plan) -> Step:
    """The first step of a pour."""
    say, choices = _OPENING[plan.way]
    if not plan.portions_l and plan.way in _DRAINS:
        return Step(Pour(plan, Stage.DONE), Say.NOTHING_DUE)
    pour = Pour(plan, Stage.POURING, say, choices)
    return _ask_to_pour(pour, say)


def answer(
    pour: Pour, said: Answer, *, amount_l: float | None = None, reading: float | None = None
) -> Step:
    """The step after an answer.

    `amount_l`: litres really poured (with POURED, STANDS, THROUGH, STOPPED), run off (WATER) or
    tipped out (EMPTIED), where somebody said. `reading`: 1 to 10, with READING. While resting,
    an answer to the coming question is taken early; STOPPED is taken until the water is in.
    Raises UnexpectedAnswerError, or ValueError for an amount or reading out of range.
    """
    _check(pour, said, amount_l, reading)
    pour = replace(pour, turn=pour.turn + 1)
    if said is Answer.STOPPED:
        return _stopped(pour, amount_l)
    if pour.stage in (Stage.DRAINING, Stage.EMPTYING):
        return _emptied(pour, said, amount_l)
    if pour.stage is Stage.POURING:
        return _hands(pour, said, amount_l)
    if said is Answer.READING and reading is not None:
        return _probed(_looked(pour, said), reading)
    if said is Answer.WATER:
        pour = replace(pour, run_off_l=pour.run_off_l + (amount_l or 0.0))
    return _LOOKED[said](_looked(pour, said))


def time_up(pour: Pour) -> Step:
    """The step when the pause is over, or when nobody answered for `give_up_after`."""
    pour = replace(pour, turn=pour.turn + 1)
    if pour.stage is Stage.RESTING and pour.asks:
        return _question(pour, (pour.asks, pour.choices))
    if pour.stage is Stage.DRAINING:
        return _ask_to_empty(pour)
    if pour.stage in (Stage.EMPTYING, Stage.DONE):
        return Step(_done(pour), Say.CLOSED)
    return _gave_up(pour)


# --- what a person may answer -------------------------------------------------------------


def _check(pour: Pour, said: Answer, amount_l: float | None, reading: float | None) -> None:
    under_way = pour.stage in (Stage.POURING, Stage.RESTING, Stage.LOOKING)
    if said not in pour.choices and not (said is Answer.STOPPED and under_way):
        raise UnexpectedAnswerError(pour.choices)
    if amount_l is not None and amount_l < 0:
        raise ValueError("an amount of water is never less than none")
    if said is Answer.READING and (reading is None or not 1 <= reading <= _METER_TOP):
        raise ValueError("a reading lies between 1 and 10")


def _looked(pour: Pour, said: Answer) -> Pour:
    return replace(pour, looks=(*pour.looks, said))


# --- somebody poured ----------------------------------------------------------------------


def _give(pour: Pour, amount_l: float | None) -> Pour:
    litres = pour.next_l if amount_l is None else amount_l
    poured = pour.poured_l if litres is None else (*pour.poured_l, litres)
    return replace(pour, poured_l=poured, given=pour.given + 1)


def _hands(pour: Pour, said: Answer, amount_l: float | None) -> Step:
    before = pour.looks
    pour = _give(pour, amount_l)
    if said is Answer.POURED:
        return _after_portion(pour)
    pour = _looked(pour, said)
    if said is Answer.STANDS:
        return _stands(pour, again=Answer.STANDS in before)
    return _ran_through(pour, again=Answer.THROUGH in before)


def _after_portion(pour: Pour) -> Step:
    """Rest, then look; after the last portion there is nothing to wait for but the draining."""
    way = pour.plan.way
    looks_always = way in (Way.METER, Way.BOTTOM, Way.SOAK)
    if looks_always or (way in _QUESTION and pour.next_l is not None):
        return _rest(pour, pour.plan.look_after, _QUESTION[way])
    return _finish(pour, Say.ALL_IN, *_let_it_pass(pour))


def _let_it_pass(pour: Pour) -> tuple[Caution, ...]:
    """Portion after portion showed below: the mix has drunk little of it."""
    seen = [look for look in pour.looks if look in (Answer.NONE, Answer.SANK, Answer.WATER)]
    passed = pour.plan.way is Way.PORTIONS and seen and set(seen) == {Answer.WATER}
    return (Caution.STILL_LIGHT,) if passed else ()


def _stands(pour: Pour, *, again: bool) -> Step:
    """Tight or blocked mix: give it time once, then look at the hole instead of pouring on."""
    if again or pour.plan.way is Way.NO_HOLE:
        return _finish(pour, Say.BLOCKED)
    return _rest(pour, _SINK, _SUNK, Say.WAIT_TO_SINK)


def _ran_through(pour: Pour, *, again: bool) -> Step:
    """Dried-out mix, a channel or a pot full of roots: little by little, then from below."""
    plan = pour.plan
    if plan.way is Way.DRY_SIDE:
        return _finish(pour, Say.ALL_IN, Caution.RAN_THROUGH)
    if again and not plan.heavy:
        pour = replace(pour, plan=standing_in_water(plan), given=0)
        return _ask_to_pour(pour, Say.STAND_IN_WATER, Caution.STILL_LIGHT)
    left = plan.dose_l - sum(pour.poured_l[:-1])
    if plan.way is not Way.PORTIONS and left > 0:
        pour = replace(pour, plan=in_portions(plan, left), given=0)
    if pour.next_l is None or left <= 0:
        return _finish(pour, Say.ALL_IN, Caution.RAN_THROUGH, Caution.STILL_LIGHT)
    question = _QUESTION[Way.PORTIONS]
    cautions = (Caution.RAN_THROUGH, Caution.RUN_OFF_NO_SIGN)
    return _rest(pour, pour.plan.look_after, question, Say.WILL_LOOK, *cautions)


def _stopped(pour: Pour, amount_l: float | None) -> Step:
    """Stopped early: what is in stays in; an unsaid part counts as half of its portion."""
    if pour.stage is Stage.POURING and pour.next_l is not None:
        part = _STOPPED_SHARE * pour.next_l if amount_l is None else amount_l
        pour = replace(_give(pour, part), rough=amount_l is None)
    return _finish(pour, Say.STOPPED)


# --- somebody looked ----------------------------------------------------------------------


def _go_on(pour: Pour, *cautions: Caution) -> Step:
    if pour.next_l is None:
        return _finish(pour, Say.ALL_IN, *_let_it_pass(pour), *cautions)
    return _ask_to_pour(pour, _MORE.get(pour.plan.way, Say.POUR_NEXT), *cautions)


def _sank(pour: Pour) -> Step:
    if pour.plan.way is Way.METER:
        return _question(pour, _QUESTION[Way.METER])
    return _go_on(pour)


def _water_below(pour: Pour) -> Step:
    """Run-off is enough in a moist mix, and no sign of it in a dry or coarse one."""
    if pour.plan.run_off_stops:
        return _finish(replace(pour, full=True), Say.ENOUGH_BELOW)
    return _go_on(pour, Caution.RUN_OFF_NO_SIGN)


def _probed(pour: Pour, reading: float) -> Step:
    """With a meter: in the wet zone stop, below it add a little."""
    if reading >= _WET_ZONE:
        return _finish(replace(pour, full=True), Say.ENOUGH_DEEP)
    return _go_on(pour)


def _still_standing(pour: Pour) -> Step:
    """From below: water left after ten to fifteen minutes is enough, unless nothing was drunk."""
    if pour.looks[-2:] != (Answer.STANDING, Answer.STANDING):
        return _rest(pour, _STAND_LONGER, _QUESTION[Way.BOTTOM], Say.WAIT_LONGER)
    if pour.plan.dry_start and Answer.DRUNK not in pour.looks:
        return _question(pour, _HEFT)
    return _finish(replace(pour, full=True), Say.ENOUGH_DRUNK)


def _no_contact(pour: Pour) -> Step:
    """The foot of the pot finds no water: wet it once from above and leave it to drink."""
    part = pour.plan.dose_l / _FROM_ABOVE_PARTS
    pour = replace(pour, plan=wet_from_above(pour.plan, part), given=0)
    return _ask_to_pour(pour, Say.WET_FROM_ABOVE)


def _heavy(pour: Pour) -> Step:
    return _finish(replace(pour, full=True), Say.ENOUGH_HEAVY)


def _taken_out(pour: Pour) -> Step:
    return _finish(replace(pour, full=True), Say.ALL_IN)


def _blocked(pour: Pour) -> Step:
    return _finish(pour, Say.BLOCKED)


_LOOKED: Final[Mapping[Answer, Callable[[Pour], Step]]] = {
    Answer.NONE: _go_on,
    Answer.SANK: _sank,
    Answer.WATER: _water_below,
    Answer.DRUNK: _go_on,
    Answer.STANDING: _still_standing,
    Answer.HEAVY: _heavy,
    Answer.LIGHT: _no_contact,
    Answer.EMPTIED: _taken_out,
    Answer.STANDS: _blocked,
}


# --- the water is in ----------------------------------------------------------------------


def _emptied(pour: Pour, said: Answer, amount_l: float | None) -> Step:
    """Tipped out: a removal, never a watering."""
    removed = (amount_l or 0.0) if said is Answer.EMPTIED else 0.0
    return Step(_done(replace(pour, removed_l=pour.removed_l + removed)), Say.TIDY)


def _finish(pour: Pour, say: Say, *cautions: Caution) -> Step:
    """The watering is over: record it now. Then let it drain, where it does."""
    anything = bool(pour.poured_l or pour.given)
    pour = replace(pour, recorded=True)
    if pour.plan.way not in _DRAINS or not anything:
        return Step(_done(pour), say, finished=anything, cautions=cautions)
    rest = _LOOK_AT_FLOOR_AFTER if pour.plan.way is Way.NO_HOLE else _TIP_OUT_AFTER
    question, choices = _EMPTY
    pour = replace(pour, stage=Stage.DRAINING, asks=question, choices=choices)
    cautions += _about_draining(pour.plan)
    return Step(pour, say, look_after=rest, finished=True, cautions=cautions)


def _about_draining(plan: Plan) -> tuple[Caution, ...]:
    if plan.way is Way.NO_HOLE:
        return (Caution.NO_SECOND, Caution.LOOK_AT_FLOOR)
    heavy = (Caution.BASTER,) if plan.heavy else ()
    return heavy + ((Caution.LIFT_OUT,) if plan.outer else ())


def _ask_to_empty(pour: Pour) -> Step:
    pour = replace(pour, stage=Stage.EMPTYING)
    say, choices = _EMPTY
    cautions = _about_draining(pour.plan)
    return Step(pour, say, give_up_after=GIVE_UP_AFTER, choices=choices, cautions=cautions)


def _gave_up(pour: Pour) -> Step:
    """Nobody answered: what was poured so far is a watering, the rest never happened."""
    anything = bool(pour.poured_l or pour.given)
    cautions = (Caution.TAKE_OUT,) if pour.plan.way is Way.SOAK and anything else ()
    pour = replace(pour, recorded=anything)
    return Step(_done(pour), Say.GAVE_UP, finished=anything, cautions=cautions)


def _done(pour: Pour) -> Pour:
    return replace(pour, stage=Stage.DONE, asks=None, choices=())


# --- steps --------------------------------------------------------------------------------


def _ask_to_pour(pour: Pour, say: Say, *cautions: Caution) -> Step:
    """Ask for the next portion."""
    _, choices = _OPENING[pour.plan.way]
    pour = replace(pour, stage=Stage.POURING, asks=say, choices=choices)
    if pour.plan.run_off_stops and pour.given and pour.plan.way is Way.TOP:
        cautions += (Caution.STOP_AT_RUN_OFF,)
    return Step(
        pour, say, pour.next_l, give_up_after=GIVE_UP_AFTER,
        choices=(*choices, Answer.STOPPED) if pour.given else choices, cautions=cautions,
    )  # fmt: skip


def _rest(
    pour: Pour,
    pause: timedelta,
    question: tuple[Say, tuple[Answer, ...]],
    say: Say = Say.WILL_LOOK,
    *cautions: Caution,
) -> Step:
    """Nothing is asked for a while; then `question`."""
    asks, choices = question
    pour = replace(pour, stage=Stage.RESTING, asks=asks, choices=choices)
    return Step(pour, say, look_after=pause, cautions=cautions)


def _question(pour: Pour, question: tuple[Say, tuple[Answer, ...]]) -> Step:
    asks, choices = question
    pour = replace(pour, stage=Stage.LOOKING, asks=asks, choices=choices)
    cautions = (Caution.TAKE_OUT,) if asks is Say.ASK_TAKEN_OUT else ()
    return Step(pour, asks, give_up_after=GIVE_UP_AFTER, choices=choices, cautions=cautions)
