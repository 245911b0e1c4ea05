"""Damage a header in several ways, many times, and see what its checksum misses.

The numbers come from `course_lib.headers.error_injection`; the upper picture is that of
`error_counts`, the lower one shows an error that was missed, if there was one.
"""

__all__ = ["ErrorExplorer", "explore_errors"]

import ipywidgets as widgets

from course_lib.figures.drawing.plots import shown
from course_lib.figures.headers.changed_words import changed_words
from course_lib.figures.headers.error_counts import figure_of_counts, percent
from course_lib.headers.error_injection import KINDS, ErrorCounts, inject
from course_lib.widgets.live_figure import LiveFigure, choice, looks

_TRIALS = (100, 300, 1_000, 3_000, 10_000, 30_000, 100_000)
_LOOKS = looks("96px")


def explore_errors(header: bytes) -> "ErrorExplorer":
    """Show what becomes of damaged copies of `header`, with controls for the damage.

    `header` must pass the check, and have an even number of octets; raises `ValueError` otherwise.
    """
    return ErrorExplorer(header)


class ErrorExplorer(LiveFigure):
    """The live figure of injected errors; `counts` is what it shows now."""

    def __init__(self, header: bytes) -> None:
        self._header = header
        self.kind = choice("Kind of error", KINDS, "two flipped bits", **_LOOKS)
        numbers = [(f"{number:,}", number) for number in _TRIALS]
        self.trials = widgets.SelectionSlider(
            options=numbers, value=1_000, readout=False, tooltip="Headers: slide to choose"
        )
        self.trials_list = choice("Headers", numbers, 1_000, **_LOOKS)
        widgets.link((self.trials, "value"), (self.trials_list, "value"))
        self.seed = widgets.BoundedIntText(1, max=999_999, description="Seed", **_LOOKS)
        self.again = self.button("Draw again", self._draw_again)
        super().__init__((self.kind, self.seed, self.again), (self.trials_list, self.trials))
        self.when_changed(self._redraw, self.kind, self.trials, self.seed)
        self._redraw()

    def _draw_again(self) -> None:
        self.seed.value = (self.seed.value + 1) % (self.seed.max + 1)  # this draws

    def _redraw(self) -> None:
        counts = inject(self._header, self.kind.value, self.trials.value, self.seed.value)
        self.counts = counts
        example = changed_words(self._header, counts.missed_example or self._header)
        self.draw(_in_words(counts), shown(figure_of_counts(counts)), example)


def _in_words(counts: ErrorCounts) -> list[str]:
    share, expected = percent(counts.missed_share), percent(counts.expected_share)
    sentences = [
        f"{counts.trials:,} headers, {counts.kind}: {counts.noticed:,} noticed, "
        f"{counts.missed:,} missed, {counts.unchanged:,} unchanged.",
        f"Of the errors, {share} were missed; theory expects {expected}.",
    ]
    if counts.missed_example is None:
        return [*sentences, "No error was missed, so the header below is as it was."]
    return [*sentences, "The header below shows the first error that was missed, old → new."]
