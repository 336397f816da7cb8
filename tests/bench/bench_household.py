"""Whether a large household waits longer than a small one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import ExitStack
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.bench.conftest import Figures, Home, OpenHome

FEW, MANY = 10, 1000
ROUNDS, EACH = 9, 60
# As fast, within what the clock can tell apart; a name half said is looked for among all names.
MOST_TIMES, MOST_TIMES_LOOSE = 1.25, 3

_TINTS = (
    "amber ash azure birch brass bright bronze cedar chalk cherry clay clover cobalt coral cream "
    "crimson dusky ebony fawn flint frosty ginger golden hazel honey indigo ivory jade lemon lilac "
    "mellow misty mossy olive pearl plum ruby sandy silver velvet"
).split()
_KINDS = (
    "aloe aralia basil begonia cactus calathea clivia croton fern fig fittonia hoya ivy jasmine "
    "maranta monstera myrtle oxalis palm peperomia pilea pothos sage viper zamia"
).split()
_SPOTS = (
    "Boston fern, 15 cm pot, bathroom, north window",
    "golden pothos, 15 cm pot, kitchen, east window",
    "snake plant, D16 h15 cm terracotta, study, low light",
    "fiddle-leaf fig, 25 cm pot, living room, south window",
    "English ivy, 12 cm pot, hall, north window",
)
NAMES = [f"{tint.capitalize()} {kind}" for kind in _KINDS for tint in _TINTS][:MANY]

# What is asked of a plant, by how it is named: in full, its beginnings, with a slip of the finger.
ASKED: dict[str, tuple[Callable[[str], str], float | None]] = {
    "/check, the name in full": (lambda name: f"/check {name} 5", MOST_TIMES),
    "/dose, the name in full": (lambda name: f"/dose {name}", MOST_TIMES),
    "/check, the name half said": (lambda name: f"/check {_half(name)} 5", MOST_TIMES_LOOSE),
    "/check, the name misspelt": (lambda name: f"/check {_slip(name)} 5", None),
    "/plants": (lambda _name: "/plants", None),
}


def _half(name: str) -> str:
    """The beginnings of both words."""
    tint, kind = name.split()
    return f"{tint[:-1]} {kind[:-1]}"


def _slip(name: str) -> str:
    """Two letters of the first word changed places."""
    tint, kind = name.split()
    return f"{tint[0]}{tint[2]}{tint[1]}{tint[3:]} {kind}"


def _lines(count: int) -> list[str]:
    """Lines of /add, the names spread over the whole list."""
    step = MANY // count
    return [f"{name}, {_SPOTS[n % len(_SPOTS)]}" for n, name in enumerate(NAMES[::step])]


def _seconds(home: Home, texts: Sequence[str]) -> float:
    """The median of saying each."""
    taken = []
    for text in texts:
        began = perf_counter()
        home.say(text)
        taken.append(perf_counter() - began)
    return median(taken)


def _understood(home: Home, text: str, name: str) -> bool:
    return text == "/plants" or home.say(text).startswith(name)


def test_household(
    figures: Figures, furnish: Callable[..., tuple[Path, int]], open_home: OpenHome
) -> None:
    """A household of 1,000 plants beside one of ten"""
    known = NAMES[:: MANY // FEW]
    with ExitStack() as stack:
        homes = []
        for count in (FEW, MANY):
            path, told = furnish(_lines(count))
            homes.append(stack.enter_context(open_home(path, synchronous="NORMAL", told=told)))
        for what, (say, most) in ASKED.items():
            texts = [say(name) for name in known] * (EACH // FEW)
            assert all(_understood(home, say(name), name) for home in homes for name in known[:4])
            few, many = _rounds(homes, texts)
            figures.note(what, f"{few * 1e3:6.2f} ms of {FEW}, {many * 1e3:6.2f} ms of {MANY}")
            if most is None:
                figures.note("  times as long", f"{many / few:8.2f}")
            else:
                figures.goal("  times as long", many / few, most)
    figures.settle()


def _rounds(homes: Sequence[Home], texts: Sequence[str]) -> list[float]:
    """For each house the median of its least disturbed round; they take turns."""
    rounds = [[_seconds(home, texts) for home in homes] for _ in range(ROUNDS)]
    return [min(one) for one in zip(*rounds, strict=True)]
