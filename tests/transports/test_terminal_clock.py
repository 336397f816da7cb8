"""The standing clock: `:wait`, and what falls due on the way."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from bot.transports.terminal.directives import Wrong, wait_until
from tests.transports.child import Potside

BERLIN = ZoneInfo("Europe/Berlin")
FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"
FIG = "/add fig, fiddle-leaf fig, 25 cm pot, living room, south window"


def _moved(rest: str, now: str, zone: ZoneInfo = BERLIN) -> str:
    found = wait_until(rest, datetime.fromisoformat(now).astimezone(UTC), zone)
    assert isinstance(found, datetime)
    return found.astimezone(zone).isoformat()


@pytest.mark.parametrize(
    ("rest", "then"),
    [
        ("8d", "2026-03-10T07:30:00+01:00"),
        ("10m", "2026-03-02T07:40:00+01:00"),
        ("90s", "2026-03-02T07:31:30+01:00"),
        ("1.5h", "2026-03-02T09:00:00+01:00"),
        ("1,5 h", "2026-03-02T09:00:00+01:00"),
        ("2w", "2026-03-16T07:30:00+01:00"),
        ("1d12h", "2026-03-03T19:30:00+01:00"),
        ("2 days 3 minutes", "2026-03-04T07:33:00+01:00"),
        ("0m", "2026-03-02T07:30:00+01:00"),
        ("until 19:00", "2026-03-02T19:00:00+01:00"),
        ("until 07:00", "2026-03-03T07:00:00+01:00"),
        ("until 7:00", "2026-03-03T07:00:00+01:00"),
        ("until 07:30", "2026-03-03T07:30:00+01:00"),
        ("UNTIL 23:59", "2026-03-02T23:59:00+01:00"),
    ],
)
def test_how_long(rest: str, then: str) -> None:
    assert _moved(rest, "2026-03-02T07:30+01:00") == then


@pytest.mark.parametrize(
    ("rest", "now", "then"),
    [
        # Clocks in Berlin go forward on 2026-03-29 at 02:00 and back on 2026-10-25 at 03:00
        # (EU directive 2000/84/EC: last Sundays of March and October, 01:00 UTC. FROM MEMORY).
        ("1d", "2026-03-28T07:30+01:00", "2026-03-29T08:30:00+02:00"),  # 24 h, not a calendar day
        ("8d", "2026-10-20T07:30+02:00", "2026-10-28T06:30:00+01:00"),
        ("until 07:30", "2026-03-28T08:00+01:00", "2026-03-29T07:30:00+02:00"),
        ("until 07:30", "2026-10-24T08:00+02:00", "2026-10-25T07:30:00+01:00"),
        # RFC 5545, 3.3.5 (FROM MEMORY): a local time that doesn't occur is read with the offset
        # from before the gap.
        ("until 02:30", "2026-03-28T08:00+01:00", "2026-03-29T03:30:00+02:00"),
        ("until 02:30", "2026-03-29T03:35+02:00", "2026-03-30T02:30:00+02:00"),
        # A time that comes twice is met twice.
        ("until 02:30", "2026-10-24T08:00+02:00", "2026-10-25T02:30:00+02:00"),
        ("until 02:30", "2026-10-25T02:30+02:00", "2026-10-25T02:30:00+01:00"),
        ("until 02:30", "2026-10-25T02:30+01:00", "2026-10-26T02:30:00+01:00"),
    ],
)
def test_when_clocks_are_put_forward_or_back(rest: str, now: str, then: str) -> None:
    assert _moved(rest, now) == then


def test_until_always_moves_on_and_at_most_a_day_and_a_bit() -> None:
    for hour in range(24):
        for now in ("2026-03-29T00:30+01:00", "2026-10-25T00:30+02:00", "2026-10-25T02:30+01:00"):
            here = datetime.fromisoformat(now)
            then = datetime.fromisoformat(_moved(f"until {hour}:30", now))
            assert 0 < (then - here).total_seconds() <= 25 * 3600


@pytest.mark.parametrize(
    "rest",
    [
        "",
        "8",
        "d",
        "8x",
        "-8d",
        "8d ago",
        "until",
        "until 24:00",
        "until 7",
        "until 07:60",
        "nan d",
    ],
)
def test_what_is_no_length_of_time_is_told(rest: str) -> None:
    assert isinstance(wait_until(rest, datetime(2026, 3, 2, tzinfo=UTC), BERLIN), Wrong)


@pytest.mark.parametrize("rest", ["99999d", "999999w" * 1000, "9" * 400 + "d"])
def test_longer_than_anybody_waits_is_told(rest: str) -> None:
    assert isinstance(wait_until(rest, datetime(2026, 3, 2, tzinfo=UTC), BERLIN), Wrong)


def test_the_clock_stops_before_the_calendar_does() -> None:
    assert wait_until("3650d", datetime(2395, 3, 2, tzinfo=UTC), BERLIN) == Wrong(
        "terminal-wait-too-long"
    )


def test_what_falls_due_on_the_way_comes_in_order_each_at_its_own_moment(potside: Potside) -> None:
    ended = potside.chat(
        FERN,
        FIG,
        "fern 3 4",
        "fig 2 2",
        "/pour fig",
        "poured",
        ":wait 2m",
        ":room studio",
        FERN,
        "fern 3 4",
        "/pour fern",
        "poured",
        ":wait 1d",
    )
    due = ended.answers(13)
    assert {one["kind"] for one in due} == {"reminder"}
    moments = [datetime.fromisoformat(one["at"]) for one in due]
    assert moments == sorted(moments)
    fig, fern = (int(re.findall(r"back in (\d+) minutes", ended.answer(n))[0]) for n in (6, 12))
    assert fig > fern + 2  # begun first, due last
    poured = datetime.fromisoformat("2026-03-02T07:30:00+01:00")
    assert [
        (one["chat"], moment - poured) for one, moment in zip(due[:2], moments, strict=False)
    ] == [
        ("studio", timedelta(minutes=2 + fern)),
        ("main", timedelta(minutes=fig)),
    ]


def test_a_wait_that_ends_on_the_minute_brings_what_is_due_then(potside: Potside) -> None:
    pour = (FERN, "fern 3 4", "/pour fern", "poured")
    ended = potside.chat(*pour, ":wait 6m", ":wait 59s", ":wait 1s")
    assert [len(ended.answers(line)) for line in (5, 6, 7)] == [0, 0, 1]
    assert ended.answers(7)[0]["at"] == "2026-03-02T07:37:00+01:00"


def test_until_goes_by_the_households_zone_wherever_the_machine_is(
    potside: Potside, db: str
) -> None:
    start = ("--start", "2026-03-02T07:30Z")
    potside.run("chat", "--db", db, "--tz", "Asia/Tokyo", *start, said="/help\n")
    said = ":wait until 20:00\n/help\n"
    ended = potside.run("chat", "--json", "--db", db, *start, said=said)
    assert ended.messages[0]["at"] == "2026-03-02T20:00:00+09:00"


def test_a_bad_wait_says_what_would_work_and_leaves_the_clock(potside: Potside) -> None:
    ended = potside.chat(":wait", ":wait soon", ":wait until 25:00", ":wait 99999d", "/help")
    assert all(":wait" in ended.answer(line) for line in (1, 2, 3, 4))
    assert ended.messages[-1]["at"] == "2026-03-02T07:30:00+01:00"


def test_what_was_due_while_nobody_ran_comes_at_the_start(potside: Potside, db: str) -> None:
    potside.chat(FERN, "fern 3 4", "/pour fern", "poured", db=db)
    ended = potside.chat("no", db=db, options=("--start", "2026-03-02T07:50"))
    first, second = ended.answers(1)
    assert (first["kind"], first["at"]) == ("reminder", "2026-03-02T07:50:00+01:00")
    assert second["kind"] == "reply"
