"""Where a coached pour stands: what was asked, what was answered, what went in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from typing import Any, Final, Self

from core.care.pourplan import Plan, Way

_VERSION: Final = 1

# How much of the planned water makes a sip, half a watering, or one right through (ours).
_SIP_UNDER: Final = 0.3
_THROUGH_FROM: Final = 0.75
_MOST_IF_THROUGH: Final = 0.5

# Less than a drop is rounding, not water.
_DROP_L: Final = 5e-5
_ROUNDING: Final = 1e-9


class Stage(StrEnum):
    """What the pour is waiting for."""

    POURING = "pouring"  # somebody pours and says what happened
    RESTING = "resting"  # time; nothing is asked
    LOOKING = "looking"  # an answer to what was looked at
    DRAINING = "draining"  # the water is in; time until the saucer is emptied
    EMPTYING = "emptying"  # an answer whether it was emptied
    DONE = "done"


class Answer(StrEnum):
    """What a person can say back."""

    POURED = "poured"
    STANDS = "stands"  # the water stands on top
    THROUGH = "through"  # it ran straight through
    STOPPED = "stopped"  # stopped early
    NONE = "none"  # no water in the saucer
    WATER = "water"  # there is water in the saucer
    SANK = "sank"  # it sank in at once
    READING = "reading"  # a deep reading, as a number
    DRUNK = "drunk"  # the saucer was drunk empty
    STANDING = "standing"  # water still stands in the saucer
    HEAVY = "heavy"  # the pot is heavy, or the surface dark
    LIGHT = "light"  # neither
    EMPTIED = "emptied"  # tipped out, or taken out of the water


class Say(StrEnum):
    """What to tell or ask; the words are somebody else's."""

    POUR_FIRST = "pour-first"
    POUR_NEXT = "pour-next"
    POUR_LITTLE = "pour-little"
    POUR_ALL = "pour-all"  # no hole: the one portion
    POUR_DRY_SIDE = "pour-dry-side"
    POUR_CUP = "pour-cup"
    FILL_SAUCER = "fill-saucer"
    FILL_VESSEL = "fill-vessel"
    STAND_IN_WATER = "stand-in-water"
    WET_FROM_ABOVE = "wet-from-above"
    WILL_LOOK = "will-look"
    WAIT_TO_SINK = "wait-to-sink"
    WAIT_LONGER = "wait-longer"
    ASK_SAUCER = "ask-saucer"
    ASK_SUNK = "ask-sunk"
    ASK_DEEP = "ask-deep"
    ASK_DRUNK = "ask-drunk"
    ASK_HEAVY = "ask-heavy"
    ASK_TAKEN_OUT = "ask-taken-out"
    ALL_IN = "all-in"
    ENOUGH_BELOW = "enough-below"  # water showed in the saucer
    ENOUGH_DEEP = "enough-deep"  # the meter reads wet below
    ENOUGH_DRUNK = "enough-drunk"  # it drinks no more from the saucer
    ENOUGH_HEAVY = "enough-heavy"
    STOPPED = "stopped"
    BLOCKED = "blocked"  # water won't go down: look at the hole and the roots
    TIP_OUT = "tip-out"
    TIDY = "tidy"  # emptied, nothing left to do
    GAVE_UP = "gave-up"  # nobody answered; what was poured so far is kept
    CLOSED = "closed"  # nothing to say
    NOTHING_DUE = "nothing-due"


class Caution(StrEnum):
    """What to mind at this step, and only here."""

    STOP_AT_RUN_OFF = "stop-at-run-off"
    RUN_OFF_NO_SIGN = "run-off-no-sign"
    RAN_THROUGH = "ran-through"  # dried-out mix, a channel, or a pot full of roots
    STILL_LIGHT = "still-light"  # it let the water pass: stand it in water
    NO_SECOND = "no-second"  # no hole: nothing more before a probe
    LOOK_AT_FLOOR = "look-at-floor"  # no hole: tip the pot or look down a tube
    BASTER = "baster"  # heavy: a baster or towel, don't lift
    LIFT_OUT = "lift-out"  # outer pot: lift out or look for standing water
    TAKE_OUT = "take-out"  # never leave it standing in water


class Extent(StrEnum):
    """How far a watering went."""

    SIP = "sip"
    HALF = "half"
    THROUGH = "through"


class UnexpectedAnswerError(ValueError):
    """An answer to something that wasn't asked; `choices` are the ones that were."""

    def __init__(self, choices: tuple[Answer, ...]) -> None:
        """Keep what could have been answered."""
        super().__init__("that wasn't asked")
        self.choices = choices


@dataclass(frozen=True, slots=True)
class Pour:
    """One coached pour. Never changed: each step makes the next.

    `asks` is the question now open or, while resting, the next one, `choices` the answers to it.
    `turn` counts the steps, so that a tap on an old one can be told. `given` is how many
    portions of the plan were given, `poured_l` all litres that went in, in order. `run_off_l`
    ran below as far as somebody said, `removed_l` was tipped out: a removal, not a watering.
    `rough`: some amount wasn't said and was taken to be half a portion.
    """

    plan: Plan
    stage: Stage
    asks: Say | None = None
    choices: tuple[Answer, ...] = ()
    turn: int = 0
    given: int = 0
    poured_l: tuple[float, ...] = ()
    looks: tuple[Answer, ...] = ()
    run_off_l: float = 0.0
    removed_l: float = 0.0
    full: bool = False
    rough: bool = False
    recorded: bool = False

    @property
    def total_l(self) -> float:
        """Litres poured so far."""
        return sum(self.poured_l)

    @property
    def next_l(self) -> float | None:
        """Litres of the next portion; None when there is none."""
        if self.given < len(self.plan.portions_l):
            return self.plan.portions_l[self.given]
        left = self.plan.ceiling_l - self.total_l
        if self.plan.again_l <= 0 or left < _DROP_L:
            return None
        return min(self.plan.again_l, left)

    def to_dict(self) -> dict[str, Any]:
        """Plain values for the dialogue's row; `v` tells the layout."""
        return {
            "v": _VERSION,
            "plan": self.plan.to_dict(),
            "stage": self.stage.value,
            "asks": self.asks.value if self.asks else None,
            "choices": [choice.value for choice in self.choices],
            "turn": self.turn,
            "given": self.given,
            "poured_l": list(self.poured_l),
            "looks": [look.value for look in self.looks],
            "run_off_l": self.run_off_l,
            "removed_l": self.removed_l,
            "full": self.full,
            "rough": self.rough,
            "recorded": self.recorded,
        }

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """The pour `to_dict` wrote. Raises ValueError for a layout not known here."""
        fields = dict(data)
        if fields.pop("v", None) != _VERSION:
            raise ValueError(f"pour layout {data.get('v')!r} is not known here")
        fields["plan"] = Plan.from_dict(fields["plan"])
        fields["stage"] = Stage(fields["stage"])
        fields["asks"] = Say(fields["asks"]) if fields["asks"] else None
        for key in ("choices", "looks"):
            fields[key] = tuple(Answer(value) for value in fields[key])
        fields["poured_l"] = tuple(fields["poured_l"])
        return cls(**fields)


@dataclass(frozen=True, slots=True)
class Step:
    """What happens next.

    `say` with `choices` as answers; `next_portion_l` litres to pour now. `look_after`: call
    `time_up` after this long; `give_up_after`: the same for a question nobody answers.
    `finished` is true on exactly one step: record the watering now.
    """

    pour: Pour
    say: Say
    next_portion_l: float | None = None
    look_after: timedelta | None = None
    give_up_after: timedelta | None = None
    choices: tuple[Answer, ...] = ()
    finished: bool = False
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class Outcome:
    """A finished pour as the journal keeps it.

    `litres` None where nobody measured (soaked, filled to a level, into the cup); `full`: it was
    given all it could take, so what went in less what ran off is what it was short of.
    """

    way: Way
    litres: float | None
    portions_l: tuple[float, ...]
    run_off_l: float
    extent: Extent
    full: bool
    rough: bool


def outcome(pour: Pour) -> Outcome | None:
    """What to record of a pour so far; None when no water went in."""
    by_litres = bool(pour.poured_l)
    unmeasured = pour.plan.way in (Way.SOAK, Way.FILL, Way.CUP) and pour.given > 0
    if not by_litres and not unmeasured:
        return None
    litres = pour.total_l if by_litres else None
    extent = _extent(pour)
    return Outcome(
        pour.plan.way, litres, pour.poured_l, pour.run_off_l, extent, pour.full, pour.rough
    )


def _extent(pour: Pour) -> Extent:
    if pour.plan.way is Way.DRY_SIDE:
        return Extent.SIP
    if pour.plan.way is Way.NO_HOLE:
        return Extent.HALF
    if pour.full or not pour.poured_l or pour.plan.dose_l <= 0:
        return Extent.THROUGH
    share = pour.total_l / pour.plan.dose_l
    if Answer.THROUGH in pour.looks:  # it went past the roots, however much it was
        share = min(share, _MOST_IF_THROUGH)
    if share < _SIP_UNDER:
        return Extent.SIP
    return Extent.THROUGH if share >= _THROUGH_FROM - _ROUNDING else Extent.HALF
