"""A step of a coached pour in words, with its choices as buttons."""

from __future__ import annotations

from bot.talk import say
from bot.talk.catalogue import Catalogue
from bot.talk.message import Option, Reply, Step
from core.actions.pouring import Moved
from core.care.pourplan import Plan, Way
from core.care.pourstate import Answer, Caution, Pour, Say, Stage
from core.care.units import System, round_dose
from core.journal.plants import name_key

# What a choice says depends on the question in a few places.
_LABELS = {
    (Say.ASK_SUNK, Answer.SANK): "sunk-yes",
    (Say.ASK_SUNK, Answer.STANDS): "sunk-no",
    (Say.TIP_OUT, Answer.NONE): "empty-none",
    (Say.STAND_IN_WATER, Answer.POURED): "set-in",
    (Say.FILL_SAUCER, Answer.POURED): "filled",
    (Say.FILL_VESSEL, Answer.POURED): "filled",
    (Say.POUR_CUP, Answer.POURED): "filled",
    (Say.ASK_TAKEN_OUT, Answer.EMPTIED): "taken-out",
}
_SHARES = {1.0: "1", 0.5: "half", 0.25: "quarter"}


def pour_reply(words: Catalogue, units: System, moved: Moved, after: str = "") -> Reply:
    """What to say at a step; `after` is a line to end with."""
    step = moved.step
    lines = [_main(words, units, moved)]
    if step.say is Say.STOPPED and step.pour.rough:
        lines.append(words("pour-rough", call=moved.plant.call))
    if step.say is not Say.TIP_OUT:  # its sentence says it all
        lines += [_caution(words, caution) for caution in step.cautions]
    tipped = step.cautions or step.say is Say.ENOUGH_DRUNK  # the saucer was spoken of already
    if step.finished and step.pour.stage is Stage.DRAINING and not tipped:
        lines.append(words("pour-saucer-soon"))
    lines.append(after)
    text = "\n".join(line for line in lines if line)
    asked = Step(moved.talk_id, moved.version)
    return Reply(text, shown_options(words, moved), step=asked, about=moved.plant.id)


def _caution(words: Catalogue, caution: Caution) -> str:
    return words(f"pour-caution-{caution.value}")


def _main(words: Catalogue, units: System, moved: Moved) -> str:
    step, pour = moved.step, moved.step.pour
    plan = pour.plan
    amount = step.next_portion_l
    rest = step.look_after or plan.look_after
    return words(
        f"pour-say-{_key(moved)}",
        plant=moved.plant.name,
        amount=say.litres(words, _measured(pour, amount), units) if amount else "",
        total=say.litres(words, pour.total_l, units) if pour.total_l else "",
        minutes=round(rest.total_seconds() / 60),
        where=words(f"pour-where-{plan.water_to.value}"),
        share=words(f"pour-share-{_SHARES.get(plan.fill_share or 1.0, 'half')}"),
        depth=say.length(plan.level_m, units) if plan.level_m else "",
    )


def _measured(pour: Pour, amount: float) -> float:
    """Litres of the next portion as a jug has them, so that two halves add up to the whole said."""
    if pour.plan.way is not Way.TOP:
        return amount
    more = round_dose(pour.total_l + amount) - round_dose(pour.total_l)
    return round(more, 3) or amount


def _key(moved: Moved) -> str:
    """What is said, and which variant of it this pour needs."""
    step, pour = moved.step, moved.step.pour
    return f"{step.say.value}{_variant(step.say, pour)}"


def _variant(said: Say, pour: Pour) -> str:
    plan = pour.plan
    many = plan.way is not Way.METER and not in_halves(plan)
    nothing = not (pour.total_l or pour.given)
    found = {
        Say.POUR_FIRST: "-portion" if many else "",
        Say.POUR_NEXT: "-portion" if many else "",
        Say.FILL_VESSEL: f"-{plan.vessel.value}" if plan.vessel is not None else "",
        Say.ASK_SAUCER: "-outer" if plan.outer else "",
        Say.TIP_OUT: f"-{_where_it_drains(pour)}",
        Say.ALL_IN: "" if pour.total_l else "-unmeasured",
        Say.STOPPED: "-nothing" if nothing else "",
        Say.GAVE_UP: "-nothing" if nothing else "",
    }
    return found.get(said, "")


def in_halves(plan: Plan) -> bool:
    """Whether a pour is given in two portions of about the same size."""
    if plan.way is Way.PORTIONS or len(plan.portions_l) != 2:
        return False
    first, second = plan.portions_l
    return abs(first - second) < 0.1 * (first + second)


def _where_it_drains(pour: Pour) -> str:
    """Where water may stand afterwards: never ask for a saucer under a pot without a hole."""
    if pour.plan.way is Way.NO_HOLE:
        return "no-hole"
    if pour.plan.outer:
        return "outer"
    return "heavy" if pour.plan.heavy else "saucer"


def options(words: Catalogue, moved: Moved) -> tuple[Option, ...]:
    """The ways to answer by a tap; a reading is typed."""
    call, asked = moved.plant.call, moved.step.say
    return tuple(
        Option(_label(words, asked, choice), f"/pour {call} {choice.value}")
        for choice in moved.step.choices
        if choice is not Answer.READING
    )


def _label(words: Catalogue, asked: Say | None, choice: Answer) -> str:
    key = _LABELS.get((asked, choice), choice.value) if asked is not None else choice.value
    return words(f"pour-choice-{key}")


def labelled(words: Catalogue, pour: Pour, text: str) -> Answer | None:
    """The choice whose button says just this; a label may hold words of another answer."""
    choices = (one for one in pour.choices if one is not Answer.READING)
    key = name_key(text)
    return next((one for one in choices if name_key(_label(words, pour.asks, one)) == key), None)


def shown_options(words: Catalogue, moved: Moved) -> tuple[Option, ...]:
    """The choices that become buttons; while resting nothing is asked."""
    if moved.step.pour.stage in (Stage.RESTING, Stage.DRAINING):
        return ()
    return options(words, moved)
