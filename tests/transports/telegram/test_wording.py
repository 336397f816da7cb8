"""Markup and cutting: any text in any reply is valid HTML, shows literally, and fits.

Judged by rules that are not the transport's own: a parser of the HTML that the Bot API takes
(https://core.telegram.org/bots/api#html-style, FROM MEMORY), and Python's UTF-16 encoder.
"""

from __future__ import annotations

from html.parser import HTMLParser
from importlib.resources import files

import pytest
from fluent.syntax import FluentParser
from fluent.syntax import ast as ftl
from fluent.syntax.visitor import Visitor
from hypothesis import given
from hypothesis import strategies as st

from bot.talk.catalogue import Catalogue
from bot.talk.message import COMMAND_MARK, TYPE_MARK, Attachment, Option, Reply
from bot.transports.telegram import cutting
from bot.transports.telegram.cutting import split
from bot.transports.telegram.wording import as_html, plain, units

NAMES = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=60)
TEXTS = st.lists(
    st.text(
        st.one_of(
            st.characters(exclude_categories=["Cs", "Cc"]),
            st.sampled_from("<>&*/ \N{POTTED PLANT}\u0301"),
        ),
        max_size=900,
    ),
    max_size=40,
).map("\n".join)
# So that failures in long texts stay cheap to find.
SMALL = st.integers(min_value=20, max_value=200)


class Shown(HTMLParser):
    """What a reader of the HTML sees."""

    def __init__(self, markup: str) -> None:
        super().__init__(convert_charrefs=True)
        self.text, self.open = "", 0
        self.feed(markup)
        self.close()
        assert self.open == 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag == "code"
        assert not attrs
        self.open += 1

    def handle_endtag(self, tag: str) -> None:
        assert tag == "code"
        self.open -= 1
        assert self.open >= 0

    def handle_data(self, data: str) -> None:
        self.text += data


class _Arguments(Visitor):
    """Collects what a message takes, and which others it says."""

    def __init__(self, message: ftl.Message) -> None:
        super().__init__()
        self.names: set[str] = set()
        self.said: set[str] = set()
        self.visit(message)

    def visit_MessageReference(self, node: ftl.MessageReference) -> None:  # noqa: N802 - Fluent's
        self.said.add(node.id.name)

    def visit_VariableReference(self, node: ftl.VariableReference) -> None:  # noqa: N802 - Fluent's
        self.names.add(node.id.name)


def _templates() -> dict[str, set[str]]:
    """Every message that takes something, and what."""
    found = {
        entry.id.name: _Arguments(entry)
        for file in files("bot.talk").joinpath("catalogues/en").iterdir()
        for entry in FluentParser(with_spans=False).parse(file.read_text("utf-8")).body
        if isinstance(entry, ftl.Message)
    }

    def names(key: str) -> set[str]:
        return found[key].names.union(*map(names, found[key].said))

    return {key: taken for key in found if (taken := names(key) - {"measures"})}


TEMPLATES = _templates()


def _told(key: str, name: str) -> bool:
    """Whether a message says a name where it takes one; what it says must be shown, as it is."""
    text = Catalogue()(key, **dict.fromkeys(TEMPLATES[key], name))
    shown = Shown(as_html(text)).text
    assert shown == plain(text)
    assert name not in text or plain(name) in shown
    return name in text


def test_every_template_shows_a_name_literally() -> None:
    """bostrot/telegram-support-bot #67: a user named `<3` broke the parsing."""
    told = sum(_told(key, "<3 & *co*") for key in TEMPLATES)
    assert told > len(TEMPLATES) * 9 / 10  # some only choose by what they take


@given(st.sampled_from(sorted(TEMPLATES)), NAMES)
def test_any_name_in_any_template_shows_literally(key: str, name: str) -> None:
    """The same, whatever somebody is called, also by signs that are marks of ours."""
    _told(key, name)


@given(TEXTS)
def test_html_shows_what_plain_text_says(text: str) -> None:
    assert Shown(as_html(text)).text == plain(text)


def test_what_can_be_typed_is_marked_and_a_lonely_mark_is_a_star() -> None:
    typed = f"say {TYPE_MARK}a<b{TYPE_MARK} or {COMMAND_MARK}help{TYPE_MARK}"
    assert as_html(typed) == "say <code>a&lt;b</code> or /help*"
    assert plain(typed) == "say a<b or /help*"


@given(TEXTS, SMALL)
def test_pieces_fit_and_lose_nothing(text: str, most: int) -> None:
    """yincongcyincong/MuseBot #7: the limit counts UTF-16 units, not characters or bytes."""
    pieces = split(text, most)
    assert all(len(plain(piece).encode("utf-16-le")) // 2 <= most for piece in pieces)
    assert all(piece.strip() for piece in pieces)
    assert "".join("".join(pieces).split()) == "".join(text.split())


@given(TEXTS)
def test_a_text_that_fits_is_one_piece(text: str) -> None:
    if units(text) <= cutting.MOST_TEXT and text.strip():
        assert split(text) == [text]


def test_2049_emoji_are_too_many() -> None:
    """The same: each of these signs is two units, so 2,048 fit and 2,049 don't."""
    plant = "\N{POTTED PLANT}"
    assert len(split(plant * 2048)) == 1
    assert [units(piece) for piece in split(plant * 2049)] == [4096, 2]


def test_cut_between_blocks_and_buttons_stay_last() -> None:
    """serilog-contrib/Serilog.Sinks.Telegram.Alternative #33: a cut at 4096 split a tag."""
    blocks = [f"{n} {TYPE_MARK}fern 3{TYPE_MARK} " + "x" * 900 for n in range(12)]
    reply = Reply("\n\n".join(blocks), buttons=(Option("Yes", "/help"),))
    pieces = cutting.cut(reply, 17)
    assert len(pieces) > 1
    assert [bool(piece.choices) for piece in pieces] == [False] * (len(pieces) - 1) + [True]
    assert all(piece.text.split()[0].isdigit() for piece in pieces)
    for piece in pieces:
        Shown(as_html(piece.text))


@pytest.mark.parametrize("length", [1024, 1025])
def test_a_text_too_long_for_a_caption_goes_after_the_picture(length: int) -> None:
    picture = Attachment("chart.png", "chart.png", "image/png")
    pieces = cutting.cut(Reply("x" * length, files=(picture,)), 1)
    assert [(len(piece.text), piece.file is not None) for piece in pieces] == (
        [(1024, True)] if length == 1024 else [(0, True), (1025, False)]
    )


@given(st.integers(min_value=1, max_value=2**63 - 1), st.lists(NAMES, min_size=1, max_size=100))
def test_button_ids_stay_short(row: int, labels: list[str]) -> None:
    """aiogram/aiogram #255: callback data is limited to 64 bytes, whatever the plant is called."""
    reply = Reply("x", buttons=tuple(Option(label, f"/check {label}") for label in labels))
    for piece in cutting.cut(reply, row):
        assert all(1 <= len(one.id.encode()) <= 64 for one in piece.choices)
