"""The dose: bounds, monotony, what replaces the table, and the names of mixes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.care.dose import Dose, DoseKind, Drinker, LimitedBy, dose, mean_reading, one_side
from core.care.intake import Drink, OwnIntake, own_intake
from core.care.pots import resolve
from core.care.potsaid import PotSaid
from core.care.potshape import Pot
from core.care.substrate import (
    Porosity,
    WeightEnds,
    at_height,
    dryness,
    leaching_fraction,
    measured_porosity,
    missing_by_weight_l,
    reading_from_weight,
    water_content,
)
from core.knowledge.mixes import default_mix, find_mix, load_mixes, mixes, usual_mix
from core.knowledge.types import Habit, Method, Mix

PEAT = mixes()["peat"]
readings = st.floats(min_value=1, max_value=10)
some_mix = st.sampled_from(list(mixes().values()))


def pot(metres: float = 0.15, **said: object) -> Pot:
    return resolve(PotSaid("", top_m=metres, **said))  # type: ignore[arg-type]


def litres(found: Dose) -> float:
    return found.litres or 0.0


@given(
    metres=st.floats(min_value=0.05, max_value=0.8),
    mix=some_mix,
    middle=st.none() | readings,
    deep=st.none() | readings,
    hole=st.booleans(),
)
def test_a_dose_is_never_more_than_half_the_pot(
    metres: float, mix: Mix, middle: float | None, deep: float | None, *, hole: bool
) -> None:
    filled = pot(metres, hole=hole)
    found = dose(filled, mix, middle=middle, deep=deep)
    most = filled.half_l if hole else filled.filled_l / 4
    assert (found.litres is None) is (found.kind is not DoseKind.LITRES)
    assert 0 <= litres(found) <= most * (1 + 1e-12)
    assert found.half_pot_l == filled.half_l


@given(mix=some_mix, drier=readings, wetter=readings, hole=st.booleans())
def test_a_drier_pot_never_gets_less(mix: Mix, drier: float, wetter: float, *, hole: bool) -> None:
    drier, wetter = sorted((drier, wetter))
    filled = pot(hole=hole)
    assert litres(dose(filled, mix, deep=drier)) >= litres(dose(filled, mix, deep=wetter))


def test_without_a_reading_half_dry_is_taken_and_said() -> None:
    found = dose(pot(), PEAT)
    assert found.guessed
    assert litres(found) == pytest.approx(litres(dose(pot(), PEAT, deep=4.5)))
    assert not dose(pot(), PEAT, deep=4.5).guessed


def test_a_weighed_pot_overrules_its_readings() -> None:
    found = dose(pot(), PEAT, deep=1, missing_l=0.2)
    assert (found.limited_by, found.guessed) == (LimitedBy.WEIGHT, False)
    assert litres(found) == pytest.approx(0.22)
    assert dose(pot(), PEAT, missing_l=0.0).kind is DoseKind.NONE
    assert dose(pot(), PEAT, missing_l=3.0).limited_by is LimitedBy.HALF_POT


@pytest.mark.parametrize(
    ("middle", "deep", "mean"), [(None, None, None), (3, None, 3), (None, 5, 5), (2, 5, 3.5)]
)
def test_mean_reading(middle: float | None, deep: float | None, mean: float | None) -> None:
    assert mean_reading(middle, deep) == mean


def test_soaked_plants_without_a_hole_still_get_a_measure() -> None:
    orchid = Drinker(habit=Habit.SOAK, method=Method.BARK)
    closed = pot(hole=False)
    found = dose(closed, mixes()["orchid-bark"], drinker=orchid)
    assert (found.kind, found.limited_by) == (DoseKind.LITRES, LimitedBy.NO_HOLE)
    assert litres(found) == pytest.approx(closed.filled_l / 8)


def test_one_side_of_a_pot_without_a_hole() -> None:
    closed = pot(hole=False)
    assert litres(one_side(closed, PEAT)) == pytest.approx(closed.filled_l / 10)


# --- what the pot has shown ---------------------------------------------------------------


def drink(poured: float, *, reading: float = 1.0, run_off: float = 0.0, full: bool = True) -> Drink:
    return Drink(poured, run_off, reading, full)


def test_three_full_waterings_replace_the_table() -> None:
    three = [drink(0.45, run_off=0.05), drink(0.42, run_off=0.02), drink(0.40)]
    assert own_intake(pot(), three[:2]) is None
    own = own_intake(pot(), three)
    assert own is not None
    assert own.count == 3
    assert own.full_l == pytest.approx(0.40)
    found = dose(pot(), PEAT, deep=4.5, own=own)
    assert found.limited_by is LimitedBy.OWN_INTAKE
    assert litres(found) == pytest.approx(1.1 * 0.40 / 2)


def test_intake_is_scaled_to_a_pot_dry_right_through() -> None:
    half_dry = [drink(0.2, reading=4.5)] * 3
    own = own_intake(pot(), half_dry)
    assert own is not None
    assert own.full_l == pytest.approx(0.4)


def test_a_dose_that_never_ran_off_does_not_confirm_itself() -> None:
    assert own_intake(pot(), [drink(0.45, full=False)] * 10) is None
    full = [drink(0.3)] * 3
    small = own_intake(pot(), [*full, *[drink(0.2, full=False)] * 5])
    large = own_intake(pot(), [*full, *[drink(0.5, full=False)] * 4])
    assert small is not None
    assert large is not None
    assert small.full_l == pytest.approx(0.3)
    assert large.full_l > small.full_l


def test_own_doses_stay_put_when_given_again_and_again() -> None:
    """The tenth more runs off each time; the pot's own intake must not grow by it."""
    truth, given, drinks = 0.35, 0.0, [drink(0.40, run_off=0.05)] * 3
    for _ in range(20):
        own = own_intake(pot(), drinks)
        assert own is not None
        given = litres(dose(pot(), PEAT, deep=1, own=own))
        drinks = [*drinks, drink(given, run_off=given - truth)]
    assert given == pytest.approx(1.1 * truth)


def test_a_hardly_dry_pot_says_nothing_about_a_dry_one() -> None:
    assert own_intake(pot(), [drink(0.1, reading=7.5)] * 5) is None


@given(
    st.lists(
        st.builds(
            Drink,
            st.floats(min_value=0, max_value=50),
            st.floats(min_value=0, max_value=50),
            readings,
            st.booleans(),
        )
    )
)
def test_own_intake_stays_possible(drinks: list[Drink]) -> None:
    own = own_intake(pot(), drinks)
    if own is not None:
        assert 0.1 * pot().filled_l <= own.full_l <= 0.8 * pot().filled_l


def test_own_intake_keeps_the_ceiling() -> None:
    found = dose(pot(), PEAT, deep=1, own=OwnIntake(0.9, 3))
    assert (found.limited_by, litres(found)) == (LimitedBy.HALF_POT, pot().half_l)


# --- mix in the pot -----------------------------------------------------------------------


def test_weight_tells_the_water() -> None:
    ends = WeightEnds(1.9, 2.6)
    assert water_content(1.9, ends) == pytest.approx(0)
    assert reading_from_weight(2.6, ends) == pytest.approx(8)
    assert reading_from_weight(2.25, ends) == pytest.approx(4.5)
    assert reading_from_weight(1.5, ends) == 1
    assert missing_by_weight_l(2.31, ends) == pytest.approx(0.29)
    assert missing_by_weight_l(2.7, ends) == 0
    with pytest.raises(ValueError, match="heavier"):
        WeightEnds(2.0, 1.9)


@given(weight=st.floats(min_value=1.9, max_value=2.6))
def test_weight_and_reading_ask_for_the_same_share(weight: float) -> None:
    ends = WeightEnds(1.9, 2.6)
    share = missing_by_weight_l(weight, ends) / 0.7
    assert dryness(reading_from_weight(weight, ends)) == pytest.approx(share, abs=1e-9)


@given(
    capacity=st.floats(min_value=0.30, max_value=0.60),
    air=st.floats(min_value=0.05, max_value=0.35),
    height=st.floats(min_value=0.02, max_value=1.0),
)
def test_height_moves_water_and_air_against_each_other(
    capacity: float, air: float, height: float
) -> None:
    known = Porosity(air, capacity)
    other = at_height(known, 0.15, height)
    assert other.total == pytest.approx(known.total)
    assert (other.container_capacity < capacity) is (height > 0.15) or height == pytest.approx(0.15)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Porosity(0.6, 0.5),
        lambda: measured_porosity(1.0, 1.2, 0.1),
        lambda: measured_porosity(0, 0.5, 0.1),
        lambda: measured_porosity(1.0, 0.1, 0.2),
        lambda: leaching_fraction(0, 0),
        lambda: leaching_fraction(1.0, 1.1),
        lambda: at_height(Porosity(0.5, 0.2), 0.15, 0.3),
    ],
)
def test_what_can_not_be_is_refused(wrong: object) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        wrong()  # type: ignore[operator]


# --- names of mixes -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "mix"),
    [
        ("potting soil", "peat"), ("Potting Soil", "peat"), ("coco-coir", "coir"),
        ("cactus soil", "cactus-mix"), ("orchid bark", "orchid-bark"), ("bark", "orchid-bark"),
        ("nursery bark", "nursery-bark"), ("clay pebbles", "clay-pebbles"),
        ("clay-pebbles", "clay-pebbles"), ("sphagnum moss", "moss"), ("in water", "water"),
        ("gritty mix", "gritty"), ("peat with bark", "peat-bark"), ("peat mix", "peat"),
    ],
)  # fmt: skip
def test_mixes_are_found_by_what_people_call_them(typed: str, mix: str) -> None:
    found = find_mix(typed)
    assert found is not None
    assert found.id == mix


def test_unknown_mixes_are_not_guessed() -> None:
    assert find_mix("moon dust") is None
    assert default_mix().id == "peat"


def test_a_mix_is_taken_by_how_a_plant_is_grown() -> None:
    taken = {method: usual_mix(method).id for method in Method}
    assert taken[Method.SOIL] == default_mix().id
    assert (taken[Method.BARK], taken[Method.IN_WATER]) == ("orchid-bark", "water")


def test_every_mix_says_where_its_numbers_are_from() -> None:
    for mix in mixes().values():
        assert mix.source.split(":")[0].split(",")[0].strip()
        assert any(mark in mix.source for mark in ("SEEN", "MEMORY", "CP", "G:", "G,", "(G)"))
        assert (mix.fill_share is None) == (mix.fill_share_deep is None)
        if mix.fill_share and mix.container_capacity:
            assert mix.fill_share <= mix.container_capacity


ROW = """[[mix]]
id = "{id}"
names = ["{name}"]
coarse = false
meter_ok = true
source = "G"
"""


@pytest.mark.parametrize(
    ("text", "match"),
    [
        (ROW.format(id="a", name="x") + ROW.format(id="a", name="y"), "two mixes"),
        (ROW.format(id="a", name="x") + ROW.format(id="b", name="X"), "names both"),
        (ROW.format(id="a", name="x") + "fill_share = 1.5\nfill_share_deep = 0.2", "between"),
        (ROW.format(id="a", name="x") + "fill_share = 0.5", "come together"),
        (ROW.format(id="a", name="x") + "container_capacity = 0.6\nair_space = 0.5", "solids"),
    ],
)
def test_broken_mix_tables_are_refused(text: str, match: str) -> None:
    with pytest.raises(ValueError, match=match):
        load_mixes(text)
