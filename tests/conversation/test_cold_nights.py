"""A night's low is told, and who is in danger is answered.

Pane at -6 C, old double glass, 18 C inside: 18 - 2.8 x 0.13 x 24 = 9.3 (ISO 13788, COMPUTED);
open windows under 50 F: common practice, no source.
"""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from core.actions.lows import night_of
from tests.conversation.talking import InProcess, play


def test_a_cold_night_is_told(house: InProcess) -> None:
    """The sill is as cold as the pane; a window a plant merely stands near stays shut."""
    play(
        house,
        """
Ida: /low
  I know no low for tonight
  /low 4C
Ida: /spot fig sill of the south window
  = moved
Ida: /low -6C
  Tonight -6 °C.
  Fig, close to the glass: about 9 °C there
  a curtain between it and the glass
  old double
  keep those windows shut
  = low
... 2 hours
Tom: /low
  Tonight -6 °C. Told by Ida, 2 hours ago.
  Fig, close to the glass
Tom: /low 12
  Tonight 12 °C.
  not: windows shut
  = low
Tom: /undo
  12 °C
  = undone
Tom: /low
  Tonight -6 °C. Told by Ida
""",
    )


def test_other_nights_and_scales(house: InProcess) -> None:
    """2 March 2026 is a Monday; 38 F is 3.3 C."""
    play(
        house,
        """
Ida: /low -3 sat
  Saturday, at night: -3 °C.
  = low
Ida: /low sat
  Saturday, at night: -3 °C. Told by you
Ida: /low sunday?
  I know no low for the night on Sunday
Ida: /low
  I know no low for tonight
Ida: /low 38F tonight
  Tonight 3 °C.
  = low
Ida: /low cold
  /low 4C
Ida: /low 400
  /low 4C
""",
    )


def test_what_was_moved_goes_back_and_is_looked_at(house: InProcess) -> None:
    """Cold damage may show only at two weeks: Poole & Conover, UF RH-93-6, SEEN."""
    play(
        house,
        """
Ida: /spot fig sill of the south window
  = moved
... 9 hours
Ida: /low -6
  Fig, close to the glass
  [Moved] [They're fine]
  = low
Tom taps: Moved
  Fig moved. In the morning I'll say whether it can go back.
Tom: /low -7 tomorrow
  Tomorrow, at night: -7 °C.
  = low
... 24 hours
  (reminder) Tonight -7 °C: leave Fig where it is
... 24 hours
  (reminder) Fig can go back to its place.
... 10 days
... 3 days
  (reminder) Two weeks since the cold night: look at Fig
... 10 days
""",
    )


def test_a_night_told_ahead_is_warned_of_in_its_afternoon(house: InProcess) -> None:
    """Told on Monday for Saturday, changed on the way: one warning, by what was told last."""
    play(
        house,
        """
Ida: /spot fig sill of the south window
  = moved
Ida: /low 3 sat
  Saturday, at night: 3
  = low
Ida: /low -6 sat
  = low
Ida: /low 15 fri
  No plant on the list is in danger
  = low
... 5 days
... 7 hours
  (warning) Tonight -6 °C.
  Fig, close to the glass
  [Moved] [They're fine]
Tom taps: Moved
  Fig moved
... 24 hours
  (reminder) Fig can go back
""",
    )


def test_what_stays_is_not_spoken_of_again(house: InProcess) -> None:
    play(
        house,
        """
Ida: /low moved
  Nothing on the list need be moved
Ida: /spot fig sill of the south window
  = moved
Ida: /low -6
  Fig, close to the glass
  = low
Ida: /low moved
  Fig moved.
Ida: /low fine
  They stay where they are, then.
... 20 days
""",
    )


def test_a_night_begins_in_the_evening() -> None:
    """Both changes of the clocks, and the southern half: the wall decides."""
    for zone in ("Europe/Berlin", "Australia/Lord_Howe", "America/Santiago"):
        wall = ZoneInfo(zone)
        for month, day in ((3, 29), (4, 5), (9, 6), (10, 4), (10, 25)):
            evening = datetime(2026, month, day, 18, tzinfo=wall)
            late = datetime(2026, month, day, 5, 59, tzinfo=wall)
            assert night_of(evening, wall) == date(2026, month, day)
            assert night_of(late, wall) == date.fromordinal(date(2026, month, day).toordinal() - 1)


COLD_NIGHT = """
Ida: /settings units us
  US now
Ida: /spot fig sill of the south window
  = moved
Ida: /spot goldie sill of the east window
  = moved
"""


def test_a_cold_night_is_told_in_the_households_own_measures(house: InProcess) -> None:
    """0 F is no "-0", feet and degrees are theirs, and what is to be done stands once."""
    play(
        house,
        COLD_NIGHT
        + """
Ida: /low 0F
  Tonight 0 °F.
  3 plants are in danger:
  Goldie and Fig, close to the glass: about 41 °F there, they mind below 55 °F. Before
  three feet in, or a curtain between them and the glass.
  one pane, 60F at night
  not: metre
  = low
Ida: /low 38F
  Fig, close to the glass: just under 55 °F there, and they mind that.
  = low
Ida: /dose
  /dose 6in
""",
    )


def test_only_some_were_moved(house: InProcess) -> None:
    """Named with the command or in plain words; what needn't be moved is asked for its place."""
    play(
        house,
        COLD_NIGHT
        + """
Ida: moved fig
  Nothing on the list need be moved tonight, as far as I know.
  Does Fig stand somewhere else now? /spot fig
Ida: /low 0F
  = low
Ida: moved fig
  Fig moved.
Tom: moved
  Goldie and Fig moved.
Ida: moved fig and goldie
  Fig and Goldie moved. In the morning I'll say whether they can go back.
Ida: /low moved nobody
  I don't know "nobody".
""",
    )


def test_fine_is_heard_hours_later_and_by_anybody(house: InProcess) -> None:
    play(
        house,
        COLD_NIGHT
        + """
Ida: they're fine
  not: They stay
Ida: /low 0F
  = low
... 4 hours
Tom: They're fine.
  They stay where they are, then.
""",
    )


def test_what_was_moved_is_known_to_be(house: InProcess) -> None:
    """It isn't warned of again, more may follow it, and back is no room."""
    play(
        house,
        COLD_NIGHT
        + """
Ida: /low 0F
  Goldie and Fig, close to the glass
  = low
Tom: moved fig
  Fig moved.
Ida: /low
  Goldie, close to the glass
  Moved already: Fig.
  [Moved] [They're fine]
Tom: moved goldie
  Goldie and Fig moved.
Ida: /low
  Fern: keep that window shut.
  Moved already: Goldie and Fig.
  not: close to the glass
  []
Ida: moved fig back
  Fig stands here: living room, south window.
Tom: fig is back
  Fig stands here: living room, south window.
Tom: /fix fern 4
  You have told me nothing that could be corrected.
""",
    )
