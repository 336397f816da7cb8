"""Whole sentences that begin with no plant's name, and the command that each stands for."""

from __future__ import annotations

import re
from functools import cache

from bot.talk.grammar.months import DAY_OF_MONTH, MONTH

# `command <- sentence`, a line each; the first that fits counts. In a sentence <0> and <1> are any
# words, <name> is one word of letters, <n> begins with a digit; ' may be left out. In a command
# {0} and {1} are what those caught, and {it} the plant that was spoken of last, or nothing.
_TABLE = r"""
dose {it} <- how much( water)?( (does|should|do|shall) (it|i)( (need|give|get|pour)( it)?)?)?
spot {0} <- how (much|bright) (light|sun)\w* (does|do|for) (the )?<0>( needs?| wants?)?
dose {0} <- how much (water )?(do(es)?|should|shall|for|to|can|must|will)? ?((i|we) )?_GIVE<0>_NEEDS
why {it} <- why( (is that|that|not|so|is it))?
why {0} <- why (is|does|should|did|do)? ?((i|we) )?<0>
plant {it} <- when (should|do|shall|must|can) (i|we) (check|probe|water|look)( it)?( again| next)?
plant {it} <- when( (again|next|is that|do i (water|probe|check) it))?( again)?
plants due <- _SOMETHING ?('s|is|are|do|does)? ?_WANTS ?_WATER*
plants due <- _HOW_ARE_THEY|status|report|summary|what's new|any news
plants due <- (due|what('s| is) due) .+|(driest|thirstiest) plants?
plants due <- (is|are|which|what)( (anything|any|my|the|of|plants?|ones?|is|are))* _THIRSTY
plants due <- (water|pour|probe|check|measure) _ALL_OF_THEM
plants due <- schedule|calendar|plan|what('s| is) the plan
plants due <- what (should|shall|must|do|can) i do_DUE*
plants due <- (do|should|shall) i (need|have) to (water|do|probe|check)_DUE*
plants due <- (does|do) (anything|any plants?|any of them)_DUE+
plants due <- (is )?anything_DUE+

help privacy <- (is|are) _MY_DATA (safe|private|secure|secret)
poison {it} <- _IS (it|that|this)( plant)? _POISONOUS_FOR
poison <- ((which|what|who)('s)?|any|(are|is) any|are)_OF_MINE*( (is|are))? _POISONOUS_FOR( here)?
poison {0} <- _IS ((a|an|the|my|our) )?<0> _POISONOUS_FOR

plants <- (what|which|how many) (plants )?(do (i|we) have|are there|have i( got)?)
plants <- where are (my|the|our) plants
plants {0} <- (what('s| is)|(which |what )?plants( are)?|who lives) in (the )?<0>
household <- who (is|lives|are) (here|there|we|in (the|this|my|our) household)
household <- who are you all

away {0} <- ((i|we)'(m|re|ll be) |am |are |will be |be |going |go |leaving )*(away|gone) <0>
away {0} <- ((i|we)'(m|re|ll be) |am |are |will be |be |going |go )*on (a )?_HOLIDAY <0>
away off <- (i'm|we're|am|are) (back|home)( home| again)*|back( home| again)*
away from {0} <- leave on <0>
handover to {0} <- <name> (waters|will water|does the watering) (while|when) .+
handover{0} <- hand (it |them |everything )?over<0>?
handover to {0} {1} <- <name>('s| is| will)? (takes?|taking) (it |them |everything )?over( <1>)?
handover to {0} {1} <- <name>('s| is| will| will be)? _MINDS_THEM*( <1>)?
handover to {0} {1} <- <name>('s| is| will be) (my|our|the) sitter( <1>)?

fix {0} <- _SLIP[,:.!]? ?<n>
fix {0} <- (_SLIP[,:.!]? )?_RIGHT <n>
fix {0} <- <n>,? not \d[\d.]*
undo <- (delete|undo|scratch|take back) (the )?(last|that|last one|last entry)
undo <- take (it|that|this) back

pour {0} <- (want|need|would like|like) to (water|pour) <0>
pour {0} <- help me( to)? (water|pour) <0>
dose {0} <- (can|may|should) (i|we) (use|give) \w+ ?water (for|to|on|with) <0>
dose {0} <- (which|what)( kind of)? water (for|does) <0>( need| want| get)?
room {1} {0} <- (it's |it is )?(?P<a>\d[\d.,]* ?(°|c\b|f\b|degrees|%|percent).*?) in <1>
room {1} {0} <- humidity( is| of)? (?P<a>\d+ ?(%|percent)?) in <1>
low <- (what's|how's) the (weather|forecast)( like)?( today| tonight)?
pour {0} <- (start|begin) (pouring|watering) <0>
scout {0} <- (checked|inspected|searched) <0> for (pests|bugs|insects|mites)
drained {0} <- (tipped|poured) (the water )?out( of)? <0>
looked roots {0} <- (the |its )?roots?( are| is| were| look| looks| seem| all)* <0>

story today <- who did what|what (did|have) (we|you|they|everybody|everyone) (do|done)( so far)?
story today by {0} <- what (did|have|has) <name> (do|done)( so far)?
story this week <- (who did what|what('s| has| have|) .+) (lately|recently)
story {0} <- who (did what|did (something|anything)|watered|poured|probed|was active)( on)? _DAYS
story {0} <- what (did|have) (we|you|they|everybody|everyone) (do|done)( on)? _DAYS
story {0} by {1} <- what (did|have|has) <who> (do|done)( on)? _DAYS
story today <- (the |'s )?(log|journal|diary)( (of |for )?today)?
story {0} <- what('s| has| have| is| was| did| got)?( been)? _HAPPENED( on)? _DAYS
story {0} <- (what('s| is) )?(the )?(story|history) (of )?<0>
story {0} <- what happened (to|with) <0>
story {0} <- when was <0> (last )?_DONE( last)?
story {0} <- who (watered|poured|gave|probed|checked|did|touched) <0>
story {0} <- (did|has) (?!not\b)\w+ (already )?(_DOES|_DONE) <0>( (yet|already|today))?
plant {0} <- how often (do|should|must|does) ((i|we|it) )?(water |probe |check )?<0>( need.*)?
spot {0} <- (does|can|will|would) <0> (like|stand|take|bear|live|be|go) .+
photo {0} <- (photos?|pictures?|pics?) of (the )?<0>
plant {0} <- (tell me about|info (on|about)|details (of|about)|what('s| is) up with) (the )?<0>
plant {0} <- (what|which) (kind|sort|species)( of plant)? (is|are) (the )?<0>
spot {0} <- where (should|can|do|shall|must) (i|we) (put|place|keep|stand) <0>
spot {0} <- where (is|does|are) <0>( (stand|live|sit))?

plant {0} rename {1} <- rename <0> to <1>
plant {0} rename {1} <- change (the )?name of <0> to <1>
plant {0} rename {1} <- change <0>'s name to <1>
plant {0} retire given <- (gave|given) <0> away( to .+?)?
plant {0} retire <- (retire|remove|delete|threw away|threw out|binned|lost) <0>
plant {0} retire <- (throw|threw|chuck|chucked) <0> (away|out)

add <- ((want|would like|like|need) to|how (do|can) (i|we)) add (a |my |new |another )*plants?
add <- add (a|another|my|some|more|new|the) ?(new )?plants?
add {0}, bought <- (bought|got|have)? ?(a|an|some)? ?new plant[:,]? <0>
add {0}, bought <- bought ((a|an|some) )?(new )?<0>
add {0}, bought <- (got|have) (a|an|some) new <0>
add {0} <- add (my|a|an|the|another|our) <0>

later {0} <- remind me (again )?(about|of|to (probe|check|water|do)) <0>
later {0} <- remind me( again)? <0>

settings units {0} <- _USE ((the )?(units?|measures?) )?((to|in) )?<name>( units| measures)?
settings units {0} <- (in )?(?P<a>metric|imperial|inches|fahrenheit|celsius)( units| measures)?
settings morning {0} <- (the )?(morning )?(round|morning|reminder)s? (at|to) <n>
settings morning {0} <- (change|set|move) the (time of the )?(morning )?(round|reminder) to <n>
settings zone {0} <- (my |our |the )?time ?zone( is|:)? <0>
settings zone {0} <- live in <0>

help <- how (does (this|it|that) work|do (i|you) (use this|start|begin|work))
help <- what('s| is) (this|that)|need (some )?help|help me|what can i (do|say)
help quiet <- (be )?quiet|shut up|(stop|no more|don't) (\w+ing|messages?|reminders?|message)( me)?
help invite <- how (do|can) (i|we) (invite|add|get|let) .+ in( to .+)?|how (do|can) (i|we) invite .+
help privacy <- privacy( policy)?|(data|privacy) protection|personal data
help privacy <- (is|how) (this|that|it|everything) private
help privacy <- what( \w+)? (do|does|have) (you|it|this|the bot) _KEEP( (about|of|on|from) (me|us))?
help privacy <- what (do|does) (you|it|this|the bot) (know|have|hear) (about|of|on|from) (me|us)
help privacy <- what data (do|does) (you|it|this|the bot) have( (about|of|on) (me|us))?
help privacy <- (do|does|will|can) (you|it|this|the bot) (sell|share|pass on|give away) _MY_DATA
help privacy <- what (do you do|happens) (with|to) _MY_DATA
help privacy <- where (is|are) _MY_DATA( (kept|stored|saved))?
help privacy <- who (can |could )?_READS (this|that|it|_MY_DATA|what (i|we) \w+)
plant {0} <- what do you (know|have) (about|of|on) (the )?<0>
export <- (_HOW_CAN_I )?(export|download|take|get|have|give me|send me|back ?up) _A_COPY_OF
export <- (an? )?(export|back ?up)
settings units {0} <- (say )?(the )?_MEASURED in (?P<a>inches|cm|fahrenheit|celsius|us|metric)
forget <- (delete|erase|remove|forget) (_MY_DATA|(all )?(about|of) (me|us)|me|(my|our) account)
help probe <- (don't have|haven't|haven't got|have|only have|only|no|without)_HAVE* _METER
help probe <- what does \d+ mean|is \d+ (dry|wet|moist|ok|good)( enough)?|what('s| is) the scale
help probe <- how (do|should|can) (i|we) (probe|check|measure|test)( it| the soil| soil| plants?)*
help probe <- what (does|is) (a )?(probe|probing|reading)( mean)?
"""
_WORDS = {
    "_GIVE": r"((give|pour|water) )?(to )?((a|an|the|my|our) )?",
    "_NEEDS": r"( needs?| wants?| gets?)?",
    "_SOMETHING": r"(what|who|which|anything|anyone|(which|what|do any|does any) plants?)",
    "_WANTS": r"(need(s|ed)?|wants?|due|next|thirsty|to do|to be)",
    "_WATER": r"(water(ed|ing)?|probing|today|now|a drink|checking|\s)",
    "_HOW_ARE_THEY": r"(how (are|is)|are|is) (everything|they|(my|the|our|all my) plants)"
    r"( (ok|okay|fine|doing|well|alright|all right))?",
    "_THIRSTY": r"(dry|thirsty|thirstiest|driest)",
    "_ALL_OF_THEM": r"(everything|all|((all )?(the|my|our)|all) plants|them( all)?|all of them)",
    "_HAVE": r"( (a|an|any|no|my|got|moisture|soil|water|only))",
    "_METER": r"(meters?|probes?|fingers?|stick|skewer|tester|gauge|sensor)",
    "_A_COPY_OF": r"(a (copy|backup) of )?((all )?(my|our|the) (data|journal|everything|entries)"
    r"|everything)( along| out| with me)?",
    "_HOW_CAN_I": r"(how )?(do|can|could|may) (i|we)",
    "_MEASURED": r"(temperatures?|degrees|sizes?|lengths?|measures?|pots?|everything|all)",
    "_READS": r"(sees?|reads?|gets?)( all)?",
    "_HAPPENED": r"(done|happen(ed)?|going on|new)",
    "_KEEP": r"(keep|store|save|record|remember|collect|kept|stored)",
    "_MY_DATA": r"((all )?(my|our|the) (data|messages|photos|entries|plants|things))",
    "_DAYS": r"(?P<a>today|yesterday|this (week|month|morning|afternoon|evening)"
    r"|last (week|month|night)"
    r"|the day before yesterday|(on |last )?(mon|tues|wednes|thurs|fri|satur|sun)day"
    rf"|(the )?{DAY_OF_MONTH}( of)? ({MONTH})( \d{{4}})?"
    rf"|({MONTH}) (the )?{DAY_OF_MONTH}(,? \d{{4}})?"
    r"|the \d{1,2}(st|nd|rd|th))",
    "_DUE": r"( (anything|something|any|plants?|need|to|do|due|water|a drink|today|now|next|for))",
    "_IS": r"(is|are|would|was)",
    "_POISONOUS_FOR": r"(poisonous|toxic|poison|dangerous|safe)( (for|to|if|with) .+?)?",
    "_OF_MINE": r"( (of|the|ones?|my|our|plants?|them|here))",
    "_HOLIDAY": r"(holidays?|vacation|trip)",
    "_MINDS_THEM": r"((looks?|looking) after|minds?|minding|sits?|sitting)"
    r"( (my|our|the|all|plants|everything|them|here|for us|for me))",
    "_SLIP": r"(sorry|wrong|oops|actually|correction|nope|no(?=,))",
    "_RIGHT": r"(meant|mean|(it|that) (was|should be)|make (that|it)|not [\d.]+,? but)",
    "_DOES": r"(water|probe|check|feed|turn)",
    "_DONE": r"(watered|poured|checked|probed|turned|wiped|fed|repotted)",
    "_USE": r"(use|set|change|switch|prefer)",
    "<0>": r"(?P<a>.+?)",
    "<1>": r"(?:the )?(?P<b>.+?)",
    "<name>": r"(?P<a>[^\W\d_]+)",
    "<who>": r"(?P<b>[^\W\d_]+)",
    "<n>": r"(?P<a>\d.*?)",
    "'": r"['\u2019]?",
}


def _compiled(line: str) -> tuple[re.Pattern[str], str]:
    command, _, sentence = line.partition(" <- ")
    for word, means in _WORDS.items():
        sentence = sentence.replace(word, means)
    return re.compile(rf"(?:{sentence})\s*[?.!]*", re.IGNORECASE), command


@cache
def _sentences() -> tuple[tuple[re.Pattern[str], str], ...]:
    """Compiled when the first sentence needs them: a reading never does."""
    return tuple(_compiled(line) for line in _TABLE.splitlines() if line)


def command_of(said: str) -> str | None:
    """The command of a sentence, with {it} where it speaks of no plant by name; None for others."""
    for pattern, command in _sentences():
        match = pattern.fullmatch(said)
        if match is not None:
            caught = match.groupdict()
            if (caught.get("a") or "").casefold() == "it":
                continue  # it has to be named first
            first, second = (_plain(caught.get(name)) for name in "ab")
            return f"/{command.format(first, second, it='{it}')}".strip()
    return None


def named_in(said: str) -> list[str]:
    """What a sentence may be about, by every pattern that fits."""
    found = (pattern.fullmatch(said) for pattern, _ in _sentences())
    return [match.groupdict().get("a") or "" for match in found if match is not None]


def _plain(caught: str | None) -> str:
    """What was caught, so that braces in it are no places to fill."""
    return (caught or "").strip().replace("{", "(").replace("}", ")")
