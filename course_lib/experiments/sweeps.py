"""Many runs at a time, on all cores, with word of how far they are.

Each run is a call without arguments. Calls are handed to threads: a compiled loop lets go of the
interpreter, so as many run at a time as there are cores. Plain Python loops take turns instead.

    runs = sweep_buffers(flows, 100e6, [10, 20, 40], tell=progress_bar("buffers"))
"""

__all__ = ["progress_bar", "sweep", "sweep_buffers"]

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from functools import partial
from typing import Any, TypeVar

from course_lib.engine.compiled import ready
from course_lib.queueing.checks import whole
from course_lib.tcp.loop import advance
from course_lib.tcp.simulation import TcpRun, simulate_tcp
from course_lib.tcp.traffic import Flows

Result = TypeVar("Result")
Tell = Callable[[int, int], None]


def progress_bar(title: str) -> Tell:
    """Return a `tell` that shows a bar: in a notebook a widget, anywhere else a line of text."""
    # Here and not above, because it loads the widgets of a notebook.
    from tqdm.auto import tqdm

    bar = tqdm(desc=title)

    def tell(done: int, total: int) -> None:
        if done == 0:
            bar.reset(total)
        bar.update(done - bar.n)
        if done == total:
            bar.close()

    return tell


def sweep(
    calls: Sequence[Callable[[], Result]], tell: Tell | None = None, *, workers: int | None = None
) -> list[Result]:
    """Return the results of all calls, in their order.

    `tell` gets the number of finished calls and of all calls: at the start and after each of them,
    in the caller's thread. If a call fails, or the user interrupts, calls that have not begun are
    given up, and the error is raised.

    >>> sweep([lambda: 1 + 1, lambda: 2 + 2])
    [2, 4]
    """
    say: Tell = tell or (lambda done, total: None)
    pool = ThreadPoolExecutor(_cores() if workers is None else whole(1, "workers", workers))
    try:
        futures = [pool.submit(call) for call in calls]
        say(0, len(futures))
        for done, future in enumerate(as_completed(futures), start=1):
            future.result()  # raises what the call has raised
            say(done, len(futures))
        return [future.result() for future in futures]
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def sweep_buffers(
    flows: Flows,
    link_bits_per_s: float,
    buffers: Sequence[int],
    tell: Tell | None = None,
    *,
    workers: int | None = None,
    **options: Any,
) -> list[TcpRun]:
    """Return a run for each size of the buffer; `options` are those of `simulate_tcp`."""
    ready(advance, compiled=options.get("compiled"))  # once, and not in each thread
    calls = [partial(simulate_tcp, flows, link_bits_per_s, buffer, **options) for buffer in buffers]
    return sweep(calls, tell, workers=workers)


def _cores() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
