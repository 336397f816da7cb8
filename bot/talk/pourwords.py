"""A step of a coached pour in words, with its choices as buttons."""

from __future__ import annotations

from bot.talk import say
from bot.talk.answers import ANY_NUMBER
from bot.talk.catalogue import Catalogue
from bot.talk.message import Option, Reply, Step
from core.actions.pouring import Moved
from core.care.pourplan import Way
from core.care.pourstate import Answer, Caution, Pour, Say, Stage
from core.care.units import System

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
    lines += [_caution(words, caution) for caution in step.cautions]
    if step.finished and step.pour.stage is Stage.DRAINING and not step.cautions:
        lines.append(words("pour-saucer-soon"))
    lines.append(after)
    text = "\n".join(line for line in lines if line)
    return Reply(text, shown_options(words, moved), step=Step(moved.talk_id, moved.version))


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
        amount=say.litres(words, amount, units) if amount else "",
        total=say.litres(words, pour.total_l, units) if pour.total_l else "",
        minutes=round(rest.total_seconds() / 60),
        where=words(f"pour-where-{plan.water_to.value}"),
        share=words(f"pour-share-{_SHARES.get(plan.fill_share or 1.0, 'half')}"),
        depth=say.length(plan.level_m, units) if plan.level_m else "",
    )


def _key(moved: Moved) -> str:
    step, pour = moved.step, moved.step.pour
    many = pour.plan.way is Way.PORTIONS or len(pour.plan.portions_l) != 2
    if step.say in (Say.POUR_FIRST, Say.POUR_NEXT) and many:
        return f"{step.say.value}-portion"
    if step.say is Say.FILL_VESSEL and pour.plan.vessel is not None:
        return f"{step.say.value}-{pour.plan.vessel.value}"
    if step.say is Say.ALL_IN and not pour.total_l:
        return "all-in-unmeasured"
    if step.say in (Say.STOPPED, Say.GAVE_UP) and not (pour.total_l or pour.given):
        return f"{step.say.value}-nothing"
    return str(step.say.value)


def options(words: Catalogue, moved: Moved) -> tuple[Option, ...]:
    """The ways to answer, with the hidden one that takes a reading."""
    call = moved.plant.call
    asked = moved.step.say
    found = []
    for choice in moved.step.choices:
        if choice is Answer.READING:
            found.append(Option(ANY_NUMBER, f"/pour {call} {{text}}"))
            continue
        label = words(f"pour-choice-{_LABELS.get((asked, choice), choice.value)}")
        found.append(Option(label, f"/pour {call} {choice.value}"))
    return tuple(found)


def shown_options(words: Catalogue, moved: Moved) -> tuple[Option, ...]:
    """The choices that become buttons; while resting nothing is asked."""
    if moved.step.pour.stage in (Stage.RESTING, Stage.DRAINING):
        return ()
    return tuple(one for one in options(words, moved) if one.label != ANY_NUMBER)


def pour_state(words: Catalogue, units: System, pour: Pour) -> str:
    """How much is in so far."""
    return say.litres(words, pour.total_l, units) if pour.total_l else say.plain_litres(0)
