"""How far grading has come: a bar with the time left on a terminal, else a line now and then."""

__all__ = ["shown_progress", "time_left"]

import contextlib
import time
from collections.abc import Callable, Iterator

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

EVERY_S = 30.0  # between two lines where there is no terminal


@contextlib.contextmanager
def shown_progress(
    console: Console, of: int, clock: Callable[[], float] = time.monotonic
) -> Iterator[Callable[[int], None]]:
    """Yield what is to be told how many of `of` hand-ins are done."""
    if not console.is_terminal:
        yield _lines(console, of, clock)
        return
    columns = (TextColumn("grading"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=console, refresh_per_second=2) as bar:
        task = bar.add_task("grading", total=of)
        yield lambda done: bar.update(task, completed=done)


def time_left(done: int, of: int, passed_s: float) -> str:
    """Say how long the rest takes if it goes on as it went.

    >>> time_left(50, 200, 30.0)
    'about 2 min left'
    """
    left_s = passed_s / done * (of - done)
    return f"about {left_s:.0f} s left" if left_s < 90 else f"about {left_s / 60:.0f} min left"


def _lines(console: Console, of: int, clock: Callable[[], float]) -> Callable[[int], None]:
    last = clock()
    first: tuple[int, float] | None = None  # before the first one is done, cases are worked out

    def told(done: int) -> None:
        nonlocal first, last
        now = clock()
        if done and first is None:
            first = done, now
        if first is None or done >= of or now - last < EVERY_S:
            return
        last = now
        since, passed_s = done - first[0], now - first[1]
        left = f", {time_left(since, of - first[0], passed_s)}" if since else ""
        console.print(f"{done} of {of} graded{left}.")

    return told
