"""What is measured of a shared line, and what has been so far: by setting, and by size of buffer.

A coarse run answers at once. A curve has a longer run for each of its sizes; the size that the
reader looks at has several, with different seeds, and so a confidence band.
"""

__all__ = ["SHARP", "SIZES", "CurvesSoFar", "coarse_run", "curve_run", "sharp_run"]

from typing import NamedTuple

from course_lib.ferry.shared_line import PACKET_S, Measured, Sharing, run_sharing
from course_lib.figures.tcp.buffer_curves import Curve
from course_lib.figures.tcp.saw_teeth import MOST_FLOWS
from course_lib.tcp.simulation import TcpRun

SIZES = (0, 5, 10, 20, 30, 40, 50, 75, 100, 150, 200, 250, 300)  # packets: what a curve is made of
_GHOSTS = 3
_FEW = 9  # flows: fewer have long teeth, and need long runs


class RunLength(NamedTuple):
    """How long a run is in simulated time, from when on it counts, and with how many seeds."""

    to_s: float
    from_s: float
    seeds: int = 1


COARSE, CURVE, SHARP = RunLength(12, 4), RunLength(30, 10), RunLength(60, 20, 4)
_COARSE_OF_FEW, _CURVE_OF_FEW = RunLength(60, 20), RunLength(120, 40)


def coarse_run(sharing: Sharing, buffer_packets: int) -> TcpRun:
    """Return a short run; its trace has every window and every packet time."""
    to_s, from_s, _ = COARSE if sharing.flows >= _FEW else _COARSE_OF_FEW
    return run_sharing(
        sharing, buffer_packets, to_s=to_s, from_s=from_s, watched=MOST_FLOWS, sample_s=PACKET_S
    )


def curve_run(sharing: Sharing, buffer_packets: int) -> TcpRun:
    """Return a run for one size of a curve."""
    to_s, from_s, _ = CURVE if sharing.flows >= _FEW else _CURVE_OF_FEW
    return run_sharing(sharing, buffer_packets, to_s=to_s, from_s=from_s)


def sharp_run(sharing: Sharing, buffer_packets: int, seed: int) -> TcpRun:
    """Return one of the long runs."""
    return run_sharing(sharing, buffer_packets, to_s=SHARP.to_s, from_s=SHARP.from_s, seed=seed)


class CurvesSoFar:
    """What was measured, without what was coarse; the setting that was used last comes last."""

    def __init__(self) -> None:
        self._known: dict[Sharing, dict[int, Measured]] = {}

    def turn_to(self, sharing: Sharing) -> None:
        """Note that this setting is the one of now."""
        self._known[sharing] = self._known.pop(sharing, {})

    def keep(self, sharing: Sharing, measured: Measured) -> None:
        """Take in a measure, in place of one from fewer runs."""
        self._known.setdefault(sharing, {})[round(measured.utilisation.x)] = measured

    def curve(self, sharing: Sharing) -> tuple[Measured, ...]:
        """Return what is known of a setting, by rising size."""
        known = self._known.get(sharing, {})
        return tuple(known[size] for size in sorted(known))

    def at(self, sharing: Sharing, buffer_packets: int) -> Measured | None:
        """Return what is known of one size of the buffer."""
        return self._known.get(sharing, {}).get(buffer_packets)

    def missing(self, sharing: Sharing) -> list[int]:
        """Return the sizes that the curve of a setting lacks."""
        return [size for size in SIZES if size not in self._known.get(sharing, {})]

    def ghosts(self, now: Sharing) -> tuple[Curve, ...]:
        """Return the last three other settings of which anything is known."""
        others = [one for one, known in self._known.items() if one != now and known]
        return tuple(Curve(one, self.curve(one)) for one in others[-_GHOSTS:])

    def smallest(self, sharing: Sharing, use: float) -> int | None:
        """Return the smallest size measured that reaches a use, once the curve is whole."""
        if self.missing(sharing):
            return None
        sizes = [one.utilisation for one in self.curve(sharing)]
        return next((round(one.x) for one in sizes if one.mean >= use), None)
