"""At a real terminal: a prompt with history and completion, and what falls due meanwhile."""

from __future__ import annotations

from collections.abc import Iterable

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.history import FileHistory
from prompt_toolkit.patch_stdout import patch_stdout

from bot import settings
from bot.talk.registry import COMMANDS
from bot.transports.terminal.session import DIRECTIVES, QuitError, Session
from core.journal import plants
from core.store import people


def converse(session: Session) -> None:
    """Read lines until the person leaves (`:quit`, or the end-of-input key)."""
    folder = settings.data_folder()
    folder.mkdir(parents=True, exist_ok=True)
    reader: PromptSession[str] = PromptSession(
        history=FileHistory(str(folder / "history")), completer=_Words(session)
    )
    with patch_stdout(raw=True):
        while True:
            try:
                session.take(reader.prompt(f"{session.speaker}> "))
            except KeyboardInterrupt:
                continue
            except (EOFError, QuitError):
                return


class _Words(Completer):
    """Commands at the start of a line, plants' names anywhere, directives after a colon."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def get_completions(
        self, document: Document, complete_event: CompleteEvent
    ) -> Iterable[Completion]:
        """What the word before the cursor could become."""
        del complete_event
        word = document.get_word_before_cursor(WORD=True)
        if not word:
            return
        starts = document.text_before_cursor.lstrip() == word
        pool = self._openings() if starts and word[0] in "/:" else self._names()
        for candidate in pool:
            if candidate.startswith(word.casefold()):
                yield Completion(candidate, start_position=-len(word))

    def _openings(self) -> list[str]:
        return [f"/{name}" for name in COMMANDS] + [f":{name}" for name in DIRECTIVES]

    def _names(self) -> list[str]:
        with self._session.house.store.read() as tx:
            here = people.find(tx, self._session.address())
            if here is None:
                return []
            return [one.key for one in plants.names(tx, here.household_id)]
