"""A picture of how often forecasts held: what was said against what came."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Final

import numpy as np

from core.care.drydown.scoring import POINTS, Case, below, percentile

_INCHES: Final = (4.8, 4.8)
_DPI: Final = 160
_PERFECT, _OURS = "0.6", "black"


def curve(cases: Sequence[Case]) -> list[float]:
    """Share of truths at or under each point of the forecast, cut ones by Kaplan-Meier."""
    places = np.array([percentile(case.days, case.truth) for case in cases])
    cut = np.array([case.cut for case in cases])
    return [below(places, cut, float(point), inclusive=True) for point in POINTS]


def draw(cases: Sequence[Case]) -> bytes:
    """A PNG: the nearer the line to the diagonal, the truer the ranges. Legible in grey."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=_INCHES, dpi=_DPI, layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.add_subplot()
    axes.plot([0, 100], [0, 100], color=_PERFECT, linewidth=4, label="as said")
    came = [100 * share for share in curve(cases)]
    axes.plot(POINTS, came, color=_OURS, marker="o", linewidth=1.5, label="as it came")
    axes.set(xlabel="point of the forecast, %", ylabel="ready by then, %", aspect="equal")
    axes.set(xlim=(0, 100), ylim=(0, 100), title=f"{len(cases)} forecasts")
    axes.grid(visible=True, color="0.9")
    axes.legend(loc="upper left", frameon=False)
    out = BytesIO()
    figure.savefig(out, format="png")
    return out.getvalue()
