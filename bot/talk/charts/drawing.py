"""Drawing a recipe as a PNG that a phone shows well.

All is told by shape, weight and words, nothing by colour: dots are readings with their spread,
triangles waterings, the lines are the fitted curves in their grey ranges, the bar on the dotted
line when the pot is probably ready. `drawn` is work for a studio: matplotlib is loaded when the
first picture is drawn, and stays. pyplot, which keeps its figures, is never loaded.
"""

from __future__ import annotations

import io
import json
from typing import TYPE_CHECKING, Any

from bot.talk.charts.recipe import Panel, Recipe, from_values

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

DPI = 160
WIDE = 6.75  # inches: 1080 pixels
TALL = 6.0
SMALL_TALL = 2.4
SMALL_TICKS = 2  # every second date, where there is half the room
INK, SOFT, FAINT, RANGE, PAST_RANGE = "#111111", "#555555", "#bbbbbb", "#d9d9d9", "#ececec"
LOWEST, HIGHEST = 1, 10


def drawn(given: bytes) -> bytes:
    """A recipe's plain values, as JSON, drawn as PNG."""
    return draw(json.loads(given))


def draw(values: dict[str, Any]) -> bytes:
    """A recipe's plain values as PNG, one at a time. Raises ValueError for values that are none."""
    made = from_values(values)
    figure = _small(made) if len(made.panels) > 1 else _large(made)
    out = io.BytesIO()
    figure.savefig(out, format="png", dpi=DPI)
    return out.getvalue()


def _large(made: Recipe) -> Figure:
    figure = _figure(TALL)
    figure.set_layout_engine("constrained")
    axes = figure.add_subplot()
    _plot(axes, made, made.panels[0], size=13)
    axes.set_xticks(*_ticks(made, 1))
    axes.set_title(made.panels[0].title, loc="left", fontsize=19, fontweight="bold", color=INK,
                   pad=22)  # fmt: skip
    _explain(axes, made, made.panels[0])
    return figure


def _small(made: Recipe) -> Figure:
    rows = (len(made.panels) + 1) // 2
    tall = SMALL_TALL * rows + 0.3
    figure = _figure(tall)
    figure.subplots_adjust(
        left=0.11, right=0.98, top=1 - 0.45 / tall, bottom=0.4 / tall, hspace=0.5, wspace=0.12
    )
    for n, panel in enumerate(made.panels):
        axes = figure.add_subplot(rows, 2, n + 1)
        _plot(axes, made, panel, size=9)
        axes.set_xticks(*_ticks(made, SMALL_TICKS))
        axes.set_title(panel.title, loc="left", fontsize=13, fontweight="bold", color=INK)
        if n % 2:
            axes.set_yticklabels([])
    return figure


def _ticks(made: Recipe, every: int) -> tuple[list[float], list[str]]:
    edge = made.last - 0.04 * every * (made.last - made.first)  # a date there would be cut off
    shown = [tick for tick in made.ticks[::every] if tick[0] <= edge]
    return [day for day, _ in shown], [name for _, name in shown]


def _figure(tall: float) -> Figure:
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(WIDE, tall), facecolor="white")
    FigureCanvasAgg(figure)
    return figure


def _plot(axes: Axes, made: Recipe, panel: Panel, size: int) -> None:
    _frame(axes, made, size)
    for curve in panel.past:
        days, low, middle, high = zip(*curve, strict=True)
        axes.fill_between(days, low, high, color=PAST_RANGE, linewidth=0, zorder=1)
        axes.plot(days, middle, color=SOFT, linewidth=1.4, zorder=3)
    if panel.curve:
        days, low, middle, high = zip(*panel.curve, strict=True)
        axes.fill_between(days, low, high, color=RANGE, linewidth=0, zorder=1)
        past = sum(day <= 0 for day in days)
        axes.plot(days[:past], middle[:past], color=INK, linewidth=2, zorder=3)
        axes.plot(days[max(0, past - 1) :], middle[max(0, past - 1) :], color=INK, linewidth=2,
                  linestyle=(0, (4, 2)), zorder=3)  # fmt: skip
    axes.axhline(panel.line, color=SOFT, linewidth=1.4, linestyle=":", zorder=2)
    axes.axvline(0, color=SOFT, linewidth=1.2, zorder=2)
    for day, low_, mean, high_ in panel.seen:
        axes.plot([day, day], [low_, high_], color=INK, linewidth=2, zorder=4)
        axes.plot([day], [mean], "o", color=INK, markersize=size * 0.6, markeredgecolor="white",
                  zorder=5)  # fmt: skip
    top = [HIGHEST + 0.55] * len(panel.poured)
    axes.plot([day for day, _ in panel.poured], top, "v", color="white", markeredgecolor=INK,
              markeredgewidth=1.6, markersize=size * 0.75, clip_on=False, zorder=6)  # fmt: skip
    for day, _ in panel.poured:
        axes.axvline(day, color=FAINT, linewidth=1, linestyle=(0, (1, 3)), zorder=0)
    _ready(axes, panel, size)


def _ready(axes: Axes, panel: Panel, size: int) -> None:
    """When the pot is probably at its line: thin from 10 to 90 %, thick from 25 to 75 %."""
    if panel.ready:
        first, early, late, last = panel.ready
        axes.plot([first, last], [panel.line] * 2, color=INK, linewidth=size / 5, zorder=4)
        axes.plot([early, late], [panel.line] * 2, color=INK, linewidth=size / 2, zorder=4,
                  solid_capstyle="butt")  # fmt: skip
    if panel.probe is not None:
        axes.plot([panel.probe], [panel.line], "D", color="white", markeredgecolor=INK,
                  markeredgewidth=2, markersize=size * 0.7, zorder=6)  # fmt: skip


def _frame(axes: Axes, made: Recipe, size: int) -> None:
    axes.set_xlim(made.first, made.last)
    axes.set_ylim(LOWEST - 0.5, HIGHEST + 1)
    axes.set_yticks([1, 4, 7, 10], [f"1 {made.labels.dry}", "4", "7", f"10 {made.labels.wet}"])
    axes.tick_params(labelsize=size, length=3, color=FAINT, labelcolor=INK)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(FAINT)


def _explain(axes: Axes, made: Recipe, panel: Panel) -> None:
    """Words for the large picture; what the marks mean stands under it, clear of the curves."""
    words = made.labels
    axes.annotate(words.today, (0, LOWEST - 0.4), xytext=(4, 2), textcoords="offset points",
                  fontsize=12, color=SOFT)  # fmt: skip
    shown = [words.line, *([words.ready] if panel.ready else [])]
    axes.set_xlabel("\n".join(shown), loc="left", fontsize=12, color=INK, labelpad=8)
    for day, text in panel.poured[-3:]:
        axes.annotate(text, (day, HIGHEST + 0.55), xytext=(0, 9), textcoords="offset points",
                      fontsize=11, color=INK, ha="center", annotation_clip=False)  # fmt: skip
