"""Logs of a server: one line an event on standard error, tokens never among them."""

from __future__ import annotations

import logging
import sys

import structlog


def log_to_stderr(level: int = logging.INFO) -> None:
    """Send our log, and warnings of libraries, to standard error."""
    logging.basicConfig(stream=sys.stderr, level=logging.WARNING)
    structlog.configure(
        wrapper_class=structlog.make_filtering_bound_logger(level),
        logger_factory=structlog.PrintLoggerFactory(sys.stderr),
        processors=[
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.processors.add_log_level,
            structlog.dev.ConsoleRenderer(
                colors=False, exception_formatter=structlog.dev.plain_traceback
            ),
        ],
    )
