"""A bar that shows how far many runs are: in a notebook a widget, anywhere else a line of text.

Whoever has much to do is given a `tell` and calls it with the number of things done and of all:

    sweep_buffers(flows, 100e6, buffers, tell=progress_bar("buffers"))
"""

__all__ = ["ProgressBar", "progress_bar"]

import sys
import time
from typing import Any, TextIO

import ipywidgets as widgets

from course_lib.widgets.live_figure import status


class ProgressBar:
    """Call it with (done, total); it appears at the first call."""

    def __init__(self, title: str, out: TextIO | None = None) -> None:
        """`out`: write lines of text there, and show no widget."""
        self.words = ""
        self.bar = widgets.IntProgress(description=title)
        self.line = widgets.HTML()
        self.box = widgets.HBox([self.bar, self.line])
        self._title, self._out, self._start_s = title, out, 0.0

    def __call__(self, done: int, total: int) -> None:
        """Show that so many are done."""
        if not self.words:
            self._start_s = time.monotonic()
            if self._out is None:
                _display(self.box)
        self.words = f"{done} of {total}, {time.monotonic() - self._start_s:.1f} s"
        self.bar.max, self.bar.value = max(total, 1), done
        self.line.value = status([self.words])
        if self._out is not None:
            end = "\n" if done == total else "\r"
            self._out.write(f"{self._title}: {self.words}{end}")
            self._out.flush()


def progress_bar(title: str) -> ProgressBar:
    """Return a bar for where this program runs: a notebook, or a terminal."""
    return ProgressBar(title, None if _in_a_notebook() else sys.stderr)


def _in_a_notebook() -> bool:
    from IPython import get_ipython

    shell: Any = get_ipython()
    return getattr(shell, "kernel", None) is not None


def _display(box: widgets.Widget) -> None:
    from IPython.display import display

    display(box)
