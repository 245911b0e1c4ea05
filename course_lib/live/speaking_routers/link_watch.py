"""Is the other end of a link still there? Both ends say so, again and again, and listen.

A cut somewhere along a line is seen by nobody: it only gets quiet. So each end sends a sign of life
every `INTERVAL_S`, and whoever has heard none for `DEAD_S` takes the link for cut.

Real routers: the hellos of their routing protocol, which take seconds (RFC 2328, section 9.5), or a
protocol for nothing else (RFC 5880). The intervals here are our choice: short enough to wait for,
and long enough that a busy machine with ten routers on it makes no link look cut.
"""

__all__ = ["DEAD_S", "INTERVAL_S", "LinkWatch"]

import math
from collections.abc import Iterable

INTERVAL_S, DEAD_S = 0.25, 1.0


class LinkWatch:
    """When each link was last heard, and what follows from that; no link works at first.

    >>> watch = LinkWatch(["east"])
    >>> watch.heard(2.0, "east"), watch.heard(2.25, "east"), watch.silent(3.2), watch.silent(3.3)
    (True, False, [], ['east'])
    """

    def __init__(self, links: Iterable[str]) -> None:
        self._heard_s = dict.fromkeys(links, -math.inf)
        self._works = dict.fromkeys(self._heard_s, False)
        self._next_sign_s = 0.0

    def heard(self, now_s: float, link: str) -> bool:
        """Take note of a sign of life; return True if the link did not work before."""
        self._heard_s[link], was = now_s, self._works[link]
        self._works[link] = True
        return not was

    def silent(self, now_s: float) -> list[str]:
        """Return the links that were heard before and must be taken for cut from now on."""
        lost = [
            link
            for link, works in self._works.items()
            if works and now_s >= self._heard_s[link] + DEAD_S
        ]
        self._works |= dict.fromkeys(lost, False)
        return lost

    def signs_are_due(self, now_s: float) -> bool:
        """Tell whether a sign of life is to be sent on every link now, and wind up the clock."""
        is_due = now_s >= self._next_sign_s
        if is_due:
            self._next_sign_s = now_s + INTERVAL_S
        return is_due

    def next_s(self) -> float:
        """Return when something is due next."""
        dead_s = (self._heard_s[link] + DEAD_S for link, works in self._works.items() if works)
        return min([self._next_sign_s, *dead_s])
