"""The words: each catalogue is whole, in every language, and says nothing nobody asks for."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import PurePosixPath

import pytest
from fluent.syntax import FluentParser
from fluent.syntax import ast as ftl
from fluent.syntax.serializer import FluentSerializer
from fluent.syntax.visitor import Visitor

from bot.talk.catalogue import marked
from bot.talk.message import TYPE_MARK

FIRST = "en"
MARK = re.compile(r"(?<![~\w/])/[a-z]+\b")  # a command's mark is written ~/: transports have theirs
KEY = re.compile(r"[a-z]+(-[a-z0-9]+)+")

Catalogue = dict[str, ftl.Message]


class _Stars(Visitor):
    """Collects words with a star that isn't a mark of what can be typed."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def visit_TextElement(self, node: ftl.TextElement) -> None:  # noqa: N802 - Fluent's
        if "*" in node.value.replace(TYPE_MARK, ""):
            self.found.append(node.value)


class _Variables(Visitor):
    """Collects the names of the arguments a message takes, and of the messages it shows."""

    def __init__(self) -> None:
        super().__init__()
        self.names: set[str] = set()
        self.shown: set[str] = set()

    def visit_MessageReference(self, node: ftl.MessageReference) -> None:  # noqa: N802 - Fluent's
        self.shown.add(node.id.name)

    def visit_VariableReference(self, node: ftl.VariableReference) -> None:  # noqa: N802 - Fluent's
        self.names.add(node.id.name)


def _variables(message: ftl.Message) -> set[str]:
    visitor = _Variables()
    visitor.visit(message)
    return visitor.names


def _shown(messages: Catalogue) -> set[str]:
    """Keys that other messages show within themselves."""
    visitor = _Variables()
    for message in messages.values():
        visitor.visit(message)
    return visitor.shown


def _entries(texts: dict[str, str]) -> Iterator[tuple[str, str, ftl.EntryType]]:
    """Language, subject and entry of everything that stands in the catalogues."""
    for name, text in texts.items():
        path = PurePosixPath(name)
        if path.suffix == ".ftl":
            for entry in FluentParser(with_spans=False).parse(text).body:
                yield path.parent.name, path.stem, entry


@pytest.fixture(scope="module")
def catalogues(texts: dict[str, str]) -> dict[str, Catalogue]:
    """Messages by key, by language."""
    found: dict[str, Catalogue] = {}
    for language, _, entry in _entries(texts):
        if isinstance(entry, ftl.Message):
            found.setdefault(language, {})[entry.id.name] = entry
    assert FIRST in found
    return found


def _asked_for(modules: dict[str, ast.Module]) -> Iterator[tuple[str, str]]:
    """Where and which key is asked for by its name: `words("pour-done", ...)`."""
    for name, tree in modules.items():
        for node in ast.walk(tree):
            match node:
                case ast.Call(
                    func=ast.Name(id="words") | ast.Attribute(attr="words"),
                    args=[ast.Constant(value=str(key)), *_],
                ):
                    yield f"{name}:{node.lineno}", key


def _patterns(modules: dict[str, ast.Module]) -> Iterator[str]:
    """Regular expressions for every string in the code that is, or builds, a key."""
    for tree in modules.values():
        for node in ast.walk(tree):
            match node:
                case ast.Constant(value=str(text)) if KEY.fullmatch(text):
                    yield re.escape(text)
                case ast.JoinedStr(values=[ast.Constant(value=str(head)), *_] as parts):
                    if re.match(r"[a-z]+-", head):
                        yield "".join(map(_part, parts))


def _part(part: ast.expr) -> str:
    return re.escape(str(part.value)) if isinstance(part, ast.Constant) else "[a-z0-9-]+"


def test_catalogues_are_well_formed(texts: dict[str, str]) -> None:
    junk = [
        (language, subject, entry.content)
        for language, subject, entry in _entries(texts)
        if isinstance(entry, ftl.Junk)
    ]
    assert not junk


def test_a_key_begins_with_its_subject_and_stands_once(texts: dict[str, str]) -> None:
    keys = [
        (language, subject, entry.id.name)
        for language, subject, entry in _entries(texts)
        if isinstance(entry, ftl.Message)
    ]
    assert not [key for key in keys if not key[2].startswith(f"{key[1]}-")]
    assert len(keys) == len(set(keys))


def test_no_catalogue_writes_a_commands_mark(catalogues: dict[str, Catalogue]) -> None:
    marked = {
        (language, key): found
        for language, messages in catalogues.items()
        for key, message in messages.items()
        if (found := MARK.findall(FluentSerializer().serialize_entry(message)))
    }
    assert not marked


def test_what_can_be_typed_is_marked_on_both_sides(texts: dict[str, str]) -> None:
    """Also where a form is chosen in the midst of it: no star is left for a reader to wonder at."""
    stars = _Stars()
    for _, _, entry in _entries({name: marked(text) for name, text in texts.items()}):
        stars.visit(entry)
    assert not stars.found


def test_languages_say_the_same_with_the_same(catalogues: dict[str, Catalogue]) -> None:
    first = {key: _variables(message) for key, message in catalogues[FIRST].items()}
    for language, messages in catalogues.items():
        said = {key: _variables(message) for key, message in messages.items()}
        assert said == first, language


def test_code_asks_for_no_missing_words(
    catalogues: dict[str, Catalogue], modules: dict[str, ast.Module]
) -> None:
    asked = list(_asked_for(modules))
    assert asked
    assert not [(where, key) for where, key in asked if key not in catalogues[FIRST]]
    for messages in catalogues.values():
        assert _shown(messages) <= messages.keys()


def test_no_words_lie_idle(
    catalogues: dict[str, Catalogue], modules: dict[str, ast.Module]
) -> None:
    used = re.compile("|".join(sorted(set(_patterns(modules)))))
    shown = _shown(catalogues[FIRST])
    assert not [key for key in catalogues[FIRST] if not used.fullmatch(key) and key not in shown]


def test_guard_sees_a_mark_and_lets_others_pass() -> None:
    assert MARK.search("Say /pour fern")
    assert not MARK.search("Say ~/pour, 3/4, and/or, 2 / b")
