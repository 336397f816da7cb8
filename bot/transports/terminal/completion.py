"""What Tab offers: commands, plants, people, and what the terminal itself understands."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator

from prompt_toolkit.completion import CompleteEvent, Completer, Completion, PathCompleter
from prompt_toolkit.document import Document

from bot.talk.registry import COMMANDS
from bot.transports.terminal import directives
from bot.transports.terminal.session import Session
from core.journal import plants
from core.store import people

# A plant's name may have several words; so many before the cursor may be its beginning.
MOST_WORDS = 4


class Completions(Completer):
    """Commands and directives begin a line, people follow `:as`, plants stand anywhere."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._paths = PathCompleter(expanduser=True)

    def get_completions(
        self, document: Document, complete_event: CompleteEvent
    ) -> Iterable[Completion]:
        """What the text before the cursor could become."""
        text = document.text_before_cursor.lstrip()
        if text.startswith(":photo "):
            path = text.removeprefix(":photo ")
            yield from self._paths.get_completions(Document(path), complete_event)
        elif text.startswith(":as "):
            yield from _beginning(text.removeprefix(":as "), self._people())
        elif " " not in text and text[:1] in ("/", ":"):
            yield from _beginning(text, _openings())
        else:
            yield from _anywhere(text, self._plants())

    def _plants(self) -> list[str]:
        return self._known(lambda tx, home: [one.name.casefold() for one in plants.names(tx, home)])

    def _people(self) -> list[str]:
        return self._known(lambda tx, home: list(people.names(tx, home).values()))

    def _known(self, look: Callable[..., list[str]]) -> list[str]:
        here = self._session.here()
        if here is None:
            return []
        with self._session.house.store.read() as tx:
            return sorted(look(tx, here.household_id))


def _openings() -> list[str]:
    return [f"/{name}" for name in COMMANDS] + [f":{name}" for name in directives.NAMES]


def _beginning(said: str, pool: Iterable[str]) -> Iterator[Completion]:
    for one in pool:
        if one.casefold().startswith(said.casefold()):
            yield Completion(one, start_position=-len(said))


def _anywhere(text: str, pool: list[str]) -> Iterator[Completion]:
    """Names that begin with the longest possible end of the text, from the start of a word."""
    starts = [match.end() for match in re.finditer(r"^|\s+|,\s*", text)][-MOST_WORDS:]
    for start in starts:
        found = list(_beginning(text[start:], pool))
        if found and (text[start:] or start in (0, len(text))):
            yield from found
            return
