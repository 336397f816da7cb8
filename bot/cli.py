"""The `potside` command. Parsing is cheap; each command imports what it needs when it runs."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="potside", description="Care for potted plants: probe, read, pour, remember."
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    chat = commands.add_parser("chat", help="talk here in the terminal")
    chat.add_argument("--db", metavar="URL", help="SQLAlchemy URL; sqlite:// is memory")
    chat.add_argument("--as", dest="speaker", metavar="NAME", help="who speaks")
    chat.add_argument("--start", metavar="ISO8601", help="stand the clock at this moment")
    chat.add_argument("--tz", metavar="ZONE", help="time zone of a new household, as Europe/Berlin")
    chat.add_argument("--demo", action="store_true", help="show a household with plants")
    chat.add_argument("--json", action="store_true", help="one JSON object a line")
    rebuild = commands.add_parser("rebuild", help="work everything out anew from the journal")
    rebuild.add_argument("--db", metavar="URL", help="SQLAlchemy URL")
    rebuild.add_argument("--write", action="store_true", help="also put right what differs")
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command; its exit status. Bad options exit with 2."""
    parser = _parser()
    options = parser.parse_args(argv)
    if options.command == "chat":
        from bot import app  # noqa: PLC0415 - keeps --help quick

        return app.chat(options, parser.error)
    from bot.duty import rebuild  # noqa: PLC0415 - keeps --help quick

    return rebuild.run(options.db, write=options.write)


if __name__ == "__main__":
    sys.exit(main())
