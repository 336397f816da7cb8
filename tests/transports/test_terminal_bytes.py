"""Whatever bytes come in, under whatever locale: UTF-8 goes out, and nobody is left waiting."""

from __future__ import annotations

import pytest

from tests.transports.child import Ended, Potside

OPTIONS = ("chat", "--json", "--db", "sqlite://", "--start", "2026-03-02T07:30")
ADD = "/add Bärbel, Boston fern, 15 cm pot, Küche, north window"


def _heard(potside: Potside, said: bytes, **env: str) -> Ended:
    ended = potside.run(*OPTIONS, said=said, **env)
    assert (ended.status, ended.err) == (0, "")
    return ended


@pytest.mark.parametrize(
    "env",
    [
        {"LANG": "C"},
        {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"},
        {"PYTHONIOENCODING": "latin-1"},
    ],
    ids=["C", "C and nothing else", "latin-1"],
)
def test_utf8_whatever_the_locale(potside: Potside, env: dict[str, str]) -> None:
    ended = _heard(potside, f"{ADD}\nbärbel 3 4\n".encode(), **env)
    assert "Bärbel is on the list" in ended.answer(1)
    assert "½" in ended.answer(2)
    text = potside.run(*OPTIONS[:1], *OPTIONS[2:], said=f"{ADD}\n", **env)
    assert "Bärbel" in text.out


def test_a_name_on_the_command_line_is_utf8_too(potside: Potside) -> None:
    plain = {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"}
    ended = potside.run(*OPTIONS, "--as", "Jürgen", said="/household\n", **plain)
    assert "Jürgen" in ended.answer(1)


def test_windows_newlines(potside: Potside) -> None:
    ended = _heard(potside, f"{ADD}\r\n\r\n:dm\r\nbärbel 3 4\r\n".encode())
    assert ended.answer(1).startswith("Bärbel is on the list")
    assert ended.answers(2) == ended.answers(3) == []
    assert ended.answer(4).startswith("Bärbel: 3 and 4")


def test_a_byte_order_mark_is_no_letter(potside: Potside) -> None:
    ended = _heard(potside, b"\xef\xbb\xbf:dm\n/help\n")
    assert ended.answers(1) == []
    assert ended.answers(2)[0]["chat"] == "dm:me"


ODD = [
    (b"\xff\xfe\xfd", 1),
    (b"fern \xc3", 1),
    (b"\xed\xa0\x80", 1),
    (b"\x00", 0),  # nothing but keys pressed by mistake is a blank line
    (b"/add \x00fern", 1),
    (b"\x1b[2J\x07", 1),
    (b"\r", 0),
]


def test_bytes_that_are_no_text(potside: Potside) -> None:
    ended = _heard(potside, b"\n".join([*(line for line, _ in ODD), b"/help"]))
    for number, (line, answers) in enumerate(ODD, 1):
        assert len(ended.answers(number)) == answers, line
    assert "/round" in ended.answer(len(ODD) + 1)


def test_what_moves_a_cursor_is_never_written(potside: Potside) -> None:
    said = "/add \x1b[2Jfern\x07, Boston fern\n/plants\n:room \x1b]0;gotcha\x07\n/help\n"
    ended = potside.run(*OPTIONS[:1], *OPTIONS[2:], said=said)
    assert ended.status == 0
    assert "fern" in ended.out
    assert not set(ended.out) & {"\x1b", "\x07", "\x00"}


def test_a_very_long_line_is_one_line_and_gets_an_answer(potside: Potside) -> None:
    lengths = (8_000, 8_001, 32_003, 32_004, 32_005, 3_000_000)
    ended = _heard(potside, b"\n/help\n".join(b"x" * length for length in lengths))
    for place, length in enumerate(lengths):
        (answer,) = ended.answers(2 * place + 1)
        assert ("8,000 letters" in answer["text"]) == (length > 8_000)
    assert all("/round" in ended.answer(line) for line in range(2, 2 * len(lengths), 2))


def test_a_long_last_line_without_its_end(potside: Potside) -> None:
    ended = _heard(potside, "ä".encode() * 40_000)
    assert "8,000 letters" in ended.answer(1)


def test_the_directives_take_anything(potside: Potside) -> None:
    names = ("wait", "as", "room", "dm", "tap", "edit", "again", "photo", "")
    tails = (
        "",
        "\x00",
        "9" * 400,
        "-1",
        "1 " + "x" * 9000,
        "\u202eß½",
        "{ $n }",
        "*a*",
        "\u2060/",
        '"',
    )
    lines = [f":{name} {tail}" for name in names for tail in tails]
    ended = _heard(potside, "\n".join(lines).encode())
    assert [one["line"] for one in ended.events if one["event"] == "done"] == [
        *range(1, len(lines) + 1)
    ]
