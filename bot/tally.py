"""What is counted while we serve: for the health page and whoever draws curves from it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field


@dataclass(slots=True)
class Tally:
    """Counts by name and label, such as ("sent", "reply"), and gauges by name."""

    counts: Counter[tuple[str, str]] = field(default_factory=Counter)
    gauges: dict[str, float] = field(default_factory=dict)

    def count(self, what: str, label: str = "") -> None:
        """One more of something."""
        self.counts[what, label] += 1

    def of(self, what: str) -> int:
        """How many there were of something under all labels."""
        return sum(number for (name, _), number in self.counts.items() if name == what)

    def lines(self) -> Iterator[str]:
        """In the text form that Prometheus reads."""
        for (what, label), number in sorted(self.counts.items()):
            shown = f'{{of="{label}"}}' if label else ""
            yield f"potside_{what}_total{shown} {number}"
        for what, value in sorted(self.gauges.items()):
            yield f"potside_{what} {value:g}"
