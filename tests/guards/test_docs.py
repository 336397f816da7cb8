"""The pages are true: links resolve, paths exist, commands are told, conversations are real.

A conversation is a fenced block after a mark. Its lines are what a person types (`> fern 3`,
`Tom> fern 3`), taps (`> (Poured)`, or how a label begins), the time that passes
(`— 7 minutes later —`), and what the program says. The mark names where it begins, and may hold
lines that are said but not shown:

    <!-- chat from 2026-03-02T07:30 as Ida
    > /add Fig, fiddle-leaf fig, 25 cm pot
    -->

`<!-- chat goes on -->` continues the conversation before it on the same page. `<!-- table x -->`
stands before a table that is worked out from the code. To write what the program says now into
the pages: POTSIDE_REWRITE_DOCS=1 pytest tests/guards/test_docs.py
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack, closing
from math import exp
from pathlib import Path, PurePosixPath
from typing import Any

import pytest

from bot.talk.registry import ALIASES, COMMANDS
from core.care import light, rest
from core.care.dose import dose
from core.care.drydown import prior
from core.care.pots import resolve
from core.care.potsaid import PotSaid
from core.care.situation import Situation
from core.care.thresholds import LINES, Line
from core.knowledge.library import library
from core.knowledge.mixes import default_mix, mixes
from core.knowledge.types import LightClass

ROOT = Path(__file__).resolve().parents[2]
REWRITE = bool(os.environ.get("POTSIDE_REWRITE_DOCS"))
PAGES = sorted(
    path.relative_to(ROOT).as_posix() for path in [*ROOT.glob("*.md"), *ROOT.glob("docs/**/*.md")]
)
WRITTEN_FIRST = {"docs/drydown-protocol.md"}  # before what it is about, and never changed since

CHAT = re.compile(
    r"<!-- chat (?:from (?P<start>\S+) as (?P<who>\w+)|goes on)\s(?P<unseen>.*?)-->\n"
    r"(?P<fence>```\n(?P<shown>.*?)```\n)?",
    re.DOTALL,
)
TYPED = re.compile(r"(?P<who>\w+)?> (?P<text>.+)")
TAPPED = re.compile(r"\((?P<label>.+)\)")
PASSED = re.compile(r"— (?P<count>\d+) (?P<unit>minute|hour|day)s? later —")
TABLE = re.compile(r"(?P<head><!-- table (?P<name>\w+) -->\n\|.*\n\|[-|]+\n)(?:\|.*\n)*")
LINK = re.compile(r"\[[^\]]*\]\((?P<target>[^)\s]+)\)")
TICKED = re.compile(r"`([^`\n]+)`")
COMMAND = re.compile(r"(?<![\w/.~<])/(?P<name>[a-z]+)\b(?!/|\.\w)")


class Player:
    """One run of the terminal, line by line: what is said comes back as it is shown on a page."""

    def __init__(self, start: str, who: str) -> None:
        code = "import sys; from bot.cli import main; sys.exit(main())"
        options = ["--db", "sqlite://", "--start", start, "--tz", "Europe/Berlin", "--as", who]
        self.program = subprocess.Popen(
            [sys.executable, "-c", code, "chat", "--json", *options],
            cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8",
        )  # fmt: skip
        self.first = self.speaker = who
        self.labels: list[str] = []

    def close(self) -> None:
        """End the run as the end of input does."""
        self.program.communicate(timeout=60)

    def say(self, line: str) -> list[str]:
        """Type one line as a page has it."""
        if passed := PASSED.fullmatch(line):
            return self._type(f":wait {passed['count']}{passed['unit'][0]}")
        typed = TYPED.fullmatch(line)
        assert typed, f"neither typed nor passed: {line}"
        who = typed["who"] or self.first
        if who != self.speaker:
            self.speaker = who
            self._type(f":as {who}")
        if tapped := TAPPED.fullmatch(typed["text"]):
            meant = [one for one in self.labels if one.startswith(tapped["label"])]
            assert len(meant) == 1, f"no button {line}, but {self.labels}"
            return self._type(f":tap {self.labels.index(meant[0]) + 1}")
        return self._type(typed["text"])

    def _type(self, text: str) -> list[str]:
        assert self.program.stdin
        assert self.program.stdout
        self.program.stdin.write(text + "\n")
        self.program.stdin.flush()
        lines: list[str] = []
        for answer in self.program.stdout:
            event = json.loads(answer)
            if event["event"] == "done":
                return lines
            lines += self._shown(event)
        raise AssertionError(f"the terminal ended at: {text}")

    def _shown(self, event: dict[str, Any]) -> list[str]:
        lines = [line.rstrip() for line in event["text"].splitlines()]
        if event["buttons"]:
            self.labels = [button["label"] for button in event["buttons"]]
            lines.append(" ".join(f"[{label}]" for label in self.labels))
        return lines


def _inputs(block: str) -> list[str]:
    return [line for line in block.splitlines() if TYPED.fullmatch(line) or PASSED.fullmatch(line)]


def _played(page: str) -> str:
    """The page with every conversation as the program leads it now."""
    text = (ROOT / page).read_text(encoding="utf-8")
    parts: list[str] = []
    end = 0
    with ExitStack() as runs:
        player: Player | None = None
        for chat in CHAT.finditer(text):
            if chat["start"]:
                player = Player(chat["start"], chat["who"])
                runs.callback(player.close)
            assert player, f"{page}: goes on from nothing"
            for line in _inputs(chat["unseen"]):
                player.say(line)
            if chat["fence"]:
                lines = [
                    out for line in _inputs(chat["shown"]) for out in (line, *player.say(line))
                ]
                parts += [text[end : chat.start("shown")], *(f"{line}\n" for line in lines)]
                end = chat.end("shown")
    return "".join([*parts, text[end:]])


@pytest.mark.parametrize(
    "page", [page for page in PAGES if "<!-- chat " in (ROOT / page).read_text("utf-8")]
)
def test_conversations_are_real(page: str) -> None:
    """Each reply on the page is what the terminal says to the line above it."""
    said = (ROOT / page).read_text(encoding="utf-8")
    marks = len(re.findall(r"^<!-- chat ", said, re.MULTILINE))
    assert marks == len(list(CHAT.finditer(said))), "a mark that isn't understood"
    played = _played(page)
    if REWRITE:
        (ROOT / page).write_text(played, encoding="utf-8")
        return
    assert said.splitlines() == played.splitlines(), (
        "write it anew: POTSIDE_REWRITE_DOCS=1 pytest tests/guards/test_docs.py"
    )


def test_readme_and_guide_hold_conversations() -> None:
    held = {page: len(CHAT.findall((ROOT / page).read_text("utf-8"))) for page in PAGES}
    assert held["README.md"] >= 1
    assert held["docs/guide.md"] >= 10


# --- links and paths ------------------------------------------------------------------------


def _slugs(text: str) -> set[str]:
    """The anchors of a page's headings, as the usual renderers make them."""
    heads = re.findall(r"^#+ (.+)$", re.sub(r"```.*?```", "", text, flags=re.DOTALL), re.MULTILINE)
    plain = (re.sub(r"[^\w\- ]", "", head.replace("`", "").casefold()) for head in heads)
    return {head.strip().replace(" ", "-") for head in plain}


def _broken(page: str) -> Iterator[str]:
    text = (ROOT / page).read_text(encoding="utf-8")
    for link in LINK.finditer(re.sub(r"```.*?```", "", text, flags=re.DOTALL)):
        target, _, anchor = link["target"].partition("#")
        if "://" in target:
            continue
        path = (ROOT / page).parent / target if target else ROOT / page
        if not path.exists() or (anchor and anchor not in _slugs(path.read_text("utf-8"))):
            yield link["target"]


@pytest.mark.parametrize("page", PAGES)
def test_links_lead_somewhere(page: str) -> None:
    assert not list(_broken(page))


def _paths(text: str) -> set[str]:
    """What stands in back-ticks and looks like a path in the project."""
    inside = re.sub(r"```.*?```", "", text, flags=re.DOTALL)
    tops = ("core/", "bot/", "tests/", "docs/", ".ci/")
    return {
        tick.split()[0].partition("::")[0]
        for tick in TICKED.findall(inside)
        if tick.startswith(tops) and "..." not in tick
    }


@pytest.mark.parametrize("page", sorted({*PAGES} - WRITTEN_FIRST))
def test_paths_that_are_named_exist(page: str) -> None:
    named = _paths((ROOT / page).read_text(encoding="utf-8"))
    assert not [path for path in named if not any(ROOT.glob(path))]


def test_map_of_the_house_is_whole(modules: dict[str, Any]) -> None:
    """Every layer is named in the contributors' map, by itself or by a module in it."""
    named = _paths((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))
    told = {str(PurePosixPath(path.removesuffix("/"))) for path in named}
    told |= {str(PurePosixPath(path).parent) for path in named if path.endswith(".py")}
    layers = {"/".join(PurePosixPath(name).parts[:2]) for name in modules if name.count("/") > 1}
    assert not layers - told


# --- tables ---------------------------------------------------------------------------------


def _marks(line: Line) -> str:
    return f"{line.bright:g}, slow {line.dim:g}" if line.bright != line.dim else f"{line.bright:g}"


def _thresholds() -> Iterator[list[str]]:
    for habit, lines in LINES.items():
        late = {"middle": lines.late_middle, "deep": lines.late_deep}
        said = [f"{layer} {mark:g}" for layer, mark in late.items() if mark]
        layers = (lines.surface, lines.middle, lines.deep)
        yield [habit.value, *map(_marks, layers), ", ".join(said) or "see 1, 8"]


def _waits() -> Iterator[list[str]]:
    for group, days in rest._DAYS.items():
        columns = (rest.Column.SUNNY, rest.Column.BETWEEN, rest.Column.LOW, rest.Column.COOL)
        spans = [days.get(column) for column in columns]
        yield [group.value, *("until March" if span is None else _span(*span) for span in spans)]


def _span(low: int, high: int) -> str:
    return f"{low}" if low == high else f"{low}-{high}"


def _cycles() -> Iterator[list[str]]:
    pot = resolve(PotSaid(said="", top_m=0.15))
    for habit in LINES:
        here = [
            Situation(habit=habit, fill_depth_m=pot.fill_depth_m, light=light, good_light=light)
            for light in LightClass
        ]
        days = [exp(prior.log_days(one, prior.target(one))) for one in here]
        yield [habit.value, *(f"{span:.0f}" for span in days)]


def _pots() -> Iterator[list[str]]:
    for wide in (0.10, 0.15, 0.20, 0.30):
        pot = resolve(PotSaid(said="", top_m=wide))
        doses = [dose(pot, default_mix(), deep=mark).litres or 0 for mark in (1, 3, 5)]
        amounts = (pot.filled_l, pot.half_l, *doses)
        yield [f"{wide * 100:.0f} cm", *(f"{litres:.2f} L" for litres in amounts)]


def _mixes() -> Iterator[list[str]]:
    for mix in mixes().values():
        shares = (mix.fill_share, mix.fill_share_deep)
        refill = ["-" if share is None else f"{share:.2f}" for share in shares]
        yield [
            mix.names[0],
            *refill,
            *("yes" if is_so else "no" for is_so in (mix.meter_ok, mix.coarse)),
        ]


def _light() -> Iterator[list[str]]:
    for facing, (bands, reach) in light._BANDS.items():
        edges = {name: f"{edge * reach:.1f} m" for edge, name in bands}
        yield [facing, *(edges.get(name, "-") for name in reversed(LightClass))]


TABLES = {
    "thresholds": _thresholds,
    "waits": _waits,
    "cycles": _cycles,
    "pots": _pots,
    "mixes": _mixes,
    "light": _light,
}


def test_tables_are_those_of_the_code() -> None:
    path = ROOT / "docs/care.md"
    text = path.read_text(encoding="utf-8")
    found = {table["name"]: table for table in TABLE.finditer(text)}
    assert found.keys() == TABLES.keys()
    worked_out = text
    for name, rows in TABLES.items():
        lines = "".join(f"| {' | '.join(row)} |\n" for row in rows())
        worked_out = worked_out.replace(found[name][0], f"{found[name]['head']}{lines}")
    if REWRITE:
        path.write_text(worked_out, encoding="utf-8")
        return
    assert text.splitlines() == worked_out.splitlines()


def test_care_model_names_every_module_of_care(modules: dict[str, Any]) -> None:
    named = _paths((ROOT / "docs/care.md").read_text(encoding="utf-8"))
    care = {name for name in modules if str(PurePosixPath(name).parent) == "core/care"}
    assert not care - named - {"core/care/__init__.py"}


# --- commands -------------------------------------------------------------------------------


def _commands(text: str) -> set[str]:
    return {found["name"] for found in COMMAND.finditer(text)}


def test_help_and_guide_tell_every_command() -> None:
    player = Player("2026-03-02T07:30", "Ida")
    with closing(player):
        helped = _commands("\n".join(player.say("> /help all")))
    guide = _commands((ROOT / "docs/guide.md").read_text(encoding="utf-8"))
    assert not set(COMMANDS) - helped - {"help"}
    assert not set(COMMANDS) - guide
    assert not (helped | guide) - set(COMMANDS) - set(ALIASES)


def test_number_of_plants_is_right() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert re.findall(r"(\d+) plants", readme) == [str(len(library()))]


def test_guard_sees_what_it_looks_for() -> None:
    page = "<!-- chat from 2026-03-02T07:30 as Ida\n> fern\n-->\n```\nTom> fern 3\nFern.\n```\n"
    chat = CHAT.search(page)
    assert chat
    assert _inputs(chat["unseen"]) == ["> fern"]
    assert _inputs(chat["shown"]) == ["Tom> fern 3"]
    assert _inputs("— 7 minutes later —\n[Poured]\nFern: 3") == ["— 7 minutes later —"]
    assert _commands("say /pour fern, not 3/4, and/or, core/care") == {"pour"}
    assert _paths("`core/care/dose.py` and `pip`") == {"core/care/dose.py"}
    assert _slugs("# The pour, coached\n## Undo / fix") == {"the-pour-coached", "undo--fix"}
