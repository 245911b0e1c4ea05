"""What a buffer buys and what it costs, three ways: use of the line, and the round trip.

One flow on a line of 20 Mbit/s, 30 ms there and back. Theory is the saw-tooth as a fluid. The
simulator has one sender with selective acknowledgements. The real one is the kernel's own TCP, with
all that it has beside the rules: a moment to begin, a careful way to send again, acknowledgements
for two segments. Where they differ, theory has left something out.
"""

__all__ = ["BUFFERS", "CONTROLS", "TRIP", "USE", "three_ways_buffer"]

from collections.abc import Sequence
from functools import partial
from typing import NamedTuple

from course_lib.experiments.intervals import Band, confidence_band
from course_lib.experiments.sweeps import sweep
from course_lib.live.ability import Ability
from course_lib.live.carrying.line_settings import LineSettings
from course_lib.live.measuring.reports import BulkReport
from course_lib.live.three_ways.lanes import Lane, one_after_the_other, try_lanes
from course_lib.live.three_ways.points import Answers, Curve, ThreeWays, scaled
from course_lib.tcp.memory import Tcp
from course_lib.tcp.results import mean_wait_s, utilisation
from course_lib.tcp.simulation import simulate_tcp
from course_lib.tcp.theory import one_flow_round_trip, one_flow_utilisation
from course_lib.tcp.traffic import flows

RATE_BITS_PER_S, ROUND_TRIP_S = 20e6, 0.03
FRAME_OCTETS = 1514  # of Ethernet, which the line counts, with 1500 of IP
BUFFERS, CONTROLS = (10, 20, 50, 100), ("reno", "cubic")
USE, TRIP = "use of the line (%)", "mean round trip (ms)"
_KEPT = {"reno": 0.5, "cubic": 0.7}  # of the window at a loss: RFC 5681; RFC 9438, section 4.6
_PIPE_PACKETS = RATE_BITS_PER_S * ROUND_TRIP_S / (8 * FRAME_OCTETS)
_SEEDS, _SIMULATED_S = range(5), (20.0, 80.0)


class _Setting(NamedTuple):
    control: str
    buffer: int


class _Both(NamedTuple):
    use: Band
    trip: Band


def three_ways_buffer(
    buffers: Sequence[int] = BUFFERS,
    controls: Sequence[str] = CONTROLS,
    *,
    length_s: float = 12.0,
    from_s: float = 3.0,
    ability: Ability | None = None,
) -> ThreeWays:
    """Ask three ways what a flow makes of the line with each of the buffers.

    `buffers` are packets that may wait; `controls` are "reno" and "cubic". All real flows of a
    control send at once, for `length_s`; what counts is from `from_s` on. The controls take turns:
    a small buffer does not forgive a router that has too much to do and lets packets go in bursts.
    The simulator runs before them, so that it takes no time from them. `ability` is what
    `live_ability` has found out; without it, it is tried. Raises `ValueError` for a control that
    theory does not know, and for a buffer without room.
    """
    if strangers := set(controls) - set(_KEPT):
        raise ValueError(f"theory knows {', '.join(_KEPT)}, and nothing of {strangers}")
    if min(buffers) < 1:
        raise ValueError(f"one packet at least must find room to wait, not {min(buffers)}")
    settings = [_Setting(control, buffer) for control in controls for buffer in sorted(buffers)]
    simulated = sweep([partial(_simulated, one) for one in settings])
    rounds = [
        try_lanes(
            [_lane(one) for one in settings if one.control == control], length_s, from_s, ability
        )
        for control in controls
    ]
    runs = one_after_the_other(rounds)
    reports = [None] * len(settings) if runs.note else list(runs.reports)
    real = [report and _measured(one, report) for one, report in
            zip(settings, reports, strict=True)]  # fmt: skip
    rows = list(zip(settings, map(_expected, settings), simulated, real, strict=True))
    curves = []
    for control in controls:
        mine = [row for row in rows if row[0].control == control]
        uses = [Answers(one.buffer, law[0], model.use, kernel and kernel.use)
                for one, law, model, kernel in mine]  # fmt: skip
        trips = [Answers(one.buffer, law[1], model.trip, kernel and kernel.trip)
                 for one, law, model, kernel in mine]  # fmt: skip
        curves += [Curve(control, USE, tuple(uses)), Curve(control, TRIP, tuple(trips))]
    return ThreeWays(
        question="What does a buffer buy, and what does it cost?",
        x_name="buffer (packets that may wait)",
        curves=tuple(curves),
        note=runs.note,
        kernel_drops=runs.kernel_drops,
        load=runs.load,
        late_s=runs.late_s,
    )


def _lane(setting: _Setting) -> Lane:
    # The line's queue holds the packet that is being sent as well.
    line = LineSettings(rate_bits_per_s=RATE_BITS_PER_S, queue_packets=setting.buffer + 1)
    return Lane(line, ROUND_TRIP_S, setting.control)


def _expected(setting: _Setting) -> tuple[float, float]:
    """Return the use in percent, and the mean round trip in ms, of the saw-tooth."""
    share, kept = setting.buffer / _PIPE_PACKETS, _KEPT[setting.control]
    return (
        100 * one_flow_utilisation(share, kept_share=kept),
        1000 * ROUND_TRIP_S * one_flow_round_trip(share, kept_share=kept),
    )


def _simulated(setting: _Setting) -> _Both:
    """Return what the simulator says, with the band of five runs that begin a little apart."""
    runs = [
        simulate_tcp(
            flows(1, ROUND_TRIP_S, 0.1 * seed, cubic=setting.control == "cubic"),
            RATE_BITS_PER_S,
            setting.buffer,
            from_s=_SIMULATED_S[0],
            to_s=_SIMULATED_S[1],
            tcp=Tcp(packet_octets=FRAME_OCTETS),
            seed=seed,
        )
        for seed in _SEEDS
    ]
    uses = [100 * utilisation(run) for run in runs]
    trips = [1000 * (ROUND_TRIP_S + mean_wait_s(run)) for run in runs]
    return _Both(confidence_band(setting.buffer, uses), confidence_band(setting.buffer, trips))


def _measured(setting: _Setting, report: BulkReport) -> _Both:
    """Return what the kernels did: a segment's data use the line with all their headers."""
    percent = 100 * FRAME_OCTETS / report.segment_octets / RATE_BITS_PER_S
    use = scaled(report.rate_band, percent, setting.buffer)
    return _Both(use, scaled(report.round_trip_band, 1000, setting.buffer))
