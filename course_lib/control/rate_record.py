"""How fast octets were sent, in spans of equal length, from states as they come."""

__all__ = ["SPAN_S", "RateRecord"]

from collections import deque
from collections.abc import Mapping
from itertools import pairwise
from typing import NamedTuple

from course_lib.figures.steering.router_view import STRIP_S
from course_lib.steering.states import RouterState

SPAN_S = 0.5
_BITS = 8


class _Sample(NamedTuple):
    now_s: float
    sent_octets: Mapping[str, int]


class RateRecord:
    """Remembers some states; one that begins again at an earlier time wipes the record.

    >>> from course_lib.steering.states import InterfaceState
    >>> record = RateRecord()
    >>> for now_s, octets in ((0, 0), (1, 1000), (2, 1500)):
    ...     sea = InterfaceState("sea", 0xC0000201, 31, sent_octets=octets)
    ...     record.take(RouterState("North Pier", now_s, (sea,)))
    >>> record.rates()
    {'sea': (8000.0, 4000.0)}
    """

    def __init__(self) -> None:
        self._samples: deque[_Sample] = deque(maxlen=round(STRIP_S / SPAN_S) + 1)

    def take(self, state: RouterState) -> None:
        """Take a state in, if the last one is a span ago."""
        if self._samples and state.now_s < self._samples[-1].now_s:
            self._samples.clear()
        if not self._samples or state.now_s - self._samples[-1].now_s >= SPAN_S:
            octets = {each.name: each.sent_octets for each in state.interfaces}
            self._samples.append(_Sample(state.now_s, octets))

    def rates(self) -> dict[str, tuple[float, ...]]:
        """Return bits per second in each span, the newest last, by interface."""
        names = self._samples[-1].sent_octets if self._samples else ()
        return {
            name: tuple(
                max(0, later.sent_octets[name] - earlier.sent_octets.get(name, 0))
                * _BITS
                / (later.now_s - earlier.now_s)
                for earlier, later in pairwise(self._samples)
                if name in later.sent_octets
            )
            for name in names
        }
