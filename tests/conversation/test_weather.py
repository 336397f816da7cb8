"""A household's place and the forecast for it: asked for, warned by, changed, missing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import pytest

from bot.app import House
from bot.talk.turn import Means
from core.actions import weather
from core.actions.weather import Answer
from core.care.outlook import Hour
from core.store import forecasts
from tests.conversation.talking import InProcess, play

SERVICE = "open-meteo"
AREA = "52.5,13.4"
MEANS = Means(SERVICE, "https://potside.example.org/sensor/")


class Fed(InProcess):
    """A house in which a weather service may be asked; its answers are put in by hand."""

    def _house(self) -> House:
        house = super()._house()
        house.counter = replace(house.counter, means=MEANS)
        return house

    def forecast(self, low: float, high: float | None = None, cloud: float = 0.0) -> None:
        """Three days by the hour: each night this low at five in the morning."""
        now = self.clock.now()
        top = low + 8 if high is None else high
        hours = tuple(
            Hour(at, low if at.hour == 4 else top if at.hour == 13 else (low + top) / 2, cloud)
            for at in (now.replace(minute=0) + timedelta(hours=n) for n in range(72))
        )
        with self.store.write() as tx:
            asked = forecasts.kept(tx, SERVICE, AREA)
            assert asked is not None
            weather.came(tx, asked, Answer(hours), now, 0.0)


@pytest.fixture
def fed() -> Iterator[Fed]:
    stage = Fed()
    play(
        stage,
        """
Ida: /add Fig, fiddle-leaf fig, 25 cm pot, living room, sill of the south window
  Fig is on the list
  = arrived
Ida: /settings place 52.52 13.41
  ask Open-Meteo.com (CC BY 4.0) for the forecast at 52.5, 13.4
  no names, no plants
  [Yes, ask them] [No]
Ida taps: Yes, ask them
  I ask Open-Meteo.com (CC BY 4.0) for 52.5, 13.4 now.
""",
    )
    yield stage
    stage.close()


def test_a_place_is_told_only_after_a_yes_and_rounded() -> None:
    """A tenth of a degree of latitude is 11.1 km: 40008 km / 3600, COMPUTED."""
    stage = Fed()
    play(
        stage,
        """
Ida: /settings place
  round it to a tenth of a degree, about 11 km, and ask Open-Meteo.com
  Place: told to nobody.
Ida: /settings place Berlin
  /settings place 52.52 13.41
Ida: /settings place 95 13
  /settings place 52.52 13.41
Ida: /settings place 52,5249 13,4412
  the forecast at 52.5, 13.4
  [Yes, ask them] [No]
Ida taps: No
Ida: /settings
  Place: told to nobody.
Ida: /settings place 33.87S, 151.21E
  the forecast at -33.9, 151.2
Ida: yes
  I ask Open-Meteo.com (CC BY 4.0) for -33.9, 151.2 now.
  That is far from Europe/Berlin, your time zone here.
  Seasons here are those of the northern half of the world. Right? Else: /settings seasons south
Ida: /settings
  Place: -33.9, 151.2, told to Open-Meteo.com (CC BY 4.0).
Ida: /settings place off
  Nobody is told where you live any more.
Ida: /settings
  Place: told to nobody.
""",
    )
    with stage.store.read() as tx:
        found = forecasts.watched(tx, 1)
        assert found is not None
        assert (found.area, found.watch_at) == (None, None)
        assert forecasts.claim(tx, SERVICE, stage.clock.now(), stage.clock.now()) == []
    stage.close()


def test_without_a_service_no_place_is_kept(house: InProcess) -> None:
    play(
        house,
        """
Ida: /settings place 52.52 13.41
  No weather service is set up here, so I keep no place.
  /low 4C
Ida: /settings
  not: Place
""",
    )


def test_a_cold_forecast_warns_in_the_afternoon_and_once(fed: Fed) -> None:
    """A pane at -6 - 2.5 C outside, old double, 18 C inside: 8.4 C (ISO 13788, COMPUTED)."""
    fed.forecast(-6)
    play(
        fed,
        """
... 6 hours
... 1 hours
  (warning) Tonight -6 °C. By the forecast of Open-Meteo.com (CC BY 4.0), 6 hours ago
  Fig, close to the glass: about 8 °C there
  [Moved] [They're fine]
... 2 hours
Tom: /low
  By the forecast of Open-Meteo.com
  [Moved] [They're fine]
Tom taps: They're fine
  They stay where they are, then.
... 4 hours
""",
    )
    play(fed, "... 12 hours")
    fed.forecast(-6)
    play(fed, "... 8 hours")  # the next night is like it, and fine
    fed.forecast(-14)
    play(
        fed,
        """
... 4 hours
  (warning) Tonight -14 °C.
  Fig, close to the glass
""",
    )


def test_a_changed_forecast_is_said_only_if_something_else_is_to_be_done(fed: Fed) -> None:
    fed.forecast(16)
    play(fed, "... 7 hours")
    fed.forecast(2)
    play(
        fed,
        """
... 2 hours
... 1 hours
  (warning) Tonight 2 °C.
  Fig, close to the glass
""",
    )
    fed.forecast(0)
    play(fed, "... 1 hours")
    fed.forecast(16)
    play(
        fed,
        """
... 2 hours
  (warning) Tonight 16 °C after all: nothing need be done for Fig.
... 12 hours
""",
    )


def test_a_clock_that_ran_ahead_costs_no_warning(fed: Fed) -> None:
    """The next look was planned by a clock three days ahead; set right, it is planned anew."""
    with fed.store.write() as tx:
        forecasts.set_watch(tx, 1, fed.clock.now() + timedelta(days=3))
    fed.forecast(-6)
    play(
        fed,
        """
... 1 minutes
... 7 hours
  (warning) Tonight -6 °C.
""",
    )


def test_degrees_are_the_households_own(fed: Fed) -> None:
    """-6 C is 21.2 F, and 2.5 K are 4.5 degrees Fahrenheit (definition)."""
    fed.forecast(-6)
    play(
        fed,
        """
Ida: /settings units us
Ida: /low
  Tonight 21 °F. By the forecast of Open-Meteo.com
  reckoned 4 or 5 degrees colder.
""",
    )


def test_what_a_person_tells_counts_more_than_the_forecast(fed: Fed) -> None:
    fed.forecast(-6)
    play(
        fed,
        """
Ida: /low 12
  Tonight 12 °C.
  = low
... 14 hours
Ida: /low
  Tonight 12 °C. Told by you
""",
    )


def test_told_elsewhere_the_household_hears_of_it_where_it_is_spoken_to(fed: Fed) -> None:
    """The first hears it in the answer, everybody else in the household's own chat, once."""
    play(
        fed,
        """
Tom: /low 12
  = low
... 8 hours
Ida (dm:Ida): /low -6
  (warning) Tonight -6 °C.
  Fig, close to the glass
  [Moved] [They're fine]
  --
  Tonight -6 °C.
  Fig, close to the glass
  = low
Ida (dm:Ida): /low -7
  Tonight -7 °C.
  = low
Ida (dm:Ida): /low 14 tomorrow
  = low
Tom taps: Moved
  Fig moved.
... 6 hours
... 11 hours
  (reminder) Fig can go back to its place. Tonight 14 °C.
""",
    )
    assert [one.chat for one in fed.recorder.sent if one.kind != "reply"] == ["main", "main"]


def test_a_forecast_that_stays_away(fed: Fed) -> None:
    """The last good value for twelve hours, with its age; then the person is asked, once."""
    fed.forecast(-1)
    play(
        fed,
        """
... 6 hours
Ida: /low
  Tonight -1 °C. By the forecast of Open-Meteo.com (CC BY 4.0), 6 hours ago
... 20 minutes
... 40 minutes
  (warning) Tonight -1 °C.
... 18 hours
Ida: /low
  No forecast for a while, the last one yesterday: tell me tonight's low.
  /low 4C
... 6 hours
  (reminder) No forecast for a while, the last one yesterday: tell me tonight's low.
... 2 days
""",
    )


def test_quiet_hours_and_a_program_that_was_down(fed: Fed) -> None:
    """Found late at night, the warning is not said; found before noon, it waits for its hour."""
    fed.forecast(-6)
    fed.clock.move_to(fed.clock.now() + timedelta(hours=15))  # nobody looked: 22:30
    play(fed, "... 1 minutes")
    fed.clock.move_to(fed.clock.now() + timedelta(hours=10))
    fed.forecast(-6)
    play(
        fed,
        """
... 1 minutes
... 6 hours
  (warning) Tonight -6 °C.
""",
    )
