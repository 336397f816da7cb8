"""The dose of a plant as it was last judged."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from core.actions.checking import dose_now
from core.care.dose import DoseKind
from core.care.potsaid import PotSaid
from core.journal.portrait import Home, portrait
from core.journal.state import Judged, PlantState

PLANTER = PlantState(
    name="Peace",
    species_id="spathiphyllum-wallisii",
    pot=PotSaid(said="17 cm", top_m=0.17, self_watering=True),
    arrived_at=datetime(2026, 5, 4, tzinfo=UTC),
)


@pytest.mark.parametrize(
    ("decision", "kind"),
    [("fill", DoseKind.FILL), ("water", DoseKind.LITRES), ("soak-late", DoseKind.LITRES)],
)
def test_a_reservoir_is_filled_only_where_the_verdict_says_fill(
    decision: str, kind: DoseKind
) -> None:
    """A wick gone dry, or a fresh repot, is watered from the top: common practice, no source."""
    judged = replace(PLANTER, judged=Judged(decision=decision, reason="ready", args={}, until=None))
    assert dose_now(portrait(judged, Home())).kind is kind


def test_a_reservoir_nobody_has_probed_is_filled() -> None:
    assert dose_now(portrait(PLANTER, Home())).kind is DoseKind.FILL
