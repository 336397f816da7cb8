"""Pictures of drying: what comes out is a PNG of a phone's width, for any values."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from io import BytesIO
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from PIL import Image

from bot.talk.charts.drawing import draw
from bot.talk.charts.planning import recipe
from bot.talk.charts.recipe import Labels, Panel, from_values, to_values
from bot.talk.files import NoFileError, content
from bot.talk.message import COMMAND_MARK, Attachment, Reply, read, write
from bot.transports.terminal.screen import Screen
from tests.unit.studio.shut import shut

NOW = datetime(2026, 3, 25, 7, 30, tzinfo=UTC)
BERLIN = ZoneInfo("Europe/Berlin")
LABELS = Labels("dry", "wet", "today", "wants water at 3 or less", "probably ready", "watered")
FULL = Panel(
    title="Fern",
    line=3.5,
    seen=((-6.0, 3, 3.5, 4), (-1.0, 6, 6, 6)),
    poured=((-5.0, "400 ml"),),
    curve=((-5.0, 10, 10, 10), (0.0, 5, 6, 7), (4.0, 1, 3, 5)),
    past=(((-9.0, 10, 10, 10), (-5.0, 2, 3, 4)),),
    ready=(1.0, 2.0, 4.0, 6.0),
    probe=2.5,
)


def _picture(*panels: Panel) -> Image.Image:
    made = recipe(panels, LABELS, NOW, BERLIN)
    return Image.open(BytesIO(draw(to_values(made))))


@pytest.mark.parametrize("count", [1, 2, 12])
def test_a_picture_has_a_phones_width(count: int) -> None:
    picture = _picture(*[FULL] * count)
    assert picture.format == "PNG"
    assert picture.width == 1080
    assert picture.height <= 2500


def test_nothing_is_told_by_colour() -> None:
    """Every dot of the picture is a grey: it reads the same printed or to a colour-blind eye."""
    dots = np.asarray(_picture(FULL).convert("RGB")).astype(int)
    assert dots.min() < 50
    assert int(np.ptp(dots, axis=2).max()) <= 2


def test_a_pot_of_which_nothing_is_known_can_be_drawn() -> None:
    empty, full = _picture(Panel("New", 4.5)), _picture(FULL)
    assert empty.size == full.size
    assert empty.tobytes() != full.tobytes()


def test_a_recipe_survives_its_time_in_the_outbox() -> None:
    made = recipe([FULL], LABELS, NOW, BERLIN)
    kept = write(Reply("x", files=(Attachment("fern.png", recipe=to_values(made)),)))
    (file,) = read(Reply, kept).files
    assert file.recipe is not None
    assert from_values(file.recipe) == made
    assert content(file)[:4] == b"\x89PNG"


def test_dates_are_those_of_the_household() -> None:
    """Half past eleven in the evening in UTC is the next day in Berlin."""
    late = NOW.replace(hour=23, minute=30)
    made = recipe([FULL], LABELS, late, BERLIN)
    place, name = made.ticks[0]
    noon = (late + timedelta(days=place + 0.5)).astimezone(BERLIN)
    assert (noon.hour in (11, 12, 13), f"{noon.day} {noon:%b}") == (True, name)


@pytest.mark.parametrize("wrong", [{}, {"panels": "x"}])
def test_what_is_no_recipe_gives_no_picture(wrong: dict[str, str]) -> None:
    with pytest.raises(NoFileError, match=r"fern\.png"):
        content(Attachment("fern.png", recipe=wrong))


def test_where_none_can_be_drawn_words_stand_in_its_place(
    capsys: pytest.CaptureFixture[str],
) -> None:
    screen = Screen(lambda: NOW, as_json=False, colour=False, wraps=False)
    made = to_values(recipe([FULL], LABELS, NOW, BERLIN))
    file = Attachment("fern.png", instead=f"Not drawn: {COMMAND_MARK}chart fern", recipe=made)
    with shut():
        screen.show("main", "reply", Reply("Fern since Monday.", files=(file,)), NOW)
    assert capsys.readouterr().out.endswith("Fern since Monday.\nNot drawn: /chart fern\n")
    screen.show("main", "reply", Reply("Fern since Monday.", files=(file,)), NOW)
    assert "Not drawn" not in capsys.readouterr().out
