"""A household's own journal judged in hindsight."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from core.care.drydown.hindsight import Kind
from core.care.drydown.scoring import score
from core.care.potsaid import PotSaid
from core.care.reading import Found, Layer, Reading
from core.journal.events import Arrived, Body, Checked, Poured
from core.journal.ledger import Entry
from core.journal.lookback import look_back
from core.journal.portrait import Home

BEGIN = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
FICUS = Arrived(
    name="Ficus", species_id="ficus-elastica", pot=PotSaid(said="15 cm pot", top_m=0.15)
)
LATER_PROBE = Kind(watered=False, first=False)


def journal(cycles: int, length: float = 8.0) -> list[Entry]:
    """A pot that falls from 10 to 2 in so many days, probed half way and at the end."""
    told: list[tuple[float, Body]] = [(0.0, FICUS)]
    for k in range(cycles):
        first = 0.1 + k * length
        told += [
            (first, Poured(full=True)),
            (first + length / 2, _deep(6)),
            (first + length - 1, _deep(4)),
            (first + length - 0.5, _deep(2)),
        ]
    return [
        Entry(number, 1, 7, at, at, number, body)
        for number, (at, body) in enumerate(
            ((BEGIN + timedelta(days=days), body) for days, body in told), 1
        )
    ]


def _deep(value: float) -> Checked:
    return Checked(Found((Reading(value, Layer.DEEP),)))


def test_every_watering_and_probe_is_judged_by_the_first_reading_at_the_line() -> None:
    found = list(look_back(journal(6), Home()))
    watered = [case for kind, case in found if kind.watered]
    assert len(watered) == 6
    assert {round(case.truth, 2) for case in watered if not case.cut} <= {5.5, 7.25}
    assert [round(case.naive, 2) for case in watered] == [7.0, *[8.0] * 5]


def test_a_regular_pot_is_soon_known_better_than_every_seven_days() -> None:
    cases = [case for kind, case in look_back(journal(8), Home()) if kind == LATER_PROBE]
    found = score(cases)
    assert found.n > 5
    assert found.error < min(found.fixed, 1.5)


def test_what_comes_later_does_not_change_a_forecast() -> None:
    short, whole = (list(look_back(journal(n), Home())) for n in (3, 6))
    assert [case.days for _, case in whole][: len(short)] == [case.days for _, case in short]


def test_a_household_without_waterings_has_nothing_to_judge() -> None:
    assert list(look_back(journal(0), Home())) == []
