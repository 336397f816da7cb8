"""What the stages of the networks play against."""

from __future__ import annotations

from tests.transports.matrix.conftest import homeserver
from tests.transports.telegram.conftest import standin

__all__ = ["homeserver", "standin"]
