"""The words of plain sentences, apart from what is done with them."""

from __future__ import annotations

import re
from collections.abc import Mapping

VERBS: Mapping[str, str] = {
    "gave": "gave",
    "give": "gave",
    "given": "gave",
    "watered": "gave",
    "poured": "gave",
    "watering": "gave",
    "misted": "gave",
    "soaked": "gave",
    "water": "pour",
    "pour": "pour",
    "checked": "check",
    "check": "check",
    "probed": "check",
    "probe": "check",
    "measured": "check",
    "turned": "turn",
    "turn": "turn",
    "rotated": "turn",
    "wiped": "wipe",
    "wipe": "wipe",
    "dusted": "wipe",
    "cleaned": "wipe",
    "fed": "feed",
    "feed": "feed",
    "fertilised": "feed",
    "fertilized": "feed",
    "scouted": "scout",
    "scout": "scout",
    "inspected": "scout",
    "repotted": "repot",
    "repot": "repot",
    "moved": "spot",
    "move": "spot",
    "emptied": "drained",
    "drained": "drained",
    "add": "add",
    "dose": "dose",
    "story": "story",
    "later": "later",
    "tomorrow": "later",
    "skip": "skip",
    "postpone": "later",
    "snooze": "later",
    "fix": "fix",
}
ALONE: Mapping[str, str] = {
    "help": "help",
    "help all": "help all",
    "what can you do": "help",
    "hello": "start",
    "hi": "start",
    "hey": "start",
    "start": "start",
    "good morning": "round",
    "undo": "undo",
    "undo that": "undo",
    "take that back": "undo",
    "plants": "plants",
    "list": "plants",
    "my plants": "plants",
    "add a plant": "add",
    "new plant": "add",
    "add": "add",
    "cancel": "cancel",
    "never mind": "cancel",
    "nevermind": "cancel",
    "forget it": "cancel",
    "forget everything": "forget household",
    "forget us": "forget household",
    "delete everything": "forget household",
    "delete my data": "forget household",
    "delete our data": "forget household",
    "delete all my data": "forget household",
    "delete the household": "forget household",
    "delete this household": "forget household",
    "delete household": "forget household",
    "forget the household": "forget household",
    "forget this household": "forget household",
    "stop": "cancel",
    "not now": "cancel",
    "who are you": "help",
    "what are you": "help",
    "commands": "help all",
    "?": "help",
    "settings": "settings",
    "household": "household",
    "round": "round",
    "the round": "round",
    "today": "round",
    "due": "plants due",
    "what now": "plants due",
    "what next": "plants due",
    "list plants": "plants",
    "list my plants": "plants",
    "the plants": "plants",
    "all plants": "plants",
    "all my plants": "plants",
    "back": "away off",
    "i'm back": "away off",
    "we're back": "away off",
    "am back": "away off",
    "are back": "away off",
    "a new plant": "add",
    "menu": "help",
    "morning": "round",
    "morning round": "round",
    "start the round": "round start",
    "frost tonight": "low",
}
# What may be set, as the first word of a sentence.
WAYS = frozenset("units zone seasons quiet".split())
THANKS = frozenset(
    "thanks|thank you|thank you very much|many thanks|thx|ta|cheers|thanks a lot".split("|")
)
AGREED = frozenset(
    "ok|okay|k|great|super|perfect|good|nice|cool|fine|lovely|alright|all right|got it|i see"
    "|will do|good night|bye|right".split("|")
)

PUNCTUATION = " .!?:,;"

# Said before the matter itself.
POLITE = re.compile(
    r"(?:i've|i have|i|we've|we have|we|please|just|have|hey|ok|okay|so|now|can you|could you"
    r"|would you|let me|let's|show(?: me)?)[,:]?\s+",
    re.IGNORECASE,
)
# `fern was watered`, `fern got 400 ml`: what follows counts.
AUXILIARY = re.compile(
    r"^(?:(?:has|have|had|was|is|been|just|now|got|gets|took|drank|received|needs?|wants?)\s+)+",
    re.IGNORECASE,
)
# Between a command and its plant: `chart of fern`, `photos of the fern`.
OF = re.compile(r"^(?:of|for|about|from)\s+", re.IGNORECASE)
# `fern not today`.
NOT_NOW = frozenset({"not today", "not now", "not yet"})
# `fern roots fine`, `fern has soft roots`.
FIRM = frozenset("fine ok okay good firm healthy white".split())
SOFT = frozenset("soft mushy rotten rotting smelly slimy".split())
# What is only a question about the plant: `is the fern ok`, `how is fern`, `fern?`.
ABOUT = re.compile(
    r"(?:(?:(?:how|what|when|where|who|it)(?:['\u2019]?s)?|did|last|looks?|is|are|does|do|did|should|shall|can|could|it|i|we|to|be|the|a|doing|about"
    r"|for|with|ok|okay|fine|alright|all|right|alive|happy|good|well|well\?|thirsty|due|need|needs"
    r"|want|wants|get|water|watering|watered|probe|probed|check|checked|next|now|today|yet|last"
    r"|again|drink|going|s)(?:\s+|$))+",
    re.IGNORECASE,
)
GONE = frozenset("died dead gone lost sold binned dying".split())
PESTS = frozenset(
    "bug bugs gnat gnats mite mites aphid aphids mealybug mealybugs mealy thrips scale scales "
    "whitefly whiteflies spider spiders pest pests mould mold mildew flies insects".split()
)
# `fern is in the kitchen`, `fern to the bathroom`; what follows is the place.
PLACED = re.compile(
    r"^(?:(?:is|stands|sits|lives|went|goes|moved|now)\s+)*"
    r"(?:in|at|on|by|near|to|into|onto|under|beside|next to)\s+(?!\d+(?:\s|$))(?:the\s+)?",
    re.IGNORECASE,
)


# How cold a night gets; a bare number only under nought, for else it may be a reading.
_DEGREES = (
    r"(?:-|\u2212|minus )?\d+(?:[.,]\d+)? ?(?:\u00b0 ?)?(?:c|f|degrees?(?: [cf])?)\b"
    r"|(?:-|\u2212|minus )\d+"
)


def _asked(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern + r"\s*[?.!]*", re.IGNORECASE)


# Whole sentences and the command that each stands for; {0} is what the first group caught.
SENTENCES: tuple[tuple[re.Pattern[str], str], ...] = (
    (
        _asked(
            r"how much (?:water )?(?:do(?:es)?|should|shall|for|to|can|must|will)?\s*"
            r"(?:i |we )?(?:give |pour |water )?(?:to )?(.+?)(?:\s+(?:needs?|wants?|gets?))?"
        ),
        "dose {0}",
    ),
    (_asked(r"why (?:is|does|should|did|do)?\s*(?:i |we )?(.+?)"), "why {0}"),
    (
        _asked(
            r"(?:what|who|which|anything|anyone|(?:which|what|do any|does any) plants?)\s*"
            r"(?:['\u2019]?s|is|are|do|does)?\s*"
            r"(?:need(?:s|ed)?|wants?|due|next|thirsty|to do|to be)\s*"
            r"(?:water(?:ed|ing)?|probing|today|now|a drink|checking|\s)*"
        ),
        "plants due",
    ),
    (_asked(rf"({_DEGREES})(?: outside)? tonight"), "low {0}"),
    (
        _asked(
            rf"tonight(?: it| it will be| it's|:)? ({_DEGREES})"
            rf"|it(?:'s| is| will be| gets)? (?:going to be )?({_DEGREES})(?: outside)? tonight"
        ),
        "low {0}",
    ),
    (
        _asked(
            r"(?:(?:will|is|may|might|it|there|going|to|be) )*(?:freezes?|freezing|frost) tonight"
        ),
        "low",
    ),
    (
        _asked(r"(?:(?:i|we)['\u2019]?(?:m|re|ll be)|am|are|will be) (?:away|gone) (.+?)"),
        "away {0}",
    ),
    (
        _asked(r"(?:(?:i|we)['\u2019]?(?:m|re) |am |are )?on (?:holidays?|vacation) (.+?)"),
        "away {0}",
    ),
    (_asked(r"(?:no,|no, i meant|meant|mean|sorry,) (\d.*?)"), "fix {0}"),
    (_asked(r"(?:want|need|would like|like) to (?:water|pour) (.+?)"), "pour {0}"),
    (_asked(r"(?:the )?(?:story|history) of (.+?)"), "story {0}"),
    (_asked(r"what happened (?:to|with) (.+?)"), "story {0}"),
    (
        _asked(
            r"when was (.+?) (?:last )?(?:watered|poured|checked|probed|turned|wiped|fed|repotted)"
            r"(?: last)?"
        ),
        "story {0}",
    ),
    (
        _asked(r"(?:checked|inspected|searched) (.+?) for (?:pests|bugs|insects|mites)"),
        "scout {0}",
    ),
    (_asked(r"(?:tipped|poured) (?:the water )?out(?: of)? (.+?)"), "drained {0}"),
    (_asked(r"(?:gave|given) (.+?) away(?: to .+?)?"), "plant {0} retire given"),
    (_asked(r"hand (?:it |them |everything )?over(.*?)"), "handover{0}"),
    (_asked(r"who (?:watered|poured|gave|probed|checked|did|touched) (.+?)"), "story {0}"),
    (_asked(r"where (?:is|does|are) (.+?)(?:\s+(?:stand|live|sit))?"), "spot {0}"),
    (_asked(r"rename (.+?) to (.+?)"), "plant {0} rename {1}"),
    (
        _asked(r"(?:retire|remove|delete|threw away|threw out|binned|lost) (.+?)"),
        "plant {0} retire",
    ),
    (_asked(r"(?:bought|got|have)? ?(?:a|an|some)? ?new (?:plant[:,]? )(.+?)"), "add {0}, bought"),
    (_asked(r"bought (?:a |an |some )?(.+?)"), "add {0}, bought"),
    (_asked(r"who (?:is|lives) (?:here|there)|who are you all"), "household"),
)

# Several pieces with commas, the first of which is no plant of ours: a line for /add.
_READING_PIECE = re.compile(r"[^\d]*\d{1,2}(?:[\s/]+\d{1,2})*")


def looks_like_plants(text: str) -> bool:
    """Whether every line names a plant with its kind, pot or place, as /add takes them."""
    lines = [line for line in text.splitlines() if line.strip()]
    return bool(lines) and all(_describes(line, many=len(lines) > 1) for line in lines)


def _describes(line: str, *, many: bool) -> bool:
    pieces = [piece.strip() for piece in line.split(",")]
    if len(pieces) < (2 if many else 3) or not re.search(r"[^\W\d_]{2}", pieces[0]):
        return False
    return not any(_READING_PIECE.fullmatch(piece) for piece in pieces)
