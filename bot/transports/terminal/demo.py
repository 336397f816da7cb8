"""An invented household for a stranger's first minute: plants, one real check, one real pour.

Everything here goes the way of any message, so what is shown is what the program does.
"""

from __future__ import annotations

from datetime import timedelta

from bot.clock import Clock, RealClock, StandingClock
from bot.transports.terminal.session import Session
from core.journal import plants
from core.store import people

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
    ("", "wait"),
    ("Ida", "no"),
    ("Ida", "poured"),
)
LOOK = timedelta(minutes=8)


def show(session: Session, holder: list[Clock]) -> None:
    """Seed the household if it is new, play one check and one pour, then go on in the present."""
    present = holder[0]
    now = present.now()
    if _has_plants(session):
        return
    clock = StandingClock(now - SEEDED_DAYS)
    holder[0] = clock
    session.house = session.rebuild()
    _seed(session, clock, present)
    clock.move_to(now - SHOWN_FOR)
    _play(session, clock)
    session.house.wait_until(now)
    holder[0] = present if isinstance(present, RealClock) else clock
    session.house = session.rebuild()


def _has_plants(session: Session) -> bool:
    with session.house.store.read() as tx:
        known = people.find(tx, session.address())
        return known is not None and bool(plants.names(tx, known.household_id))


def _seed(session: Session, clock: StandingClock, present: Clock) -> None:
    for days, who, text in PAST:
        clock.move_to(present.now() - timedelta(days=days))
        session.say_as(who, text, quiet=True)


def _play(session: Session, clock: StandingClock) -> None:
    for who, text in SHOWN:
        if text == "wait":
            session.house.wait_until(clock.now() + LOOK)
            continue
        session.screen.echo(who, text)
        session.say_as(who, text)
        clock.move_to(clock.now() + timedelta(minutes=1))
