"""The table of commands: what may be typed, and which module does it."""

from __future__ import annotations

# In the order of a day; aliases after the name that help shows.
COMMANDS: dict[str, tuple[str, str]] = {
    "start": ("help", "start"),
    "add": ("add", "add"),
    "plants": ("plants", "listing"),
    "plant": ("plants", "page"),
    "check": ("check", "check"),
    "round": ("round", "round_"),
    "later": ("later", "later"),
    "skip": ("later", "skip"),
    "away": ("later", "away"),
    "dose": ("dose", "dose"),
    "pour": ("pour", "pour"),
    "gave": ("gave", "gave"),
    "drained": ("gave", "drained"),
    "low": ("low", "low"),
    "high": ("high", "high"),
    "spot": ("spot", "spot"),
    "room": ("room", "room"),
    "sensor": ("sensor", "sensor"),
    "turn": ("tend", "turn"),
    "wipe": ("tend", "wipe"),
    "feed": ("tend", "feed"),
    "scout": ("tend", "scout"),
    "rinse": ("tend", "rinse"),
    "repot": ("tend", "repot"),
    "story": ("story", "story"),
    "chart": ("chart", "chart"),
    "photo": ("photo", "photo"),
    "poison": ("poison", "poison"),
    "why": ("why", "why"),
    "looked": ("looked", "looked"),
    "undo": ("correct", "undo"),
    "fix": ("fix", "fix"),
    "settings": ("household", "settings"),
    "household": ("people", "household"),
    "invite": ("invite", "invite"),
    "join": ("invite", "join"),
    "handover": ("handover", "handover"),
    "export": ("export", "export"),
    "forget": ("forget", "forget"),
    "help": ("help", "help_"),
    "cancel": ("help", "cancel"),
}
ALIASES = {
    "list": "plants",
    "water": "pour",
    "probe": "check",
    "dust": "wipe",
    "move": "spot",
    "photos": "photo",
    "log": "story",
    "history": "story",
}


def named(word: str) -> str | None:
    """The command that a word names, if it does."""
    return word if word in COMMANDS else ALIASES.get(word)


def near(word: str, least: int = 60) -> str | None:
    """The command that a misspelt word looks like; `least`: how like of 100 it has to be."""
    from rapidfuzz import process  # noqa: PLC0415 - only for misspelt commands

    found = process.extractOne(word, [*COMMANDS, *ALIASES], score_cutoff=least)
    return found[0] if found is not None else None


def is_command(text: str) -> bool:
    """Whether a text is meant as a command."""
    return text[:1] in "/!" and len(text) > 1
