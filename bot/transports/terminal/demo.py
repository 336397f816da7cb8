"""An invented household for a stranger's first minute: plants, one real check, one real pour.

Everything here goes the way of any message, so what is shown is what the program does.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from bot.clock import Clock, RealClock, StandingClock
from bot.talk.catalogue import Catalogue
from bot.transports.terminal.session import Session
from core.journal.ledger import last_moment

# How long before the present the greeting begins: a check, a pour with its two looks.
SHOWN_FOR = timedelta(minutes=45)
SEEDED_DAYS = timedelta(days=12)

PLANTS = """\
Fern, Boston fern, 15 cm pot, bathroom, north window
Goldie, golden pothos, 15 cm pot, kitchen, east window
Viper, snake plant, D16 h15 cm terracotta, study, low light
Fig, fiddle-leaf fig, 25 cm pot, living room, south window
Basil, basil, 12 cm pot, kitchen, south window
Luna, moth orchid, 12 cm pot, bedroom, east window"""

# (days before the present, who, what they said)
PAST = (
    (12, "Ida", f"/add\n{PLANTS}"),
    (11, "Ida", "/gave goldie 450 ml"),
    (10, "Tom", "viper 1 1"),
    (8, "Noor", "gave the fern 400 ml"),
    (6, "Tom", "fig 5 6"),
    (3, "Ida", "goldie 5"),
)
SHOWN = (
    ("Ida", "fern 3 4"),
    ("Ida", "/pour fern"),
    ("Ida", "poured"),
    ("", "a look at the saucer is due"),
    ("Ida", "no"),
    ("Ida", "poured"),
)
LOOK = timedelta(minutes=8)


def show(session: Session, holder: list[Clock]) -> None:
    """Seed an empty database, play one check and one pour, then go on in the present.

    `holder` keeps the clock of the houses that `session.rebuild` makes; for the length of the
    demo it is one that can be moved through the past.
    """
    with session.house.store.read() as tx:
        empty = last_moment(tx) is None
    if not empty:
        session.tell("terminal-demo-kept")
        return
    present = holder[0]
    now = present.now()
    clock = StandingClock(now - SEEDED_DAYS)
    holder[0] = clock
    session.house = session.rebuild()
    _seed(session, clock, now)
    clock.move_to(now - SHOWN_FOR)
    _play(session, clock)
    session.house.wait_until(now)
    holder[0] = present if isinstance(present, RealClock) else clock
    session.house = session.rebuild()
    session.tell("terminal-demo-try", name=session.speaker)
    session.tell("terminal-demo-tap")


def _seed(session: Session, clock: StandingClock, now: datetime) -> None:
    session.screen.muted = True
    for number, (days, who, text) in enumerate(PAST, 1):
        clock.move_to(now - timedelta(days=days))
        _say(session, number, who, text)
    session.screen.muted = False


def _play(session: Session, clock: StandingClock) -> None:
    session.screen.note(Catalogue()("terminal-demo-begin"))
    for number, (who, text) in enumerate(SHOWN, len(PAST) + 1):
        if not who:
            session.house.wait_until(clock.now() + LOOK)
            continue
        session.screen.echo(who, text)
        _say(session, number, who, text)
        clock.move_to(clock.now() + timedelta(minutes=1))


def _say(session: Session, number: int, who: str, text: str) -> None:
    mine, session.speaker = session.speaker, who
    try:
        session.say_aside(number, text)
    finally:
        session.speaker = mine
