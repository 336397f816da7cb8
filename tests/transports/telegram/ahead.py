"""`potside serve` itself, but that its clock is as many seconds ahead as a FILE says: FILE."""

from __future__ import annotations

import sys
from datetime import datetime, timedelta
from pathlib import Path
from unittest import mock

from bot import cli
from bot.clock import RealClock


class Ahead(RealClock):
    """The machine's clock, and what a test has let pass besides."""

    said = Path()

    def now(self) -> datetime:
        """The moment it is, and as far ahead as the file says."""
        return super().now() + timedelta(seconds=float(self.said.read_text()))


def main() -> int:
    Ahead.said = Path(sys.argv[1])
    with mock.patch("bot.serving.RealClock", Ahead):
        return cli.main(["serve"])


if __name__ == "__main__":
    sys.exit(main())
