"""What each event makes of a plant, and that the order of reading doesn't matter."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.care.potsaid import PotSaid
from core.care.reading import Found, Layer, Level, Reading, Sign
from core.journal.events import (
    Arrived,
    Body,
    Checked,
    Described,
    Drained,
    Left,
    Moved,
    Postponed,
    Poured,
    Repotted,
    Spot,
    Tended,
    read,
    write,
)
from core.journal.fold import fold, fold_all
from core.journal.ledger import Entry
from core.journal.portrait import Home
from core.journal.state import NEVER, PlantState, read_state, write_state

DAY = timedelta(days=1)
BEGIN = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
HOME = Home()
POT = PotSaid(said="15 cm pot", top_m=0.15)
FERN = Arrived(name="Fern", species_id="nephrolepis-exaltata", pot=POT)
VIPER = Arrived(name="Viper", species_id="dracaena-trifasciata", pot=POT)


def entry(body: Body, days: float = 0.0, number: int = 1, person: int | None = 7) -> Entry:
    """One event, so many days after the plant arrived."""
    at = BEGIN + days * DAY
    return Entry(number, 1, person, at, at, number, body)


def after(*told: tuple[float, Body]) -> PlantState:
    """The state after events at so many days."""
    return fold_all(
        [entry(body, days, number) for number, (days, body) in enumerate(told, 1)], HOME
    )


def deep(*values: float) -> Checked:
    """A check of so many places, deep."""
    return Checked(Found(tuple(Reading(value) for value in values)))


def test_a_plant_without_events_never_was() -> None:
    """An arrival that was taken back leaves nothing that could be listed."""
    assert fold_all([], HOME).left_at == NEVER


def test_an_arrival_asks_for_a_first_probe_within_three_days() -> None:
    """An unknown pot is probed by day 3; a plant that dries through by day 7 (CP for 7-10)."""
    fern, viper = after((0, FERN)).probe_at, after((0, VIPER)).probe_at
    assert fern is not None
    assert viper is not None
    assert BEGIN + DAY <= fern <= BEGIN + 3 * DAY
    assert BEGIN + 3 * DAY < viper <= BEGIN + 7 * DAY


def test_a_check_keeps_who_probed_and_when() -> None:
    """The last check is told with its person."""
    state = after((0, FERN), (1, deep(3, 4)))
    assert state.probed is not None
    assert (state.probed.by, state.probed.at) == (7, BEGIN + DAY)


def test_a_pour_ends_the_dry_spell_and_the_verdict() -> None:
    """After water the old reading says nothing."""
    state = after((0, VIPER), (1, deep(1, 1)), (2, Poured(0.4)))
    assert state.first_dry_at is None
    assert state.judged is None
    assert state.watered is not None
    assert state.watered.litres == 0.4


def test_a_sip_on_the_dry_side_leaves_the_rest_of_the_pot_dry_since_when_it_was() -> None:
    """A tenth of the pot on one side doesn't restart the clock of the whole."""
    state = after((0, VIPER), (1, deep(1, 1)), (2, Poured(0.1, extent="sip")))
    assert state.first_dry_at == BEGIN + DAY


def test_a_removal_is_no_watering() -> None:
    """Tipping out a saucer changes neither the last water nor the verdict."""
    before = after((0, FERN), (1, Poured(0.4)))
    state, _ = fold(before, entry(Drained(0.05), 1.1, 9), HOME)
    assert state.watered == before.watered
    assert state.probe == before.probe
    assert state.drained_at == BEGIN + 1.1 * DAY


def test_a_dry_down_is_learned_once_a_cycle() -> None:
    """From a watering to the first reading at the line; a second reading adds nothing."""
    state = after((0, FERN), (1, Poured(0.4)), (6, deep(6)), (7, deep(4)))
    assert state.drydowns_d == pytest.approx((5.0,))


def test_a_probe_that_came_late_teaches_the_pots_time_and_not_the_persons() -> None:
    """Found at 1 after sixteen days, a fern was at its line (6) after six of them."""
    state = after((0, FERN), (1, Poured(0.4)), (17, deep(1)))
    assert state.drydowns_d == pytest.approx((16 * (9 - 6) / (9 - 1),))
    assert state.watered is not None
    again, _ = fold(state, entry(Poured(0.4), 17.1, 9), HOME)
    assert again.probe_at is not None
    assert again.probe_at - (BEGIN + 17.1 * DAY) < 7 * DAY


def test_a_reading_above_two_voids_the_dry_clock() -> None:
    """Dry, then 4, then dry again: the clock counts from the second time."""
    state = after((0, VIPER), (1, deep(1, 1)), (3, deep(4)), (9, deep(1, 1)))
    assert state.first_dry_at == BEGIN + 9 * DAY
    assert state.last_not_dry_at == BEGIN + 3 * DAY


def test_a_surface_reading_is_not_a_dry_pot() -> None:
    """A dry surface starts no clock."""
    state = after((0, VIPER), (1, Checked(Found((Reading(1.0, Layer.SURFACE),)))))
    assert state.first_dry_at is None


def test_three_full_waterings_are_remembered_as_drinks() -> None:
    """What went in, what ran off, and how dry it was before."""
    told = [
        (days, body)
        for round_ in range(3)
        for days, body in (
            (round_ * 6 + 5, deep(3)),
            (round_ * 6 + 5.1, Poured(0.5, 0.05, full=True)),
        )
    ]
    state = after((0, FERN), *told)
    assert [(one.poured_l, one.run_off_l, one.reading) for one in state.drinks] == [
        (0.5, 0.05, 3.0)
    ] * 3


def test_a_repot_forgets_what_the_old_pot_showed() -> None:
    """New mix dries anew: dry-downs, drinks and weights are set aside."""
    state = after(
        (0, FERN),
        (0.5, Described(wet_kg=2.6, dry_kg=1.9)),
        (1, Poured(0.4)),
        (6, deep(4)),
        (7, Repotted(pot=replace(POT, top_m=0.18))),
    )
    assert (state.drydowns_d, state.drinks, state.wet_kg, state.dry_kg) == ((), (), None, None)
    assert state.pot is not None
    assert state.pot.top_m == 0.18


def weighed(kg: float, *values: float) -> Checked:
    """A check with a kitchen scale, and so many deep readings beside it."""
    return Checked(Found(tuple(Reading(value) for value in values), kg))


def test_both_weights_are_learned_from_the_journal() -> None:
    """Weighed after a watering and again when it reads dry; in between says neither."""
    state = after(
        (0, FERN), (1, Poured(0.5)), (1.1, weighed(2.6)), (4, weighed(2.3, 5)), (7, weighed(1.9, 2))
    )
    assert (state.wet_kg, state.dry_kg) == (2.6, 1.9)
    assert state.judged is not None
    assert state.judged.decision == "soak-late"


def test_a_weight_after_a_sip_is_no_wet_end() -> None:
    """A tenth of the pot doesn't fill it."""
    state = after((0, FERN), (1, Poured(0.1, extent="sip")), (1.1, weighed(2.2)))
    assert state.wet_kg is None


def test_a_weight_between_its_ends_reads_like_a_meter() -> None:
    """Halfway between wet and dry is halfway on the scale: no probe needed."""
    state = after((0, FERN), (0.5, Described(wet_kg=2.6, dry_kg=1.9)), (1, weighed(2.55)))
    assert state.judged is not None
    assert state.judged.decision == "wait"


def test_a_probe_put_off_moves_that_probe_only() -> None:
    """The next check goes by the pot's rhythm again."""
    put_off = after((0, FERN), (1, deep(8)), (2, Postponed(BEGIN + 9 * DAY)))
    assert put_off.probe_at == BEGIN + 9 * DAY
    again = after((0, FERN), (1, deep(8)), (2, Postponed(BEGIN + 9 * DAY)), (9, deep(8)))
    plain = after((0, FERN), (1, deep(8)), (9, deep(8)))
    assert again.probe == plain.probe


def test_a_plant_that_left_is_due_for_nothing() -> None:
    """Its story stays; its probe doesn't."""
    state = after((0, FERN), (3, Left("given")))
    assert state.probe_at is None
    assert state.left_because == "given"


def test_a_name_told_later_keeps_everything_else() -> None:
    """A rename changes the name."""
    before = after((0, FERN), (1, deep(5)))
    state, _ = fold(before, entry(Described(name="Fred"), 2, 9), HOME)
    assert state.name == "Fred"


BODIES = st.one_of(
    st.builds(
        Checked,
        st.builds(
            Found,
            st.lists(
                st.builds(Reading, st.integers(1, 10).map(float), st.sampled_from(Layer)),
                max_size=4,
            ).map(tuple),
            st.none() | st.floats(0.2, 9),
            st.none() | st.sampled_from(Level),
            st.frozensets(st.sampled_from(Sign), max_size=2),
        ),
    ),
    st.builds(
        Poured,
        st.none() | st.floats(0.01, 3),
        st.none() | st.floats(0, 0.5),
        st.just("told"),
        st.just(()),
        st.sampled_from(["sip", "half", "through"]),
        st.booleans(),
    ),
    st.builds(Drained, st.none() | st.floats(0.01, 1)),
    st.builds(Tended, st.sampled_from(["turn", "wipe", "feed", "scout"]), st.text(max_size=9)),
    st.builds(Repotted, st.none() | st.just(POT), st.sampled_from(["", "peat", "cactus-mix"])),
    st.builds(
        Moved,
        st.builds(
            Spot, st.sampled_from(["", "kitchen"]), st.sampled_from(["", "N", "SW"]), st.none()
        ),
    ),
    st.builds(
        Described,
        species_id=st.sampled_from([None, "cattleya", "lithops", "phalaenopsis-amabilis"]),
        mix=st.sampled_from([None, "orchid-bark", "water", "peat"]),
        hole=st.none() | st.booleans(),
        wet_kg=st.none() | st.floats(1, 9),
        dry_kg=st.none() | st.floats(1, 9),
        resting=st.none() | st.booleans(),
    ),
)


@given(st.lists(st.tuples(st.floats(0, 40), BODIES), max_size=12))
def test_any_journal_adds_up_and_comes_back_from_its_text(told: list[tuple[float, Body]]) -> None:
    """No order of events fails, and state and bodies read back as they were written."""
    told.sort(key=lambda pair: pair[0])
    state = after((0, FERN), *told)
    assert read_state(write_state(state)) == state
    for _, body in told:
        assert read(body.kind, body.version, write(body)) == body


def test_equal_checks_make_equal_texts_though_a_set_has_its_own_order_in_each_program() -> None:
    kept = json.loads(write(Checked(Found(signs=frozenset(Sign)))))
    assert kept["found"]["signs"] == sorted(Sign)
