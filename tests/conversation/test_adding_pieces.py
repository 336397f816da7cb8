"""Lines that add a plant, and pieces of them that are easily mistaken."""

from __future__ import annotations

from tests.conversation.talking import InProcess, play


def test_pieces_that_are_easily_mistaken(house: InProcess) -> None:
    """A compass point, a nursery, a closed glass, a foreign word, a kind that nobody knows."""
    play(
        house,
        """
Ida: /add Rosa, mini rose, 5in, balcony, south
  Rosa is on the list: mini rose (a kind I don't know), 5in pot (4 in deep, I assume), balcony,
  balcony, south window.
  = arrived
Ida: /add Pip, golden pothos, 12 cm pot, Nursery, east window
  Pip is on the list: Golden pothos (Epipremnum aureum), 12 cm pot
  Nursery, east window.
  = arrived
Ida: /add Cub, golden pothos, 12 cm nursery pot, nursery
  12 cm nursery pot (9 cm deep, I assume), nursery.
  = arrived
Ida: /add Ohr, golden pothos, 12 cm Topf, Küche
  Küche.
  I didn't understand Topf; the rest is kept.
  = arrived
Ida: /add Terra, fittonia, terrarium, study
  Terra is on the list: Nerve plant (Fittonia albivenis), study.
  A closed glass needs no water of ours: open it when it fogs.
  not: which pot
  = arrived
Ida: terra 3
  Terra: 3. No water now.
  = checked
""",
    )


def test_an_air_plant_is_looked_at_and_soaked_about_weekly(house: InProcess) -> None:
    """It has no bark and no roots to look at; dry says little until a week has gone."""
    play(
        house,
        """
Ida: /add Tilly, air plant, kitchen
  = arrived
Ida: tilly 3
  It grows in no soil, so there is nothing to probe.
  [Limp] [Curled] [Only dry]
  = checked
Ida taps: Only dry
  Tilly: dry. Soak it today.
  Dry, and I know of no soak in the last six days.
  = checked
Ida: soaked tilly
  Tilly: watered.
  = poured
... 2 days
Ida: tilly dry
  Tilly: dry. Leave it for now.
  It was soaked within the week and dries within hours: no thirst yet.
  = checked
""",
    )


def test_mixes_and_layers_by_other_names(house: InProcess) -> None:
    play(
        house,
        """
Ida: /add Sun, sundew, 9 cm, kitchen, sill of the south window
  Sun is on the list: Sundew
  Stands in water: keep the tray or glass filled.
  = arrived
Ida: sun full
  There is water enough.
  = checked
Ida: /add Stag, staghorn fern, mounted, bathroom
  Please look at its roots or leaves
  not: understand
  = arrived
Ida: stag light
  Stag: dry by lifting. Soak it today.
  = checked
Ida: /add Leo, golden pothos, 15 cm pot, leca, study
  clay pebbles
  = arrived
Ida: /add Pip, golden pothos, 15 cm pot, drainage pebbles, study
  not: understand
  = arrived
""",
    )


def test_a_depth_is_told_in_the_unit_of_its_width(house: InProcess) -> None:
    play(
        house,
        """
Ida: /add Inch, golden pothos, 6 in pot
  6 in pot (4½ in deep, I assume)
  = arrived
Ida: /settings units us
  US
Ida: /add Centi, golden pothos, 15 cm pot
  15 cm pot (11 cm deep, I assume)
  = arrived
Ida: /settings zone Auckland
  Time zone is Pacific/Auckland now
  Seasons: southern half of the world.
""",
    )
