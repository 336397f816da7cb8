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
    "put": "spot",
    "placed": "spot",
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
    "next": "plants due",
    "begin": "round start",
    "weather": "low",
    "forecast": "low",
    "language": "settings",
    "remind me": "later",
    "remind me later": "later",
    "not today": "later",
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
    "forget me": "forget me",
    "forget about me": "forget me",
    "delete me": "forget me",
    "delete my data": "forget",
    "delete all my data": "forget",
    "forget us": "forget household",
    "delete everything": "forget household",
    "delete our data": "forget household",
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
THANKS = re.compile(
    r"(?:(?:ok|okay|great|perfect|good|alright|many|no)[,.!]? )?(?:thanks|thank you|thx|ta|cheers)"
    r"(?: (?:you|so|very|much|a lot|again|bot|a million))*"
    r"|(?:good|nice|great|well) (?:bot|job|one|done|work)|love (?:you|it)",
    re.IGNORECASE,
)
AGREED = frozenset(
    "ok|okay|k|great|super|perfect|good|nice|cool|fine|lovely|alright|all right|got it|i see"
    "|will do|good night|bye|right|all good|all fine|everything fine|everything is fine|that's all"
    "|nothing to report|that is all|i'm done".split("|")
)


# The plant that was spoken of last, and what stands for it when it is named.
IT = re.compile(
    r"\b(?:(?P<is>it['\u2019]s|its(?= (?:\d|dry|wet|moist|at|light|heavy)))|(?P<own>its)|(?P<it>it)"
    r"|(?P<pot>^(?:the )?pot(?= (?:is|has|measures) \d))|(?P<hole>^no hole$))\b",
    re.IGNORECASE,
)
IT_MEANS = {
    "is": "{0} is", "own": "{0}'s", "it": "{0}", "pot": "{0}'s pot", "hole": "{0} has no hole"
}  # fmt: skip
DEGREES = re.compile(r"\d ?(?:\u00b0|degrees?\b|[cf]\b)", re.IGNORECASE)
# Commands that only show something.
SHOWS = frozenset({"/story", "/dose", "/why", "/poison", "/chart", "/photo", "/pour"})
# Said after the matter itself.
AT_LAST = re.compile(r"(?<=\S),?\s+(?:please|pls|plz|thanks|thank you)[.!]*$", re.IGNORECASE)
# Water by the calendar: `water fern every 3 days`.
CALENDAR = re.compile(
    r"\b(?:water|pour|remind|schedule)\w*\b.*\b(?:every|each|daily|weekly|monthly)\b"
    r"|\bevery\b.*\b(?:water|pour|remind)\w*\b",
    re.IGNORECASE,
)
# What else people buy; `pot` is a part of plants' names too.
NO_PLANTS = frozenset(
    "pot pots soil mix compost fertiliser fertilizer feed meter probe can saucer lamp light bark "
    "perlite tray scale stand spray".split()
)
# Before anything is said.
GREETING = re.compile(
    r"(?:hello|hi|hey|hallo|good (?:evening|afternoon|day))(?: (?:there|bot|again|everyone|all))*"
    r"|(?:are you|anybody|anyone) (?:there|here)",
    re.IGNORECASE,
)
# `checked everything: fern 3, fig 4`.
ALL_OF = re.compile(r"^(?:everything|all(?: of them)?|them all)\s*[:,]\s*", re.IGNORECASE)
OOPS = frozenset("oops|that was wrong|wrong|that's wrong|mistake|my mistake|i was wrong".split("|"))
# Wets the leaves and not the soil.
MISTED = frozenset("misted mist sprayed spray spritzed spritz".split())
PUNCTUATION = " .!?:,;"

# Said before the matter itself.
POLITE = re.compile(
    r"(?:hi|hello|i've|i have|i|we've|we have|we|please|just|have|hey|ok|okay|so|now|can you"
    r"|could you|would you|let me|let's|send me|give me|show(?: me)?)[,:]?\s+",
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
# Roots that fill the pot.
FULL = frozenset("rootbound root-bound potbound pot-bound".split())
COMING_OUT = frozenset("out circling full crowded".split())
# What is only a question about the plant: `is the fern ok`, `how is fern`, `fern?`.
ABOUT = re.compile(
    r"(?:(?:(?:how|what|when|where|who|it)(?:['\u2019]?s)?|did|last|looks?|is|are|does|do|did|should|shall|can|could|it|i|we|to|be|the|a|doing|about"
    r"|for|with|ok|okay|fine|alright|all|right|alive|happy|good|well|well\?|thirsty|due|need|needs"
    r"|want|wants|get|water|watering|watered|probe|probed|check|checked|next|now|today|yet|last"
    r"|again|drink|going|feed|fed|fertilis\w*|fertiliz\w*|repot\w*|turn(?:ed)?|wiped?|great|lovely|nice|better"
    r"|healthy|s)(?:\s+|$))+",
    re.IGNORECASE,
)
# What was poured too much: `fern stands in water`, `the saucer of fern is full`.
SOAKS = re.compile(
    r"\b(?:(?:stands?|sits?|standing|sitting) in (?:the |its )?(?:water|saucer)"
    r"|saucer (?:of )?(?:is |was )?(?:full|overflow\w*|wet)|overflow(?:s|ed|ing)?)\b",
    re.IGNORECASE,
)
LEANS = frozenset("leaning leans crooked lopsided".split())
GONE = frozenset("died dead gone lost sold binned".split())
# What may come of anything: `fern has yellow leaves`, `fern looks sad`.
UNWELL = frozenset(
    "yellow yellowing brown browning crispy crisp curling curled curl spots spotted pale sad sick "
    "ill unwell unhappy dying wrong weak leggy burnt burned dropping drops dropped falling tips "
    "sticky".split()
)

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
