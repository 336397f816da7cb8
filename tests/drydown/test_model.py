"""The drying model's own promises: order, determinism, what is kept and what forgotten."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from math import log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.care.drydown import filter as drying
from core.care.drydown import grid
from core.care.drydown.alarm import Pace, alarm
from core.care.drydown.clock import Clock, in_days
from core.care.drydown.curve import curve, usual_cycle
from core.care.drydown.forecast import POINTS, Forecast, forecast
from core.care.drydown.memory import found_in
from core.care.drydown.reports import of_readings, of_values, of_weight, of_word
from core.care.drydown.state import House, Plant
from core.care.reading import Instrument, Layer, Reading, Wetness
from core.care.situation import Extent

START = datetime(2026, 3, 2, 8, tzinfo=UTC)
Pair = tuple[Plant, House]


def fresh(days: float = 10.0, target: float = 4.5) -> Pair:
    return drying.new_plant(log(days), target), drying.new_house(START)


def at(day: float) -> datetime:
    return START + timedelta(days=day)


def lived(
    pair: Pair, cycles: int, length: float, begin: float = 0.0, low: float = 4.0
) -> tuple[Pair, float]:
    """Cycles in which readings fall from 10 to `low` in a straight line, probed four times."""
    plant, house = pair
    day = begin
    for _ in range(cycles):
        plant, house = drying.watered(plant, house, at(day))
        for share in (0.25, 0.5, 0.75, 1.0):
            seen = drying.observe(
                plant, house, at(day + share * length), of_values([10 - (10 - low) * share])
            )
            plant, house = seen.plant, seen.house
        day += length
    plant, house = drying.watered(plant, house, at(day))
    return (plant, house), day


def middle(pair: Pair, day: float) -> float:
    return forecast(*pair, at(day)).days[50]


def test_points_come_in_order_and_none_is_negative() -> None:
    pair, day = lived(fresh(), 2, 8.0)
    for ahead in (0.0, 3.0, 9.0, 40.0):
        days = list(forecast(*pair, at(day + ahead)).days.values())
        assert days == sorted(days)
        assert days[0] >= 0


@pytest.mark.parametrize("length", [3.0, 8.0, 25.0])
def test_a_steady_pot_is_learned(length: float) -> None:
    pair, day = lived(fresh(), 5, length)
    found = forecast(*pair, at(day))
    assert found.days[10] < length < found.days[90]
    assert found.days[50] == pytest.approx(length, rel=0.25)
    assert not found.rough


def test_first_probe_by_day_three_and_by_day_seven_for_plants_that_dry_through() -> None:
    plant, house = fresh(days=60)
    assert forecast(plant, house, at(0)).probe_in == timedelta(days=3)
    assert forecast(plant, house, at(0), dries_through=True).probe_in == timedelta(days=7)


def test_a_probe_is_asked_for_a_day_after_the_last_at_the_earliest() -> None:
    plant, house = drying.watered(*fresh(), at(0))
    seen = drying.observe(plant, house, at(5), of_values([1]))
    found = forecast(seen.plant, seen.house, at(5))
    assert found.days[50] == 0
    assert found.probe_in == timedelta(days=1)


def test_house_mates_teach_an_unknown_pot() -> None:
    """Pots that dry three times slower than guessed make a new one's guess longer."""
    (plant, house), day = lived(fresh(days=5), 4, 15.0)
    other, house_of_other = drying.new_plant(log(5), 4.5), house
    alone = forecast(*fresh(days=5), at(day)).days[50]
    assert forecast(other, house_of_other, at(day)).days[50] > 1.3 * alone
    assert drying.gone(plant, house).pooled.precision == pytest.approx(0)


def test_a_pot_that_still_reads_near_ten_tells_its_house_mates_nothing() -> None:
    """Not yet falling only says "not fast"; a fall begun says how fast."""
    plant, house = drying.watered(*fresh(), at(0))
    for day, value in ((1, 10), (2, 9), (4, 9)):
        seen = drying.observe(plant, house, at(day), of_values([value]))
        plant, house = seen.plant, seen.house
    assert house.pooled.precision == 0
    falling = drying.observe(plant, house, at(6), of_values([7]))
    assert falling.house.pooled.precision > 0


def test_a_finger_at_a_dry_surface_is_no_fall_of_the_deep() -> None:
    plant, house = drying.watered(*fresh(), at(0))
    dry_above = of_word(Wetness.DRY, Instrument.FINGER)
    assert drying.observe(plant, house, at(3), dry_above).house.pooled.precision == 0


def test_a_cycle_cut_short_teaches_less_than_a_whole_one() -> None:
    whole, day = lived(fresh(), 1, 9.0, low=4.0)
    cut, cut_day = lived(fresh(), 1, 4.5, low=7.0)
    assert 0 < cut[0].own.precision < 0.5 * whole[0].own.precision
    assert day > cut_day
    nothing, _ = lived(fresh(), 1, 1.5, low=9.0)
    assert nothing[0].own.precision == 0
    assert nothing[0].cycles == 0


def test_a_lone_households_pooling_leaves_its_own_pot_out() -> None:
    (plant, house), _ = lived(fresh(), 1, 8.0)
    assert house.pooled.precision == pytest.approx(plant.share.precision)


@given(data=st.data())
@settings(max_examples=25)
def test_a_stored_pot_goes_on_as_one_that_was_not_stored(data: st.DataObject) -> None:
    """State through JSON and the journal told anew agree to 1e-9, whatever was told."""
    kept, told = fresh(), []
    day = 0.0
    for _ in range(data.draw(st.integers(1, 25))):
        day += data.draw(st.floats(0.1, 9))
        told.append((day, data.draw(st.sampled_from("wwrrrrrs")), data.draw(st.integers(1, 10))))
    for moment, kind, value in told:
        kept = _step(*_stored(kept), moment, kind, value)
        assert len(json.dumps(kept[0].to_json())) < 1500
    found_in.cache_clear()
    anew = fresh()
    for moment, kind, value in told:
        anew = _step(*anew, moment, kind, value)
    for one, other in zip(
        forecast(*kept, at(day)).days.values(), forecast(*anew, at(day)).days.values(), strict=True
    ):
        assert one == pytest.approx(other, abs=1e-9)


def _step(plant: Plant, house: House, day: float, kind: str, value: int) -> Pair:
    if kind == "w":
        return drying.watered(plant, house, at(day))
    if kind == "s":
        return drying.watered(plant, house, at(day), Extent.SIP)
    seen = drying.observe(plant, house, at(day), of_values([value]))
    return seen.plant, seen.house


def _stored(pair: Pair) -> Pair:
    plant, house = (json.loads(json.dumps(one.to_json())) for one in pair)
    return Plant.from_json(plant), House.from_json(house)


def test_a_state_of_another_layout_is_refused() -> None:
    plant, _ = fresh()
    with pytest.raises(ValueError, match="layout"):
        Plant.from_json({**plant.to_json(), "v": 99})


def test_a_usual_pots_state_stays_under_a_kilobyte() -> None:
    (plant, house), day = lived(fresh(), 4, 9.0)
    for k in range(8):
        seen = drying.observe(plant, house, at(day + 1.1 * k), of_values([10 - 0.6 * k]))
        plant, house = seen.plant, seen.house
    assert len(json.dumps(plant.to_json(), separators=(",", ":"))) < 1024


def test_a_hidden_watering_is_suspected_and_settled() -> None:
    (plant, house), day = lived(fresh(), 4, 10.0)
    for ahead, value in ((4, 7), (8, 5)):
        seen = drying.observe(plant, house, at(day + ahead), of_values([value]))
        plant, house = seen.plant, seen.house
    doubtful = drying.observe(plant, house, at(day + 11), of_values([10]), settle=False)
    assert doubtful.suspicion is not None
    assert not doubtful.settled
    sure = drying.observe(doubtful.plant, doubtful.house, at(day + 13), of_values([9]), settle=True)
    assert sure.settled
    assert sure.plant.cycles == plant.cycles + 1
    assert middle((sure.plant, sure.house), day + 13) > 4


def test_one_slip_is_not_a_watering_and_moves_little() -> None:
    (plant, house), day = lived(fresh(), 4, 10.0)
    for ahead, value in ((3, 8), (5, 7), (6, 10), (7, 6)):
        seen = drying.observe(plant, house, at(day + ahead), of_values([value]))
        plant, house = seen.plant, seen.house
    assert middle((plant, house), day + 7) == pytest.approx(3.0, abs=1.8)


def test_half_a_watering_lasts_shorter() -> None:
    pair, day = lived(fresh(), 4, 10.0)
    plant, house = pair
    seen = drying.observe(plant, house, at(day + 9), of_values([4]))
    through = drying.watered(seen.plant, seen.house, at(day + 9))
    half = drying.watered(seen.plant, seen.house, at(day + 9), Extent.HALF)
    sip = drying.watered(seen.plant, seen.house, at(day + 9), Extent.SIP)
    assert middle(sip, day + 9) < middle(half, day + 9) < middle(through, day + 9)


def slowed(factor: float) -> tuple[Pair, float]:
    (plant, house), day = lived(fresh(), 8, 8.0)
    pair, day = lived((plant, house), 2, 8.0 * factor, begin=day)
    return pair, day


def test_an_alarm_on_half_the_speed_and_none_on_the_usual() -> None:
    pair, day = slowed(2.0)
    found = alarm(*pair, in_days(at(day)))
    assert found is not None
    assert found.pace is Pace.SLOW
    assert found.found_days > 1.25 * found.expected_days
    assert alarm(*lived(fresh(), 10, 8.0)[0], in_days(at(80))) is None


def test_an_alarm_on_twice_the_speed() -> None:
    pair, day = slowed(0.45)
    found = alarm(*pair, in_days(at(day)))
    assert found is not None
    assert found.pace is Pace.FAST


def test_what_explains_a_change_silences_the_alarm() -> None:
    pair, day = slowed(2.0)
    plant, house = pair
    assert alarm(drying.excused(plant), house, in_days(at(day))) is None
    moved = drying.moved(plant, house, at(day), plant.guess)
    assert alarm(*moved, in_days(at(day))) is None


def test_an_unknown_pot_raises_no_alarm() -> None:
    pair, day = lived(fresh(days=3), 2, 30.0)
    assert alarm(*pair, in_days(at(day))) is None


def test_repotting_forgets_the_pot_and_keeps_the_household() -> None:
    (plant, house), day = lived(fresh(days=5), 6, 15.0)
    again, house = drying.repotted(plant, house, at(day), log(5))
    assert forecast(again, house, at(day)).rough
    spread = _spread(forecast(again, house, at(day)))
    assert spread > _spread(forecast(plant, house, at(day)))


def _spread(found: Forecast) -> float:
    return log((found.days[90] + 0.1) / (found.days[10] + 0.1))


def test_a_move_keeps_the_pots_own_way_less_sure() -> None:
    pair, day = lived(fresh(days=5), 6, 15.0)
    moved = drying.moved(*pair, at(day), log(5))
    usual = forecast(*pair, at(day))
    assert forecast(*moved, at(day)).days[50] == pytest.approx(usual.days[50], rel=0.35)
    assert _spread(forecast(*moved, at(day))) > _spread(usual)


def test_words_and_weights_tell_what_they_mean() -> None:
    assert (of_word(Wetness.MOIST).low, of_word(Wetness.MOIST).high) == (3.5, 7.5)
    finger = of_word(Wetness.DRY, Instrument.FINGER)
    assert finger.high > 9  # a dry surface says little of the deep
    assert of_weight(2250, 2000, 2500).middle == pytest.approx(5.5)
    with pytest.raises(ValueError, match="heavier"):
        of_weight(1, 2, 2)


def test_two_places_are_their_mean_and_two_depths_the_deep() -> None:
    both = of_values([3, 7])
    assert both.middle == 5
    assert both.sd < of_values([5]).sd
    found = of_readings([Reading(3, Layer.MIDDLE), Reading(6, Layer.DEEP)])
    assert found is not None
    assert found.middle == 6
    above = of_readings([Reading(3, Layer.MIDDLE)])
    assert above is not None
    assert above.middle == 4


def test_dry_air_shortens_the_days() -> None:
    pair, day = lived(fresh(), 4, 8.0)
    plant, house = pair
    usual = drying.room_measured(house, at(day), 1.0)
    dry = drying.room_measured(house, at(day), 2.0)
    assert middle((plant, dry), day) < middle((plant, usual), day)


@given(st.floats(0.05, 60), st.floats(-60, 60), st.sampled_from([None, 0.4, 2.5]))
def test_the_clock_runs_back_to_the_days_it_was_given(
    days: float, latitude: float, kpa: float | None
) -> None:
    clock = Clock.start(START, latitude)
    if kpa is not None:
        clock = clock.measured_at(at(1), 1.0).measured_at(at(3), kpa)
    now = clock.at
    assert clock.days(now, [clock.ahead(days)]) == pytest.approx([days], rel=0.03)


@given(st.floats(1.1, 9.4), st.floats(0, 300))
def test_curves_fall_and_end_where_the_ending_says(reference: float, demand: float) -> None:
    before, after = grid.readings(reference, demand), grid.readings(reference, demand + 1)
    assert (after <= before + 1e-12).all()
    end = grid.ending(reference, reference)
    assert (np.diff(end.demand) >= 0).all()


def test_the_curve_reaches_its_reference_when_it_should() -> None:
    """From reading 10 it takes exp(L) demand-days to the reference, whatever the shape."""
    start = int(np.flatnonzero(grid.STARTS == 1.0)[0])
    for k in (10, 25, 40):
        found = grid.readings(4.5, float(np.exp(grid.LOGS[k])))[:, start, k]
        assert found == pytest.approx([4.5] * 4)


def test_chances_of_all_numbers_add_up_to_one() -> None:
    expected = grid.readings(4.5, 3.0)
    ends = [(0.5, 1.5), *((v - 0.5, v + 0.5) for v in range(2, 10)), (9.5, 10.5)]
    total = sum(grid.likelihood(expected, low, high, 0.75) for low, high in ends)
    assert total == pytest.approx(np.ones(grid.SIZE))


def test_a_naive_moment_and_a_target_off_the_scale_are_refused() -> None:
    plant, house = fresh()
    with pytest.raises(ValueError, match="zone"):
        forecast(plant, house, datetime(2026, 3, 2))  # noqa: DTZ001 - the point of the test
    with pytest.raises(ValueError, match="between 1 and 10"):
        forecast(plant, house, at(0), target=1.0)


def test_the_fitted_curve_falls_through_its_readings_and_widens_ahead() -> None:
    (plant, house), day = lived(fresh(), 4, 8.0)
    for ahead, value in ((2, 8), (4, 7)):
        seen = drying.observe(plant, house, at(day + ahead), of_values([value]))
        plant, house = seen.plant, seen.house
    bands = curve(plant, house, at(day + 4), [at(day + ahead) for ahead in range(9)])
    middles = [band.middle for band in bands]
    assert middles == sorted(middles, reverse=True)
    assert bands[4].low - 0.5 < 7 < bands[4].high + 0.5
    assert bands[7].high - bands[7].low > bands[3].high - bands[3].low
    assert curve(*fresh(), at(0), [at(1)]) == ()


def test_the_usual_cycle_is_what_the_pot_has_shown() -> None:
    pair, day = lived(fresh(), 5, 8.0)
    assert usual_cycle(*pair, at(day)) / timedelta(days=1) == pytest.approx(8, rel=0.25)


def test_every_point_is_there() -> None:
    plant, house = fresh()
    assert tuple(forecast(replace(plant, reference=1.5), house, at(0)).days) == POINTS
