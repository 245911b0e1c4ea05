"""What loss costs, three ways: the rate of a flow that loses one packet in so many.

A line with room to spare, 30 ms there and back, loses every hundredth packet, or fewer. Theory is
the square-root law (Mathis et al. 1997): a mean window of sqrt(3/2) / sqrt(p), in each round trip.
For the real flow it is held against the round trip that its kernel has measured.
"""

__all__ = ["PERIODS", "RATE", "three_ways_loss"]

from collections.abc import Sequence
from functools import partial
from typing import NamedTuple

from course_lib.experiments.intervals import Band, confidence_band
from course_lib.experiments.sweeps import sweep
from course_lib.live.ability import Ability
from course_lib.live.carrying.line_settings import LineSettings
from course_lib.live.measuring.reports import BulkReport
from course_lib.live.three_ways.lanes import Lane, try_lanes
from course_lib.live.three_ways.points import Answers, Curve, ThreeWays, scaled
from course_lib.tcp.memory import Tcp
from course_lib.tcp.results import goodput_bits_per_s
from course_lib.tcp.simulation import simulate_tcp
from course_lib.tcp.theory import cubic_window, square_root_window
from course_lib.tcp.traffic import flows, periodic_loss

LINE_BITS_PER_S, ROUND_TRIP_S, ROOM_PACKETS = 50e6, 0.03, 200
DATA_OCTETS, FRAME_OCTETS = 1448, 1514  # IPv4 and TCP with a timestamp take 52, Ethernet 14
PERIODS, CONTROLS = (100, 180, 320, 560, 1000), ("reno", "cubic")
RATE = "rate of the data (Mbit/s)"
_SEEDS, _SIMULATED_S, _MEGA = range(5), (20.0, 80.0), 1e6


class _Setting(NamedTuple):
    control: str
    period: int


def three_ways_loss(
    periods: Sequence[int] = PERIODS,
    controls: Sequence[str] = CONTROLS,
    *,
    length_s: float = 12.0,
    from_s: float = 2.0,
    ability: Ability | None = None,
) -> ThreeWays:
    """Ask three ways at which rate data come through, if one packet in `periods` is lost.

    All real flows send at once, for `length_s`; what counts is from `from_s` on. By how much
    a real run is off theory is said for the round trip that its kernel measured. `ability` is what
    `live_ability` has found out; without it, it is tried. Raises `ValueError` for a control that
    theory does not know.
    """
    if strangers := set(controls) - set(CONTROLS):
        raise ValueError(f"theory knows {', '.join(CONTROLS)}, and nothing of {strangers}")
    settings = [_Setting(control, period) for control in controls for period in sorted(periods)]
    simulated = sweep([partial(_simulated, one) for one in settings])
    runs = try_lanes([_lane(one) for one in settings], length_s, from_s, ability)
    reports = [None] * len(settings) if runs.note else list(runs.reports)
    answers = {
        one: _answers(one, model, report)
        for one, model, report in zip(settings, simulated, reports, strict=True)
    }
    curves = [
        Curve(control, RATE, tuple(answers[one] for one in settings if one.control == control))
        for control in controls
    ]
    return ThreeWays(
        question="What does the loss of one packet in so many cost?",
        x_name="one packet is lost in …",
        curves=tuple(curves),
        note=runs.note,
        kernel_drops=runs.kernel_drops,
        load=runs.load,
        late_s=runs.late_s,
    )


def _lane(setting: _Setting) -> Lane:
    line = LineSettings(
        rate_bits_per_s=LINE_BITS_PER_S,
        queue_packets=ROOM_PACKETS,
        loss_period=setting.period,
    )
    return Lane(line, ROUND_TRIP_S, setting.control)


def _answers(setting: _Setting, simulated: Band, report: BulkReport | None) -> Answers:
    law = _expected(setting, ROUND_TRIP_S)
    if report is None:
        return Answers(setting.period, law, simulated, None)
    real = scaled(report.rate_band, 1 / _MEGA, setting.period)
    return Answers(setting.period, law, simulated, real, _expected(setting, report.pace_s))


def _expected(setting: _Setting, trip_s: float) -> float:
    """Return the law's rate in Mbit/s; CUBIC grows as Reno does where that is faster."""
    share = 1 / setting.period
    reno = square_root_window(share)
    window = cubic_window(share, trip_s) if setting.control == "cubic" else reno
    return 8 * DATA_OCTETS * window / trip_s / _MEGA


def _simulated(setting: _Setting) -> Band:
    rates = []
    for seed in _SEEDS:
        run = simulate_tcp(
            flows(1, ROUND_TRIP_S, 0.1 * seed, cubic=setting.control == "cubic"),
            LINE_BITS_PER_S,
            ROOM_PACKETS,
            from_s=_SIMULATED_S[0],
            to_s=_SIMULATED_S[1],
            loss=periodic_loss(setting.period),
            tcp=Tcp(packet_octets=FRAME_OCTETS),
            seed=seed,
        )
        rates.append(float(goodput_bits_per_s(run)[0]) * DATA_OCTETS / FRAME_OCTETS / _MEGA)
    return confidence_band(setting.period, rates)
