"""The `potside` command. Parsing is cheap; each command imports what it needs when it runs."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from bot import standard

DIRECTIVES = """\
lines for the terminal itself:
  :wait 8d | 10m | until 07:30   move a clock that was begun with --start
  :as NAME, :room NAME, :dm      somebody else speaks; in another chat; in private
  :tap N                         press button N of the latest message that has buttons
  :edit N TEXT, :again N         change line N; deliver it a second time
  :photo PATH [CAPTION]          send a picture
  :restart, :quit                stop and start the insides; leave
"""


class _Version(argparse.Action):
    """Prints the version; looking it up takes longer than all of --help."""

    def __call__(self, parser: argparse.ArgumentParser, *_given: object, **_named: object) -> None:
        from importlib.metadata import PackageNotFoundError, version  # noqa: PLC0415

        try:
            known = version("potside")
        except PackageNotFoundError:
            known = "(not installed, run from its source)"
        sys.stdout.write(f"potside {known}\n")
        parser.exit()


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="potside",
        description="Care for potted plants: probe, read, pour, remember.",
        allow_abbrev=False,
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="say which version this is")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    _chat(
        commands.add_parser(
            "chat",
            help="talk here in the terminal",
            description="Talk here in the terminal: one message a line.",
            epilog=DIRECTIVES,
            formatter_class=argparse.RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )
    )
    rebuild = commands.add_parser(
        "rebuild", help="work everything out anew from the journal", allow_abbrev=False
    )
    rebuild.add_argument("--db", metavar="URL", help="SQLAlchemy URL")
    rebuild.add_argument("--write", action="store_true", help="also put right what differs")
    _drying(commands)
    commands.add_parser(
        "serve", help="run the chat networks that the environment names", allow_abbrev=False
    )
    commands.add_parser(
        "doctor", help="look whether serving has all that it needs", allow_abbrev=False
    )
    return parser


def _drying(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    forecast = commands.add_parser(
        "forecast", help="when to probe each pot of a small journal", allow_abbrev=False
    )
    forecast.add_argument("file", metavar="FILE", help="JSON lines, in time order; - reads stdin")
    forecast.add_argument("--json", action="store_true", help="one JSON object a line")
    backtest = commands.add_parser(
        "backtest", help="how good forecasts would have been on a journal", allow_abbrev=False
    )
    backtest.add_argument(
        "files", metavar="FILE", nargs="*", help="a household as for forecast, or a CSV of it"
    )
    backtest.add_argument(
        "--db", metavar="URL", help="without FILE: whose journal; default a file of yours"
    )
    backtest.add_argument("--picture", metavar="PNG", help="draw how often the ranges held")


def _chat(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--db", metavar="URL", help="SQLAlchemy URL; default a file of yours, sqlite:// is memory"
    )
    parser.add_argument("--as", dest="speaker", metavar="NAME", help="who speaks")
    parser.add_argument("--start", metavar="ISO8601", help="stand the clock at this moment")
    parser.add_argument("--tz", metavar="ZONE", help="a new household's zone, as Europe/Berlin")
    parser.add_argument("--demo", action="store_true", help="a household with plants, in memory")
    parser.add_argument("--json", action="store_true", help="one JSON object a line")
    parser.set_defaults(refuse=parser.error)


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command; its exit status. Bad options exit with 2."""
    standard.use_utf8()
    try:
        status = _run(_parser().parse_args(argv))
        if sys.stdout is not None:
            sys.stdout.flush()
    except KeyboardInterrupt:
        return standard.INTERRUPTED
    except BrokenPipeError:
        standard.hush()
        return standard.BROKEN_PIPE
    return status


def _run(options: argparse.Namespace) -> int:
    if options.command == "chat":
        from bot import app  # noqa: PLC0415 - keeps --help quick

        return app.chat(options, options.refuse)
    if options.command == "forecast":
        from bot import forecast  # noqa: PLC0415 - loads numpy

        return forecast.run(options.file, as_json=options.json)
    if options.command == "backtest":
        from bot import backtest  # noqa: PLC0415 - loads numpy

        return backtest.run(options.files, options.db, options.picture)
    if options.command == "serve":
        from bot import serving  # noqa: PLC0415 - keeps --help quick

        return serving.serve()
    if options.command == "doctor":
        from bot import doctor  # noqa: PLC0415 - keeps --help quick

        return doctor.examine()
    from bot.duty import rebuild  # noqa: PLC0415 - keeps --help quick

    return rebuild.run(options.db, write=options.write)


if __name__ == "__main__":
    sys.exit(main())
