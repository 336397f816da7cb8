"""A key put together from a kind: every kind that there is can be said."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from bot.talk import checkwords
from bot.talk.catalogue import Catalogue, languages
from core.actions.invites import Came
from core.actions.lows import Fact
from core.actions.picturing import Refused
from core.actions.rights import Right
from core.actions.roundplan import Why
from core.care.decision import Ask, Decision, Reason
from core.care.dose import Vessel
from core.care.drydown.alarm import Pace
from core.care.errands import Errand
from core.care.glass import Glazing
from core.care.light import Fit
from core.care.pourstate import Caution
from core.care.reading import Layer, Level, Sign, Wetness
from core.care.units import System
from core.knowledge.types import Danger, Habit, Leaf, LightClass, WaterTo

FAMILIES: dict[str, Iterable[str]] = {
    "verdict-why-": Reason,
    "verdict-do-": Decision,
    "verdict-ask-": Ask,
    "verdict-layer-": Layer,
    "entry-layer-": Layer,
    "entry-level-": Level,
    "entry-sign-": Sign,
    "entry-word-": Wetness,
    "check-tap-": [word for words in checkwords.TAPS.values() for word in words],
    "round-why-": Why,
    "round-chore-": Errand,
    "pour-caution-": Caution,
    "pour-where-": WaterTo,
    "dose-fill-": Vessel,
    "notice-": Pace,
    "plant-wants-": Habit,
    "plant-danger-": Danger,
    "spot-light-": LightClass,
    "place-": Fit,
    "photo-": Refused,
    "household-units-": System,
    "people-needs-": [need for need in Right if need is not Right.CARE],
    "invite-": [came for came in Came if came is not Came.JOINED],
    "room-window-": Glazing,
    "low-ask-": Fact,
    "tend-leaf-": [leaf for leaf in Leaf if leaf is not Leaf.SMOOTH],
}


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("family", FAMILIES)
def test_every_kind_has_its_words(language: str, family: str) -> None:
    words = Catalogue(language)
    kinds = [str(kind).replace(" ", "-").replace("_", "-") for kind in FAMILIES[family]]
    assert kinds
    assert not [kind for kind in kinds if not words.has(f"{family}{kind}")]
