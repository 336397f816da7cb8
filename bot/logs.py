"""Logs: one line an event on standard error; no token and nothing that anybody said is in them.

Libraries that would quote what passes through them are kept to warnings, and a traceback says
where and of which type, but not the words of an error that isn't ours: those may quote a message.

structlog is loaded with the first line that is written: it takes a tenth of a second with all
that it brings, and most chats never write one.
"""

from __future__ import annotations

import logging
import sys
import traceback
from collections.abc import Callable
from typing import Any, TextIO

# These tell of whole requests and statements below a warning.
_QUOTING = ("telegram", "aiohttp", "nio", "peewee", "sqlalchemy", "alembic", "asyncio", "PIL")
# Whose errors quote nothing of what passed through; the system's (OSError) don't, either.
_PLAIN_SPOKEN = ("bot.port", "core.store", "sqlite3")

_asked: list[int] = []  # the level to be set as soon as structlog is here


class Log:
    """A module's log, by name; its methods are structlog's: `log.warning("event", fact=1)`."""

    __slots__ = ("_name",)

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, method: str) -> Callable[..., None]:
        import structlog  # noqa: PLC0415 - see above

        _set_up(structlog)
        found: Callable[..., None] = getattr(structlog.get_logger(self._name), method)
        return found


def log_to_stderr(level: int = logging.INFO) -> None:
    """Send our log from a level on, and warnings of libraries, to standard error."""
    logging.basicConfig(stream=sys.stderr, level=logging.WARNING)
    for name in _QUOTING:
        logging.getLogger(name).setLevel(logging.WARNING)
    _asked.append(level)
    if "structlog" in sys.modules:
        _set_up(sys.modules["structlog"])


def _set_up(structlog: Any) -> None:
    while _asked:
        structlog.configure(
            wrapper_class=structlog.make_filtering_bound_logger(_asked.pop()),
            logger_factory=structlog.PrintLoggerFactory(sys.stderr),
            processors=[
                structlog.processors.TimeStamper(fmt="iso", utc=True),
                structlog.processors.add_log_level,
                structlog.dev.ConsoleRenderer(colors=False, exception_formatter=_tell_error),
            ],
        )


def _tell_error(out: TextIO, error_info: tuple[object, BaseException | None, object]) -> None:
    """An error and what it came from: where, of which type, and its words if they are plain."""
    error = error_info[1]
    while error is not None:
        out.write("".join(traceback.format_tb(error.__traceback__)))
        out.write(f"{_name_of(error)}{_words_of(error)}\n")
        cause = error.__cause__
        error = cause if cause is not None or error.__suppress_context__ else error.__context__
        if error is not None:
            out.write("which came from\n")


def _name_of(error: BaseException) -> str:
    kind = type(error)
    return f"{kind.__module__}.{kind.__qualname__}".removeprefix("builtins.")


def _words_of(error: BaseException) -> str:
    plain = type(error).__module__.startswith(_PLAIN_SPOKEN) or isinstance(error, OSError)
    return f": {error}" if plain else ""
