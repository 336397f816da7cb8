"""The stand-in that the Telegram stage plays against."""

from __future__ import annotations

from tests.transports.telegram.conftest import standin

__all__ = ["standin"]
