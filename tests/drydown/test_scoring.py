"""The scoring itself, on cases worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from core.care.drydown.scoring import POINTS, Case, below, least_errors, percentile, score

DAYS = dict(zip(POINTS, (1.0, 2.0, 3.0, 4.0, 6.0, 9.0), strict=True))


def case(truth: float, *, cut: bool = False) -> Case:
    return Case(DAYS, truth, naive=5.0, fixed=7.0, cut=cut)


def test_errors_and_coverage_of_plain_cases() -> None:
    found = score([case(4.0), case(8.0), case(0.5), case(9.5)])
    assert found.error == pytest.approx((0 + 4 + 3.5 + 5.5) / 4)
    assert found.naive == pytest.approx((1 + 3 + 4.5 + 4.5) / 4)
    assert (found.half, found.wide) == (0.25, 0.5)


def test_cut_cases_enter_coverage_only() -> None:
    found = score([case(4.0), case(5.0, cut=True), case(8.0), case(9.5)])
    assert (found.n, found.cut) == (3, 1)
    assert found.error == pytest.approx((0 + 4 + 5.5) / 3)
    assert found.wide == pytest.approx(1 - (3 / 4) * (1 / 2))


def test_kaplan_meier_against_a_published_table() -> None:
    """Freireich 1963, 6-MP arm: S(6) 0.857, S(10) 0.753, S(16) 0.627, S(23) 0.448. FROM MEMORY."""
    weeks = [6, 6, 6, 7, 10, 13, 16, 22, 23, 6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35]
    cut = np.array([False] * 9 + [True] * 12)
    for week, alive in ((6, 0.857), (10, 0.753), (16, 0.627), (23, 0.448)):
        found = below(np.array(weeks, dtype=float), cut, week, inclusive=True)
        assert 1 - found == pytest.approx(alive, abs=0.001)


def test_percentile_between_and_beyond_the_points() -> None:
    assert percentile(DAYS, 5.0) == pytest.approx(62.5)
    assert percentile(DAYS, 0.2) == 5.0
    assert percentile(DAYS, 20.0) == 95.0
    assert percentile(dict.fromkeys(POINTS, 0.0), 0.0) == 50.0


def test_cut_cases_count_by_what_is_known_of_them() -> None:
    assert least_errors([case(6.0), case(3.0, cut=True), case(9.0, cut=True)]) == pytest.approx(
        ((2 + 0 + 5) / 3, (1 + 0 + 4) / 3, (1 + 0 + 2) / 3)
    )
