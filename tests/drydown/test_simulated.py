"""A few simulated households, so that a change that spoils the forecasts fails before a bench does.

Bounds are the goals of the bench with room for chance; the households are of the tuning seeds.
"""

from __future__ import annotations

import pytest

from core.care.drydown.scoring import Score, score
from tests.drydown.contenders import Theirs
from tests.drydown.people import find_truths, live
from tests.drydown.replaying import Scored, replayed
from tests.drydown.simulator import household


@pytest.fixture(scope="module")
def scored() -> dict[str, list[Scored]]:
    lives = live([household(seed) for seed in range(104, 110)], 240)
    find_truths(lives)
    return {"ours": replayed(lives), "prototype": replayed(lives, Theirs), "again": replayed(lives)}


def later(found: list[Scored]) -> Score:
    return score(s.case for s in found if s.shot.what == "watered" and s.shot.cycle > 4)


def test_later_cycles_beat_the_simple_rules_and_the_prototype(
    scored: dict[str, list[Scored]],
) -> None:
    ours = later(scored["ours"])
    assert ours.n > 500
    assert ours.error < 0.62 * ours.naive
    assert ours.error < 0.42 * ours.fixed
    assert ours.error < later(scored["prototype"]).error


def test_ranges_hold_about_as_often_as_they_say(scored: dict[str, list[Scored]]) -> None:
    ours = later(scored["ours"])
    assert 0.45 < ours.half < 0.70
    assert 0.75 < ours.wide < 0.93
    first = score(s.case for s in scored["ours"] if s.shot.cycle == 1)
    assert first.wide > 0.7


def test_the_same_events_give_the_same_forecasts(scored: dict[str, list[Scored]]) -> None:
    for one, other in zip(scored["ours"], scored["again"], strict=True):
        assert one.case.days == other.case.days


def test_a_household_is_what_its_seed_makes_it() -> None:
    one, other = household(7), household(7)
    assert one.habit == other.habit
    assert (one.vpd == other.vpd).all()
