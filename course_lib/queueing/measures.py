"""What a run says about delay, loss and use of the link.

A queue starts empty, so its first packets wait less than later ones: leave out the warm-up with
`from_s`. After the last packet has come the queue only empties: the default window ends there.
"""

__all__ = ["Measures", "measure"]

from typing import NamedTuple

import numpy as np

from course_lib.engine.machine_types import Numbers
from course_lib.queueing.one_queue import FATES, QueueRun


class Measures(NamedTuple):
    """Means over a window of time; those of delay, wait and loss are over packets that came in it.

    The names are those of `theory`. Delay and wait are "not a number" if no packet was sent.
    """

    came: int
    sent: int
    loss: float
    utilisation: float
    in_system: float
    waiting: float
    delay_s: float
    wait_s: float
    sent_bits_per_s: float


def measure(
    run: QueueRun, from_s: float = 0.0, to_s: float | None = None, *, flow: int | None = None
) -> Measures:
    """Return the means between `from_s` and `to_s` (the last arrival), of one flow or of all.

    Raises ValueError if the window is not inside the run or no packet came in it.

    >>> from course_lib.queueing import simulate, trace
    >>> run = simulate(trace([0.0, 0.5, 2.0], octets=1000), 8000, compiled=False)  # 1 s each
    >>> measure(run).utilisation, measure(run).waiting
    (1.0, 0.25)
    """
    came_s, _, flows = run.packets
    last_s = float(came_s[-1])
    to_s = last_s if to_s is None else to_s
    if not 0 <= from_s < to_s <= last_s:
        raise ValueError(f"the window {from_s:g} s to {to_s:g} s is not inside 0 s to {last_s:g} s")
    chosen = np.full(len(came_s), True) if flow is None else flows == flow
    counted = chosen & (came_s >= from_s) & (came_s <= to_s)
    if not counted.any():
        raise ValueError(f"no packet of flow {flow} came between {from_s:g} s and {to_s:g} s")
    sent = counted & (run.fate == FATES.index("sent"))
    on_link = chosen & (run.fate == FATES.index("sent"))
    # Who was dropped at the head has waited until then, and was never on the link.
    waited_until_s = np.where(np.isnan(run.began_s), run.left_s, run.began_s)
    window = (from_s, to_s)
    waiting = _mean_number(came_s[chosen], waited_until_s[chosen], window)
    utilisation = _mean_number(run.began_s[on_link], run.left_s[on_link], window)
    return Measures(
        int(counted.sum()),
        int(sent.sum()),
        1 - float(sent.sum() / counted.sum()),
        utilisation,
        waiting + utilisation,
        waiting,
        _mean(run.left_s[sent] - came_s[sent]),
        _mean(run.began_s[sent] - came_s[sent]),
        utilisation * run.link_bits_per_s,
    )


def _mean_number(from_s: Numbers, to_s: Numbers, window: tuple[float, float]) -> float:
    """Return how many of these stays go on at a time, on average over the window."""
    inside = np.clip(to_s, *window) - np.clip(from_s, *window)
    return float(inside.sum() / (window[1] - window[0]))


def _mean(values: Numbers) -> float:
    return float(values.mean()) if len(values) else float("nan")
