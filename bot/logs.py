"""Logs: one line an event on standard error, tokens never among them.

structlog is loaded with the first line that is written: it takes a tenth of a second with all
that it brings, and most chats never write one.
"""

from __future__ import annotations

import logging
import sys
from collections.abc import Callable
from typing import Any

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
                structlog.dev.ConsoleRenderer(
                    colors=False, exception_formatter=structlog.dev.plain_traceback
                ),
            ],
        )
