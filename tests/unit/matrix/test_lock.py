"""Two programs on one folder of keys would each undo what the other does."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.transports.matrix.lock import Lock


def test_one_program_at_a_time(tmp_path: Path) -> None:
    folder = tmp_path / "keys"
    one, two = Lock(folder), Lock(folder)
    one.take()
    one.take()  # ours already
    assert folder.stat().st_mode & 0o077 == 0  # nobody else may look into it
    with pytest.raises(OSError, match="another program"):
        two.take()
    one.give_back()
    two.take()
    two.give_back()
