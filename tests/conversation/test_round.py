"""The round: asked for, each morning, walked, put off, taken over; a fortnight and a year."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from bot.talk import say
from bot.talk.catalogue import Catalogue
from tests.conversation.talking import InProcess, fits_a_phone, labels, play

PLANTS = """/add Fern, Boston fern, 15 cm pot, bathroom, north window
Goldie, golden pothos, 15 cm pot, kitchen, east window
Viper, snake plant, D16 h15 cm terracotta, study, low light"""


@pytest.fixture
def home() -> Iterator[InProcess]:
    stage = InProcess(rounds=True)
    stage.say("Ida", PLANTS)
    yield stage
    stage.close()


def test_a_morning_is_told_walked_and_reminded_of_once(home: InProcess) -> None:
    home.wait(timedelta(hours=10))
    play(
        home,
        """
... 2 days
  (reminder) Good morning. One to probe:
  Bathroom: Fern (not probed yet)
  [Start] [This evening]
Ida taps: Start
  Bathroom, the last one. Probe Fern
  [Skip it] [Stop here]
Ida: 8
  Fern: 8. Leave it for now.
  That was all for today.
  = checked
... 2 hours
""",
    )


def test_what_nobody_answers_is_mentioned_once_and_then_tells_how_late_it_is(
    home: InProcess,
) -> None:
    heard = home.wait_days(5)
    fern = [(one.at.astimezone(ZoneInfo("Europe/Berlin")), one.text) for one in heard]
    evenings = [text for at, text in fern if at.hour == 19]
    assert sum("Fern" in text for text in evenings) == 1
    assert "not probed yet, due since Wednesday" in fern[-1][1]
    assert Counter(at.date() for at, _ in fern).most_common(1)[0][1] <= 2


def test_put_off_skipped_and_taken(home: InProcess) -> None:
    home.say("Tom", "fern")
    home.wait(timedelta(days=2, hours=1))
    play(
        home,
        """
Ida taps: Someone does it
  Who does it?
  [Ida] [Tom]
Ida taps: Tom
  Tom does the round today. I'll ask at 19:00 if something is left.
Ida: /round
  One to probe:
  Tom does it today.
  Bathroom: Fern (not probed yet)
Ida: /later fern friday, no time
  Fern on Friday, then. Noted: no time.
  = postponed
... 1 day
  (reminder) Kitchen: Goldie (not probed yet)
  not: Fern
Ida: /later goldie this evening
  Goldie this evening, then; I'll ask at 19:00.
... 12 hours
  (reminder) Still to look at from today: Goldie.
  [Start] [Tomorrow]
Ida taps: Tomorrow
  They are in tomorrow's round.
... 13 hours
  (reminder) Bathroom: Fern
  Kitchen: Goldie (not probed yet, due since yesterday)
""",
    )


def test_put_off_for_a_reason_or_for_a_day_that_can_be_read(home: InProcess) -> None:
    """What is no day is a reason to skip, and no way to put off; none comes sooner by it."""
    play(
        home,
        """
Ida: /later fern asdf
  Fern isn't put off: "asdf" is no day I know. Try: /later fern friday
Ida: /later fern at 19:00
  "at 19:00" is no day I know.
Ida: /skip goldie, the shop is shut
  Goldie isn't due before Thursday; nothing changed.
Ida: /later fern next week
  Fern on Monday the 9th, then.
  = postponed
Ida: /later wipe fern friday because I travel
  Fern: wipe again on Friday, this one time. Noted: I travel.
  = postponed
Ida: /later fern tomorrow
  = postponed
... 25 hours
  (reminder) Fern
Ida: later today
  This evening then; I'll ask at 19:00.
Ida: skip fern too cold
  Fern comes up again tomorrow. Noted: too cold.
  = postponed
Ida: /story fern
  put off: too cold
  wipe put off: I travel
""",
    )


def test_rooms_and_what_isnt_understood(home: InProcess) -> None:
    play(
        home,
        """
Ida: /round
  Nothing to look at today.
  Next is Fern
Ida: /round order study, bathroom
  The order is now: study, bathroom, kitchen.
Ida: /round kitch
  Nothing to look at today in kitchen.
Ida: /round cellar
  I know no room, plant or person "cellar". Rooms: study, bathroom and kitchen.
Ida: /round who
  There is nobody else here yet
Ida: /later fern 2026-01-01
  2026-01-01 is over.
Ida: /away 14-1 March
  ends before it begins
Ida: /away sometimes
  I can't read "sometimes" as days.
Ida: /settings morning 25
  When shall the round come?
Ida: /settings quiet
  When shall I be quiet?
""",
    )


def test_nobody_is_there_and_nothing_is_said(home: InProcess) -> None:
    home.say("Ida", "/away today")
    assert "Away: today. " in home.say("Ida", "/away")[0].text
    home.say("Ida", "/away off")
    home.say("Ida", "/away tomorrow to sunday")
    heard = home.wait_days(8)
    berlin = ZoneInfo("Europe/Berlin")
    assert min(one.at.astimezone(berlin).date().day for one in heard) == 9
    assert "due since Wednesday" in heard[0].text


def test_hours_are_the_households_own(home: InProcess) -> None:
    assert "07:15" in home.say("Ida", "/settings morning 7:15")[0].text
    home.say("Ida", "/settings evening off")
    moments = {one.at.astimezone(ZoneInfo("Europe/Berlin")).time() for one in home.wait_days(4)}
    assert moments == {time(7, 15)}
    home.say("Ida", "/settings zone Asia/Tokyo")
    moments = {one.at.astimezone(ZoneInfo("Asia/Tokyo")).time() for one in home.wait_days(3)}
    assert moments == {time(7, 15)}
    home.say("Ida", "/settings quiet 6:00-8:00")
    assert home.wait_days(3) == []
    home.say("Ida", "/settings quiet off")
    home.say("Ida", "/settings morning off")
    assert home.wait_days(3) == []


def test_two_hundred_plants_stay_readable() -> None:
    stage = InProcess(rounds=True)
    rooms = ("kitchen", "study", "hall", "attic", "bathroom", "bedroom", "loft", "landing")
    lines = [f"Plant{n}, golden pothos, 15 cm pot, {rooms[n % 8]}" for n in range(200)]
    for start in range(0, 200, 20):
        stage.say("Ida", "/add\n" + "\n".join(lines[start : start + 20]))
    told = next(one for one in stage.wait_days(4) if "to probe" in one.text)
    stage.close()
    assert "200 to probe" in told.text
    assert "/round kitchen shows one room" in told.text
    assert len(told.text.splitlines()) <= 10
    assert len(told.text.split()) <= 90


@pytest.mark.parametrize("zone", ["Europe/Berlin", "Australia/Lord_Howe"])
def test_a_year_with_both_changes_has_one_round_a_day_at_the_same_hour(zone: str) -> None:
    """Nobody answers for a year: one round a morning at eight, whatever the clocks do."""
    here = ZoneInfo(zone)
    stage = InProcess(zone, datetime(2026, 1, 1, 7, tzinfo=here), rounds=True)
    stage.say("Ida", "/add Fern, Boston fern, 15 cm pot, bathroom, north window")
    heard = stage.wait_days(365)
    stage.close()
    mornings = [one.at.astimezone(here) for one in heard if "Good morning" in one.text]
    assert {at.time() for at in mornings} == {time(8)}
    days = [at.date() for at in mornings]
    assert len(days) == len(set(days)) >= 360
    assert all(b - a == timedelta(days=1) for a, b in pairwise(days[5:]))
    assert all(fits_a_phone(one.text) for one in heard)
    assert all(len(labels(one)) <= 4 for one in heard)
    silent = [one.at.astimezone(here).date() for one in heard if "Nothing heard" in one.text]
    assert silent == [date(2026, 1, 1) + timedelta(days=14 * n) for n in range(1, 27)]
    assert not any("Nothing heard" in one.text for one in heard if "Good morning" not in one.text)


def test_what_holds_for_all_is_said_once() -> None:
    """Several pots that nobody knows yet; one name more than fit is told and not counted."""
    stage = InProcess(rounds=True)
    for name in ("Fern", "Ivy", "Goldie", "Luna"):
        stage.say("Ida", f"/add {name}, golden pothos, 15 cm pot, kitchen, east window")
        stage.say("Ida", f"{name} 6 7")
    told = next(one for one in stage.wait_days(3) if "Good morning" in one.text)
    stage.close()
    assert told.text.count("rough so far") == 0
    assert told.text.count("Rough so far") == 1
    assert [say_some(number) for number in (1, 3, 4, 5)] == [
        "a", "a, b and c", "a, b, c and d", "a, b, c and 2 more",
    ]  # fmt: skip


def say_some(number: int) -> str:
    return say.some(Catalogue(), "abcde"[:number], 3)


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (date(2026, 3, 9), "Monday the 9th"),
        (date(2026, 3, 31), "Tuesday the 31st"),
        (date(2026, 4, 4), "4 April"),
    ],
)
def test_a_day_of_another_month_is_named_with_it(day: date, said: str) -> None:
    """On the 2nd of March, "Saturday the 4th" is no day that anybody thinks of."""
    now = datetime(2026, 3, 2, 8, tzinfo=ZoneInfo("Europe/Berlin"))
    assert say.day(Catalogue(), day, now, ZoneInfo("Europe/Berlin")) == said


def test_a_reading_of_today_is_called_so(home: InProcess) -> None:
    home.say("Ida", "fern 3 4")
    assert "Fern (wants water, by today's reading)" in home.say("Ida", "/round")[0].text
    home.wait_days(2)
    told = home.say("Ida", "/round")[0].text
    assert "Fern (wants water since Monday, by its reading)" in told


def test_a_walk_stays_in_its_room(home: InProcess) -> None:
    """Begun in the study it goes on there, and only then where the order begins."""
    home.say("Ida", "/add Moss, boston fern, 12 cm pot, study")
    home.say("Ida", "/add Zed, ZZ plant, 12 cm pot, study")
    home.wait(timedelta(days=8))
    play(
        home,
        """
Ida: /round study
  Study, 3 to probe:
  [Start]
Ida taps: Start
  Study, 5 to go. Probe Viper
Ida: 5
  Study, 4 to go. Probe Moss
  = checked
Ida taps: Skip it
  Study, 3 to go. Probe Zed
  = postponed
Ida: 3
  Bathroom, 2 to go. Probe Fern
  = checked
Ida: /round start kitchen
  Kitchen, 2 to go. Probe Goldie
Ida: /round start
  Bathroom, 2 to go. Probe Fern
""",
    )


def test_many_on_a_round_say_who_has_waited_longest() -> None:
    stage = InProcess(rounds=True)
    for name in "ABCDEFG":
        stage.say("Ida", f"/add {name}{name}, boston fern, 12 cm pot, kitchen")
    told = [one.text for one in stage.wait_days(6) if "Good morning" in one.text]
    stage.close()
    assert "Waiting longest" not in told[0]
    assert "Waiting longest: AA, since yesterday." in told[1]


def test_an_evening_that_is_over_and_days_that_have_begun(home: InProcess) -> None:
    home.say("Ida", "/away today to sunday")
    home.wait(timedelta(days=1, hours=12))
    play(
        home,
        """
Ida: /away
  Away: until Sunday. /away off takes that back.
Ida: /away off
  Nobody is away
Ida: /round evening
  The evening's 19:00 is over; they are in tomorrow's round.
Ida: /later fern this evening
  The evening's 19:00 is over. Fern tomorrow, then.
  = postponed
Ida: /settings evening off
  No reminder
Ida: /later fern this evening
  I don't ask in the evening here. Fern tomorrow, then.
  = postponed
""",
    )


def test_put_off_far_and_then_sooner_the_range_ends_where_the_pot_has_it(home: InProcess) -> None:
    """It used to keep the far end, to which somebody had put it off before."""
    play(
        home,
        """
Ida: fern 8
  probably ready between tomorrow and Wednesday the 11th
  = checked
Ida: /later fern in 3 weeks
  Fern on Monday the 23rd, then.
  = postponed
Ida: /why fern
  Fern: probe on Monday the 23rd.
Ida: /later fern friday
  Fern on Friday, then.
  = postponed
Ida: /why fern
  Fern: probe on Friday; probably ready between Friday and Wednesday the 11th.
""",
    )
