"""The table of commands: what may be typed, and which module does it.

Modules are imported when first used: a person who only probes never waits for the rest.
"""

from __future__ import annotations

import re
from importlib import import_module

from bot.talk.message import Option, Reply
from bot.talk.turn import Turn, answer

# In the order of a day; aliases after the name that help shows.
COMMANDS: dict[str, tuple[str, str]] = {
    "start": ("help", "start"),
    "add": ("add", "add"),
    "plants": ("plants", "listing"),
    "plant": ("plants", "page"),
    "check": ("check", "check"),
    "later": ("check", "later"),
    "dose": ("dose", "dose"),
    "pour": ("pour", "pour"),
    "gave": ("gave", "gave"),
    "drained": ("gave", "drained"),
    "spot": ("spot", "spot"),
    "turn": ("tend", "turn"),
    "wipe": ("tend", "wipe"),
    "feed": ("tend", "feed"),
    "scout": ("tend", "scout"),
    "repot": ("tend", "repot"),
    "story": ("story", "story"),
    "why": ("story", "why"),
    "undo": ("correct", "undo"),
    "fix": ("correct", "fix"),
    "settings": ("household", "settings"),
    "household": ("household", "people"),
    "help": ("help", "help_"),
    "cancel": ("help", "cancel"),
}
ALIASES = {"list": "plants", "water": "pour", "probe": "check", "dust": "wipe", "move": "spot"}

_COMMAND = re.compile(r"[/!](?P<name>[A-Za-z_]+)(?:@\w+)?(?P<rest>\s[\s\S]*)?$")


def is_command(text: str) -> bool:
    """Whether a text is meant as a command."""
    return text[:1] in "/!" and len(text) > 1


def run(turn: Turn, text: str) -> Reply:
    """Do what a command says, or say which one may have been meant."""
    match = _COMMAND.match(text)
    if match is None:
        return answer(turn.words("common-not-a-command", said=text[:30]))
    name = match["name"].casefold()
    name = ALIASES.get(name, name)
    if name not in COMMANDS:
        return _unknown(turn, name, (match["rest"] or "").strip())
    module, function = COMMANDS[name]
    handler = getattr(import_module(f"bot.talk.commands.{module}"), function)
    reply: Reply = handler(turn, (match["rest"] or "").strip())
    return reply


def _unknown(turn: Turn, name: str, rest: str) -> Reply:
    from rapidfuzz import process  # noqa: PLC0415 - only for misspelt commands

    near = process.extractOne(name, list(COMMANDS), score_cutoff=60)
    if near is None:
        return answer(turn.words("common-unknown-command", said=name[:30]))
    meant = f"/{near[0]} {rest}".strip()
    return answer(
        turn.words("common-unknown-command-near", said=name[:30], near=near[0]),
        buttons=(Option(meant[:40], meant),),
    )
