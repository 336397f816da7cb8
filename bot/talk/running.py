"""Commands are run here.

Modules are imported when first used: a person who only probes never waits for the rest.
"""

from __future__ import annotations

import re
from importlib import import_module

from bot.talk import catalogue, gate, plain
from bot.talk.message import Option, Reply
from bot.talk.naming import exact
from bot.talk.registry import COMMANDS, named, near
from bot.talk.turn import Turn, answer

# A phone's keyboard puts a space after the mark, and may tie a command to what follows it.
_COMMAND = re.compile(
    r"[/!]+ ?(?P<name>[A-Za-z]+)(?:_(?P<more>\w*))?(?:@\w+)?(?P<rest>\s[\s\S]*)?$"
)


def load() -> None:
    """Import what any message may need, for a program that serves: nobody waits at its start.

    A message is counted as begun before it is worked on. What the first one would have to load
    belongs before that, lest a program that is ended a few times while it loads blames the message.
    """
    for module in sorted({module for module, _ in COMMANDS.values()}):
        import_module(f"bot.talk.commands.{module}")
    for module in ("core.journal.fold", "core.actions.noticing"):
        import_module(module)
    catalogue.load("en")


def run(turn: Turn, text: str) -> Reply:
    """Do what a command says, or say which one may have been meant."""
    match = _COMMAND.match(text)
    name = match["name"].casefold() if match else ""
    command = named(name)
    if match is None or command is None:
        said = text.lstrip("/! ")
        return _plant(turn, said) or _unknown(turn, said, match)
    refusal = gate.forbidden(turn, command)
    if refusal is not None:
        return refusal
    module, function = COMMANDS[command]
    handler = getattr(import_module(f"bot.talk.commands.{module}"), function)
    reply: Reply = handler(turn, _rest(match))
    return reply


def sentence(turn: Turn, text: str) -> Reply:
    """Do what a plain sentence says, or tell what would be understood."""
    meant = plain.meaning(turn, text)
    return run(turn, meant) if isinstance(meant, str) else meant


def _plant(turn: Turn, text: str) -> Reply | None:
    """`/fern 3` is no command, but plain enough where there is a fern."""
    return sentence(turn, text) if exact(turn, text) is not None else None


def _rest(match: re.Match[str]) -> str:
    """What a command is given, also where it was tied to it: `/check_big_fern 3`."""
    tied, rest = (match["more"] or "").replace("_", " "), (match["rest"] or "").strip()
    return f"{tied} {rest}".strip()


def _unknown(turn: Turn, said: str, match: re.Match[str] | None) -> Reply:
    name = said if match is None else said.split(maxsplit=1)[0].partition("@")[0]
    like = near(name.casefold()) if match is not None else None
    if match is None or like is None:
        return answer(turn.words("common-unknown-command", said=name[:30]))
    meant = f"/{like} {(match['rest'] or '').strip()}".strip()
    return answer(
        turn.words("common-unknown-command-near", said=name[:30], near=like),
        buttons=(Option(meant[:40], meant),),
    )
