"""A time in which the program's studio can't be begun, as when the machine is out of memory."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from bot.studio.studio import STUDIO


@contextmanager
def shut() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        STUDIO.end()
        patch.setattr(sys, "executable", "/does/not/exist")
        yield
