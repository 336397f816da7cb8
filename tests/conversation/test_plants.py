"""Plants live: names, copies, leaving and coming back, places, care between waters, the house."""

from __future__ import annotations

import pytest

from tests.conversation.talking import InProcess, play


def test_rename_copy_retire_and_back(house: InProcess) -> None:
    play(
        house,
        """
Ida: /plant fern rename Ferdi
  Fern is called Ferdi now.
  = described
Ida: /undo
  Taken back: Fern renamed Ferdi.
  = undone
Ida: rename fern to Ferdi
  Fern is called Ferdi now.
  = described
Ida: /plant ferdi rename
  Which name?
Ida: Goldie
  There is a Goldie already. Goldie 2, or another name?
  [Goldie 2] [Never mind]
Ida: Frieda
  Ferdi is called Frieda now.
  = described
Ida: /plant frieda copy
  Frieda 2 is on the list, the same kind of plant, pot and place as Frieda.
  = arrived
Ida: /undo
  Taken back: Frieda 2 added.
  = undone
Ida: /plant frieda copy Twin
  Twin is on the list
  = arrived
Ida: frieda died
  What became of Frieda? Its story is kept either way.
  [It died] [Given away] [Sold] [Never mind]
Ida: died
  Frieda is off the list.
  = left
Ida: frieda 3
  I don't know "frieda".
Ida: /story frieda
  Today, you: died; renamed Frieda; renamed Ferdi; added
Ida: /plants gone
  Frieda, died today
Ida: /undo
  Taken back: Frieda died.
  = undone
Ida: frieda 5
  Frieda: 5.
  = checked
Ida: /plant twin retire sold yesterday
  Twin is off the list: sold.
  = left
Ida: /add Twin, basil, 12 cm pot
  Twin is on the list
  = arrived
""",
    )


def test_details(house: InProcess) -> None:
    play(
        house,
        """
Ida: /plant fern pot 20x18x15 cm
  Fern's pot: 20 cm wide, 15 cm deep, 3.5 L of mix.
  I took those as rim, base and height of a round pot.
  = described
Ida: /plant fern hole no
  no hole
  = described
Ida: /plant fern hole maybe
  Yes or no? Try: /plant fern hole no
Ida: /plant fern outer yes
  stands in an outer pot
  = described
Ida: /plant fern reservoir no
  watered by hand
  = described
Ida: /plant fern resting
  no water, no feed
  = described
Ida: fern 1
  No water now.
  = checked
Ida: /plant fern awake
  Fern is awake.
  = described
Ida: /plant fern frobnicate
  I don't know "frobnicate" for Fern.
  rename NAME
Ida: /plant fern change
  What about Fern?
Ida: /plant fern mix
  Which mix? I know peat mix
Ida: /plant fern species
  Which kind?
Ida: maidenhair fern
  Fern: Maidenhair fern
  = described
""",
    )


def test_places(house: InProcess) -> None:
    play(
        house,
        """
Ida: moved fern to kitchen, east window
  Fern stands here: kitchen, east window.
  = moved
Ida: fern is in the study now
  Fern stands here: study.
  = moved
Ida: where is fern
  Fern stands here: study.
Ida: /spot fern 2 m from the south window
  study, 2 m from the south window
  = moved
Ida: /spot fern low light
  Low light
  = moved
Ida: /spot viper dark corner
  Low light
  = moved
Ida: /spot fern balcony
  balcony
  = moved
Ida: /undo
  Taken back: Fern moved (balcony).
  = undone
Ida: /plants study
  Study, 2 plants:
Ida: /plants garage
  I know no room "garage". I know
Ida: /spot
  Which plant? Try: /spot fern
""",
    )


def test_care_between_waters(house: InProcess) -> None:
    play(
        house,
        """
Ida: turned fern
  Fern: turned. Noted.
  = tended
Ida: turned fern and fig
  Fern and Fig: turned. Noted.
  = tended tended
Ida: wiped the fig yesterday
  Fig: wiped, yesterday. Noted.
  = tended
Ida: /feed goldie
  Goldie: fed. Noted.
  = tended
Ida: fern has gnats
  Fern: looked over. Noted.
  Keep it apart
  = tended
Ida: scouted viper, all clean
  Viper: looked over. Noted.
  look again in a week or two
  = tended
Ida: repotted fern into a 18 cm pot with cactus mix
  Fern: repotted, 18 cm pot, cactus mix. Noted.
  = repotted
Ida: fern 3
  I can't tell from that.
  Freshly repotted
  = checked
Ida: /story fern
  Today, you: 3; repotted (18 cm pot); looked over: has gnats; turned; turned; added
""",
    )


def test_stories_have_pages(house: InProcess) -> None:
    for day in range(15):
        house.say("Tom" if day % 2 else "Ida", f"fern {3 + day % 5}")
        house.wait_days(1)
    play(
        house,
        """
Ida: /story fern
  (long)
  Yesterday, Ida: 7
  Tom: 6
  [Older]
Ida: older
  Fern, newest first:
  added
Ida: /story fern older 9
  Fern has no older entries.
Ida: /why fern
  Fern
Ida: why is viper waiting
  Viper: due for a probe since
Ida: /story viper waiting
  I know Viper, but not what to do with "waiting". Try: /story viper
""",
    )


def test_settings_and_people(house: InProcess) -> None:
    play(
        house,
        """
Ida: /settings
  Measures: metric.
  Time zone: Europe/Berlin.
  northern half
Ida: /settings zone new york
  Time zone is America/New_York now; it is 01:30 there.
Ida: /settings zone Berln
  Did you mean Europe/Berlin?
  [Europe/Berlin]
Ida: yes
  Which of these: Europe/Berlin?
Ida: europe/berlin
  Time zone is Europe/Berlin now
Ida: /settings zone nowhere
  I don't know the time zone "nowhere". Try:
Ida: /settings zone
  Which time zone?
Ida: /settings zone Australia/Sydney
  Australia/Sydney
Ida: /settings
  southern half
Ida: /settings seasons east
  North, south or tropics?
Ida: /settings units
  Which measures do you use?
  [metric] [US] [imperial]
Ida: us
  Measures are US now
Ida: /settings colour
  I know no setting "colour".
Tom: /household
  Ida's household: Ida, keeper; Tom, member.
Tom: /start
  Good to see you, Tom. 4 plants are on the list.
""".replace(
            """Ida: yes
  Which of these: Europe/Berlin?
Ida: europe/berlin
  Time zone is Europe/Berlin now
""",
            """Ida: europe/berlin
  Time zone is Europe/Berlin now
""",
        ),
    )


COMMANDS = (
    "start add plants plant check later dose pour gave drained spot turn wipe feed scout repot "
    "story why undo fix settings household help cancel"
).split()


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("rest", ["", "zebra", "fern", "fern zebra", "?", "/", "fern " * 40])
def test_every_command_answers_whatever_follows(house: InProcess, command: str, rest: str) -> None:
    (said,) = house.say("Ida", f"/{command} {rest}".strip())
    assert said.text
    assert len(said.buttons) <= 4


@pytest.mark.parametrize(
    "said",
    [
        "thanks", "ok", "?", ".", "/", "//", "!", "👍", "🌵", "   x   ", "lol", "what is this",
        "why", "when", "/fern", "/chek fern 3", "/xyzzy", "is the fern ok?", "how is fern",
        "does the fern need water?", "when should I water fern?", "should I water the fern",
        "what about goldie", "fern?", "fern!", "the", "a", "and", "fern and", "fern, ", ",", ":",
        "fern:", "no", "yes", "done", "1 2 3", "½", "10^400", "0x10", "fern 0x10", "fern 1/0",
        "gave fern 1/0 cup", "DROP TABLE plant", "{text}", "/add {text}", "*", "~/undo", "\u2060/",
        "fern \x00 3", "🏳️‍🌈 fern 3", "f" * 5000, "fern " * 1500, "3 " * 2000, "/add " + "x, " * 999,
    ],
)  # fmt: skip
def test_anything_gets_one_answer(house: InProcess, said: str) -> None:
    (heard,) = house.say("Ida", said)
    assert heard.text


def test_commands_are_found_behind_a_plant_too(house: InProcess) -> None:
    play(
        house,
        """
Ida: /plant fern story
  Fern, newest first:
Ida: /plant fern why
  Fern: probe on
Ida: /plant fern spot east window
  Fern stands here: bathroom, east window.
  = moved
Ida: /plant viper mix cactus
  cactus mix
  = described
Ida: /plant fern banana
  I don't know "banana" for Fern.
""",
    )
